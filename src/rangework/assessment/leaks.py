"""Where strokes leak: cells of a card from the lowest up, each drawn toward the rest by how few its balls are.

Beside each stands what was believed of it before the card was hit: few balls move a belief that rests on many records
by little, and whoever reads the card should see which of the two speaks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.cell_posterior import CellPosterior, Spread, cell_posterior
from rangework.estimate import Estimate

FloatArray = NDArray[np.float64]

UNIT = "strokes gained a ball"
#: What a cell's figure rests on.
BASIS = (
    "data+prior.player+prior.reference_golfer+prior.sessions"
    "+assumption.assessment.own_deviation+assumption.assessment.change+assumption.assessment.day_factor"
)
_DRAWS = 8000


@dataclass(frozen=True, slots=True)
class Leak:
    """One cell: ``raw`` mean of its balls, ``usual`` what the player gains there day by day, after shrinkage.

    ``weakest``: the probability that no other cell of the card is weaker. ``usual_before`` and ``weakest_before``: the
    same without the card's balls. ``from_card``: the share of the doubt (variance) that its balls took away.
    """

    cell: str
    balls: int
    raw: float
    usual: Estimate
    weakest: float
    usual_before: Estimate
    weakest_before: float
    from_card: float


@dataclass(frozen=True, slots=True)
class Leaks:
    """A card in sum: ``gained`` on the day, ``usual`` for as many such balls any day, and its cells, lowest first."""

    balls: int
    gained: float
    usual: Estimate
    cells: tuple[Leak, ...]

    @property
    def weakest(self) -> Leak:
        """The cell most probably weakest."""
        return max(self.cells, key=lambda leak: leak.weakest)


def leaks(posterior: CellPosterior, *, seed: int = 0) -> Leaks:
    """The last card's leaks, given all cards."""
    card = posterior.cards[-1]
    before = cell_posterior(posterior.prior, [*posterior.cards[:-1], card.without_balls()])
    hit = np.flatnonzero(card.balls)
    found = [
        _leak(posterior, before, int(cell), *chances)
        for cell, *chances in zip(
            hit, _chances_weakest(posterior, hit, seed), _chances_weakest(before, hit, seed), strict=True
        )
    ]
    total = posterior.of(posterior.at(-1, card.balls.astype(np.float64)))
    return Leaks(
        int(card.balls.sum()),
        float(card.balls @ card.mean),
        estimate_of(total, "strokes gained"),
        tuple(sorted(found, key=lambda leak: leak.usual.value)),
    )


def _leak(
    posterior: CellPosterior, before: CellPosterior, cell: int, chance: float, chance_before: float
) -> Leak:
    card, weights = posterior.cards[-1], one_cell(posterior, cell)
    now, then = (each.of(each.at(-1, weights)) for each in (posterior, before))
    return Leak(
        posterior.prior.cells[cell],
        int(card.balls[cell]),
        float(card.mean[cell]),
        estimate_of(now),
        chance,
        estimate_of(then),
        chance_before,
        max(0.0, 1.0 - now.variance / then.variance) if then.variance > 0.0 else 0.0,
    )


def _chances_weakest(posterior: CellPosterior, cells: NDArray[np.intp], seed: int) -> list[float]:
    """The probability of each of ``cells`` that it is the lowest of them."""
    drawn = posterior.draws(_DRAWS, np.random.default_rng(seed))[:, cells]
    counts: list[float] = (np.bincount(drawn.argmin(axis=1), minlength=len(cells)) / len(drawn)).tolist()
    return counts


def one_cell(posterior: CellPosterior, cell: int) -> FloatArray:
    """Weights [cell] of one cell alone."""
    return np.asarray(np.arange(len(posterior.prior.cells)) == cell, dtype=np.float64)


def estimate_of(spread: Spread, unit: str = UNIT) -> Estimate:
    """A distribution as an estimate with its 90 % interval."""
    low, high = spread.interval
    return Estimate(spread.centre, low, high, unit, BASIS)
