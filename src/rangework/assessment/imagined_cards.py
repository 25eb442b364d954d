"""Plausible players hit the balls of a card on imagined days: what to expect of each cell beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.cell_prior import CellPrior, prior_from_days
from rangework.assessment.pin_values import ShotValues
from rangework.lie import Lie
from rangework.play.points import error_points
from rangework.skill import coordinates as c
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.model import (
    BIAS_DEPTH,
    BIAS_DIRECTION,
    DEPTH,
    DIRECTION,
    POOR,
    POOR_LENGTH,
    POOR_SPREAD,
    STANDARD,
    TABLE_LENGTH,
    TABLE_STEP_M,
    compile_golfer,
)
from rangework.skill.posterior import Posterior

FloatArray = NDArray[np.float64]

#: Plausible players behind a prior, and error points of solid and poor strikes for each.
PLAYERS, _SOLID, _POOR = 160, 64, 32


@dataclass(frozen=True, slots=True, eq=False)
class AskedBall:
    """A kind of ball that cards ask for: the cell it belongs to and what is known before it is hit.

    ``total_m`` how far a ball must go in all to finish at its target; ``pin_long_m`` and ``pin_right_m`` where the pin
    stands from there; ``short_m`` by how much its landing is short of the finish, where only that is measured.
    ``error_m`` and ``error_share``: the measuring error, metres and share of the distance from the pin.
    """

    shot: ShotValues
    cell: int
    lie: Lie
    total_m: float
    pin_long_m: float = 0.0
    pin_right_m: float = 0.0
    short_m: float = 0.0
    on_range: bool = False
    error_m: float = 0.0
    error_share: float = 0.0

    def gained(self, long_m: FloatArray, right_m: FloatArray) -> FloatArray:
        """Strokes gained by balls that far beyond and right of the target."""
        return self.shot.gained(long_m - self.pin_long_m, right_m - self.pin_right_m, self.short_m)

    def measured(
        self, long_m: FloatArray, right_m: FloatArray, z: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Finishes as a person with this measuring error writes them down; ``z`` [2, ...] standard normals."""
        off_m = np.hypot(long_m - self.pin_long_m, right_m - self.pin_right_m)
        error = np.hypot(self.error_m, self.error_share * off_m)
        return long_m + error * z[0], right_m + error * z[1]


@dataclass(frozen=True, slots=True, eq=False)
class Plausible:
    """A plausible player: compiled table, spread on the range, and how much days differ (radians, share, log)."""

    table: FloatArray
    on_range: float
    day_turn_rad: float
    day_longer: float
    day_wider: float


def plausible_players(known: Posterior | LatentPrior, n: int = PLAYERS, *, seed: int = 0) -> list[Plausible]:
    """``n`` plausible players, of a fitted posterior or of a handicap alone."""
    if isinstance(known, Posterior):
        places = np.linspace(0, known.n_draws - 1, min(n, known.n_draws)).round().astype(int)
        latents, prior = known.latents[places, :N_LATENTS], known.prior
    else:
        latents, prior = np.random.default_rng(seed).standard_normal((n, N_LATENTS)), known
    return [_plausible(each, prior) for each in latents]


def _plausible(latents: FloatArray, prior: LatentPrior) -> Plausible:
    at = np.exp(prior.coordinates(latents))
    days = (at[place] for place in (c.LN_SESSION_DIRECTION, c.LN_SESSION_DEPTH, c.LN_SESSION_SPREAD))
    golfer = golfer_from_latents(latents, prior)
    return Plausible(compile_golfer(golfer).table, float(at[c.LN_RANGE_FACTOR]), *map(float, days))


@dataclass(frozen=True, slots=True, eq=False)
class Expectation:
    """What plausible players gain: by cell, and ``kind_mean`` [kind] of each kind of ball."""

    prior: CellPrior
    kind_mean: FloatArray


def expectation(
    cells: tuple[str, ...], kinds: Sequence[AskedBall], counts: FloatArray, players: Sequence[Plausible], *,
    seed: int = 0,
) -> Expectation:  # fmt: skip
    """Moments of strokes gained by cell, each kind of ball weighing its ``counts`` [kind] within its cell."""
    days = np.random.default_rng([seed, 1]).standard_normal((len(players), 2, 3))
    by_kind = np.array([_moments(kind, players, days, seed) for kind in kinds])  # [kind, 2, player, day]
    means, variances = by_kind[:, 0], by_kind[:, 1].mean(axis=(1, 2))
    share = np.zeros((len(cells), len(kinds)))
    share[[kind.cell for kind in kinds], np.arange(len(kinds))] = counts
    share /= share.sum(axis=1, keepdims=True)
    day_means = np.einsum("ck,kpd->pdc", share, means)
    return Expectation(prior_from_days(cells, day_means, share @ variances), means.mean(axis=(1, 2)))


def _moments(kind: AskedBall, players: Sequence[Plausible], days: FloatArray, seed: int) -> FloatArray:
    """Mean and variance of a ball's strokes gained [2, player, day], over evenly spread error points."""
    points = error_points(_SOLID, _POOR, 0.3)
    z = np.concatenate([points.solid[0], points.poor[0]], axis=1)
    poor = np.arange(z.shape[1]) >= _SOLID
    rows = strike_rows(kind, players)
    long, right = struck(kind, players, rows, days, z, poor)
    noise = np.random.default_rng([seed, 2]).standard_normal((2, z.shape[1]))
    gained = kind.gained(*kind.measured(long, right, noise))
    chance = rows[:, POOR][:, None, None]
    weight = np.where(poor, chance / _POOR, (1.0 - chance) / _SOLID)
    mean = (weight * gained).sum(axis=2)
    return np.stack([mean, (weight * (gained - mean[:, :, None]) ** 2).sum(axis=2)])


class Strike(Protocol):
    """What a strike depends on, whatever it is played at: lie, distance in all, whether it is range work."""

    @property
    def lie(self) -> Lie:
        """What the ball is played from."""

    @property
    def total_m(self) -> float:
        """How far the ball must go."""

    @property
    def on_range(self) -> bool:
        """Whether it is hit on a range."""


def strike_rows(kind: Strike, players: Sequence[Plausible]) -> FloatArray:
    """[player, column] of the compiled tables at the distance of a kind of ball."""
    lie = Lie.FAIRWAY if kind.lie is Lie.TEE else kind.lie
    metres = np.arange(TABLE_LENGTH) * TABLE_STEP_M
    return np.array(
        [
            [np.interp(kind.total_m, metres, column) for column in player.table[lie, STANDARD].T]
            for player in players
        ]
    )


def struck(
    kind: Strike,
    players: Sequence[Plausible],
    rows: FloatArray,
    days: FloatArray,
    z: FloatArray,
    poor: NDArray[np.bool_],
) -> tuple[FloatArray, FloatArray]:
    """Finishes [player, day, ball], metres beyond and right of the target.

    ``days`` [player, day, 3] standard normals of a day's turn, length and width; ``z`` [2, ...ball] of the balls.
    """
    sds = np.array([[p.day_turn_rad, p.day_longer, p.day_wider] for p in players])
    turn, longer, wider = np.moveaxis(days * sds[:, None, :], 2, 0)[..., None]
    tight = np.array([p.on_range if kind.on_range else 1.0 for p in players])[:, None, None]
    at = {name: rows[:, name][:, None, None] for name in (DEPTH, DIRECTION, BIAS_DEPTH, BIAS_DIRECTION)}
    wide = tight * np.exp(wider) * np.where(poor, POOR_SPREAD, 1.0)
    middle = np.where(poor, POOR_LENGTH * kind.total_m, kind.total_m * (1.0 + longer) + at[BIAS_DEPTH])
    distance = np.maximum(middle + wide * at[DEPTH] * z[0], 0.3)
    angle = at[BIAS_DIRECTION] + turn + wide * at[DIRECTION] * z[1]
    return distance * np.cos(angle) - kind.total_m, distance * np.sin(angle)
