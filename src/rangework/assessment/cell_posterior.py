"""What cards say of a player's usual strokes gained, cell by cell and card by card.

The model: a cell's usual mean is what plausible players have, plus an own deviation that the shot model does not
know; from card to card it may change; a day adds its own effect to all cells; balls scatter about that. How
large own deviations and changes are, and how much days differ, is not known: all three are integrated over a grid,
each value weighted by how well it explains the cards. So a cell of three balls is drawn toward the rest, and the lowest
of twelve cells is expected to come back up on a retest, by as much as it was luck.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.cell_prior import CellPrior

FloatArray = NDArray[np.float64]

#: Strokes gained a ball: half-Cauchy scales of a cell's own deviation, and of a change within four weeks
#: (assumption.assessment.own_deviation, assumption.assessment.change).
OWN_SCALE, CHANGE_SCALE = 0.02, 0.08
#: Share of a change's variance that all cells have in common.
COMMON_CHANGE = 0.5
#: Days of tests differ by this factor of what is assumed of them (log-normal, its square 1 on average), at the places
#: and weights of a Gauss-Hermite rule of three points (assumption.assessment.day_factor).
DAY_FACTOR_SD = 0.5
#: A change's variance grows with the weeks between cards, at most to this many.
CHANGE_WEEKS, MOST_WEEKS = 4.0, 26.0
#: The model's variance of a ball counts as this many balls beside those of the cards.
VARIANCE_BALLS = 40.0
#: Places of the grid, in scales: the heavy tail lets a great change be seen for what it is.
_GRID = (0.0, 0.4, 1.0, 2.0, 4.0)
_HERMITE = ((-(3.0**0.5), 1.0 / 6.0), (0.0, 2.0 / 3.0), (3.0**0.5, 1.0 / 6.0))
_LOW, _HIGH = 0.05, 0.95


@dataclass(frozen=True, slots=True, eq=False)
class CardMeans:
    """One card: its day and, by cell, balls, mean strokes gained (0 without a ball) and sum of squares about that."""

    day: date
    balls: NDArray[np.int64]
    mean: FloatArray
    squares: FloatArray

    def without_balls(self) -> CardMeans:
        """The same card before a ball of it was hit."""
        nothing = np.zeros(len(self.balls))
        return CardMeans(self.day, np.zeros_like(self.balls), nothing, nothing)

    @classmethod
    def of(cls, day: date, cell: NDArray[np.int64], gained: FloatArray, n_cells: int) -> CardMeans:
        """The means of balls [ball] by the number of their cell."""
        balls = np.bincount(cell, minlength=n_cells)
        mean = np.bincount(cell, gained, n_cells) / np.maximum(balls, 1)
        squares = np.bincount(cell, (gained - mean[cell]) ** 2, n_cells)
        return cls(day, balls, mean, squares.astype(np.float64))


@dataclass(frozen=True, slots=True, eq=False)
class CellPosterior:
    """A mixture of normals over the usual mean of every cell at every card, [card x cell] in one row.

    ``weight`` [k], ``mean`` [k, card x cell], ``covariance`` [k, card x cell, card x cell]; ``day_factor`` [k] how much
    more than assumed days differ.
    """

    prior: CellPrior
    cards: tuple[CardMeans, ...]
    weight: FloatArray
    mean: FloatArray
    covariance: FloatArray
    day_factor: FloatArray
    variance_factor: float

    def at(self, card: int, cells: FloatArray) -> FloatArray:
        """The combination [card x cell] that weights ``cells`` [cell] at one card (-1: the last one)."""
        n = len(self.prior.cells)
        combination = np.zeros((len(self.cards), n))
        combination[card] = cells
        return combination.ravel()

    def change(self, first: int, last: int, cells: FloatArray) -> FloatArray:
        """The combination that is the change of weighted ``cells`` from one card to another."""
        return self.at(last, cells) - self.at(first, cells)

    def of(self, combination: FloatArray) -> Spread:
        """The distribution of a combination [card x cell]."""
        variance = np.einsum("i,kij,j->k", combination, self.covariance, combination)
        return Spread(self.weight, self.mean @ combination, np.sqrt(np.maximum(variance, 0.0)))

    def next_card(self, cells: FloatArray, balls: FloatArray) -> Spread:
        """Mean strokes gained a ball on a card to come, on another day, without any change.

        ``cells`` [cell] weights summing to 1, ``balls`` [cell] how many are hit in each.
        """
        now = self.of(self.at(-1, cells))
        with np.errstate(divide="ignore", invalid="ignore"):
            scatter = np.where(
                cells > 0.0, cells**2 * self.variance_factor * self.prior.ball_variance / balls, 0.0
            )
        extra = self.day_factor**2 * float(cells @ self.prior.days @ cells) + float(scatter.sum())
        return Spread(now.weight, now.mean, np.sqrt(now.sd**2 + extra))

    def draws(self, n: int, rng: np.random.Generator) -> FloatArray:
        """[n, cell] plausible usual means at the last card."""
        cells = len(self.prior.cells)
        which = rng.choice(len(self.weight), size=n, p=self.weight)
        z = rng.standard_normal((n, cells))
        drawn = np.empty((n, cells))
        for k in np.unique(which):
            block = self.covariance[k][-cells:, -cells:]
            values, vectors = np.linalg.eigh(block)
            root = vectors * np.sqrt(np.maximum(values, 0.0))
            chosen = which == k
            drawn[chosen] = self.mean[k][-cells:] + z[chosen] @ root.T
        return drawn


@dataclass(frozen=True, slots=True)
class Spread:
    """A mixture of normals in one dimension."""

    weight: FloatArray
    mean: FloatArray
    sd: FloatArray

    @property
    def centre(self) -> float:
        """Its mean."""
        return float(self.weight @ self.mean)

    @property
    def variance(self) -> float:
        """Its variance."""
        return float(self.weight @ (self.sd**2 + (self.mean - self.centre) ** 2))

    def chance_above(self, value: float) -> float:
        """The chance of more than ``value``."""
        return float(self.weight @ [_above(value, m, s) for m, s in zip(self.mean, self.sd, strict=True)])

    def quantile(self, chance: float) -> float:
        """The value that is exceeded with the chance 1 - ``chance``, to 1e-6."""
        reach = 8.0 * float(self.sd.max()) + 1e-9
        low, high = float(self.mean.min()) - reach, float(self.mean.max()) + reach
        while high - low > 1e-6:
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.chance_above(middle) > 1.0 - chance else (low, middle)
        return 0.5 * (low + high)

    @property
    def interval(self) -> tuple[float, float]:
        """The central 90 %."""
        return self.quantile(_LOW), self.quantile(_HIGH)


def _above(value: float, mean: float, sd: float) -> float:
    if sd <= 0.0:
        return float(mean > value)
    return 1.0 - NormalDist(mean, sd).cdf(value)


def cell_posterior(
    prior: CellPrior,
    cards: Sequence[CardMeans],
    *,
    own_scale: float = OWN_SCALE,
    change_scale: float = CHANGE_SCALE,
    day_factor_sd: float = DAY_FACTOR_SD,
) -> CellPosterior:
    """The usual mean of every cell at every card, given all cards; cards in the order of their days.

    ``own_scale`` and ``change_scale`` of 0 leave own deviations or changes out; ``day_factor_sd`` of 0 takes days to
    differ as assumed.
    """
    factor = _variance_factor(prior, cards)
    seen, observed, days, scatter = _observations(prior, cards, factor)
    steps = _change_shape(prior, cards)
    players = np.tile(prior.players, (len(cards), len(cards)))
    own = np.tile(np.eye(len(prior.cells)), (len(cards), len(cards)))
    mean = np.tile(prior.mean, len(cards))
    found = []
    for own_sd, change_sd, log_prior in _grid(own_scale, change_scale, len(cards)):
        before = players + own_sd**2 * own + change_sd**2 * steps
        for day_factor, log_chance in _day_factors(day_factor_sd):
            noise = day_factor**2 * days + scatter
            log_evidence, *after = _conditioned(mean, before, seen, observed, noise)
            found.append((log_prior + log_chance + log_evidence, *after, day_factor))
    log_weight, means, covariances, day_factors = map(np.array, zip(*found, strict=True))
    weight = np.exp(log_weight - log_weight.max())
    return CellPosterior(prior, tuple(cards), weight / weight.sum(), means, covariances, day_factors, factor)


def _day_factors(log_sd: float) -> list[tuple[float, float]]:
    """By how much more than assumed days differ, with the log of its prior chance."""
    if not log_sd:
        return [(1.0, 0.0)]
    return [(float(np.exp(log_sd * z - log_sd**2)), float(np.log(chance))) for z, chance in _HERMITE]


def _grid(own_scale: float, change_scale: float, cards: int) -> list[tuple[float, float, float]]:
    """Sds of own deviations and of changes, with the log of their half-Cauchy prior (trapezium weights)."""
    places = np.array(_GRID)
    widths = np.convolve(np.diff(places), [0.5, 0.5])
    log_prior = np.log(widths / (1.0 + places**2))
    own = zip(own_scale * places, log_prior, strict=True) if own_scale else [(0.0, 0.0)]
    moved = (
        list(zip(change_scale * places, log_prior, strict=True))
        if cards > 1 and change_scale
        else [(0.0, 0.0)]
    )
    return [(float(o), float(m), float(po + pm)) for o, po in own for m, pm in moved]


def _variance_factor(prior: CellPrior, cards: Sequence[CardMeans]) -> float:
    """How much wider this player's balls scatter within a cell than the model's, drawn toward 1."""
    squares = sum(float((card.squares / prior.ball_variance).sum()) for card in cards)
    spare = sum(int(np.maximum(card.balls - 1, 0).sum()) for card in cards)
    return (VARIANCE_BALLS + squares) / (VARIANCE_BALLS + spare)


def _observations(
    prior: CellPrior, cards: Sequence[CardMeans], factor: float
) -> tuple[NDArray[np.int64], FloatArray, FloatArray, FloatArray]:
    """Which of [card x cell] were hit, their means, and the covariances of days and of balls about the usual."""
    balls = np.concatenate([card.balls for card in cards])
    seen = np.flatnonzero(balls).astype(np.int64)
    observed = np.concatenate([card.mean for card in cards])[seen]
    days = np.kron(np.eye(len(cards)), prior.days)[np.ix_(seen, seen)]
    scatter = np.diag((factor * np.tile(prior.ball_variance, len(cards)) / np.maximum(balls, 1))[seen])
    return seen, observed, np.asarray(days), scatter.astype(np.float64)


def _change_shape(prior: CellPrior, cards: Sequence[CardMeans]) -> FloatArray:
    """Covariance [card x cell, card x cell] of changes since the first card, for a change sd of 1."""
    n = len(prior.cells)
    weeks = [min((card.day - cards[0].day).days / 7.0, MOST_WEEKS) / CHANGE_WEEKS for card in cards]
    passed = np.minimum.outer(weeks, weeks)
    return np.asarray(np.kron(passed, COMMON_CHANGE * np.ones((n, n)) + (1.0 - COMMON_CHANGE) * np.eye(n)))


def _conditioned(
    mean: FloatArray, before: FloatArray, seen: NDArray[np.int64], observed: FloatArray, noise: FloatArray
) -> tuple[float, FloatArray, FloatArray]:
    """Log evidence, mean and covariance of a normal after some of its entries were observed with noise."""
    total = before[np.ix_(seen, seen)] + noise
    reach = before[:, seen]
    root = np.linalg.cholesky(total)
    off = np.linalg.solve(root, observed - mean[seen])
    pulled = np.linalg.solve(root, reach.T)
    log_evidence = -0.5 * float(off @ off) - float(np.log(np.diag(root)).sum())
    return log_evidence, mean + pulled.T @ off, before - pulled.T @ pulled
