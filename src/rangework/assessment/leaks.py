"""Where strokes leak: cells of a card from the lowest up, each drawn toward the rest by how few its balls are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.cell_posterior import CellPosterior, Spread
from rangework.estimate import Estimate

FloatArray = NDArray[np.float64]

UNIT = "strokes gained a ball"
#: What a cell's figure rests on.
BASIS = (
    "data+prior.player+prior.reference_golfer+prior.sessions"
    "+assumption.assessment.own_deviation+assumption.assessment.change"
)
_DRAWS = 8000


@dataclass(frozen=True, slots=True)
class Leak:
    """One cell: ``raw`` mean of its balls, ``usual`` what the player gains there day by day, after shrinkage.

    ``weakest``: the probability that no other cell of the card is weaker.
    """

    cell: str
    balls: int
    raw: float
    usual: Estimate
    weakest: float


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
    hit = np.flatnonzero(card.balls)
    drawn = posterior.draws(_DRAWS, np.random.default_rng(seed))[:, hit]
    weakest = np.bincount(drawn.argmin(axis=1), minlength=len(hit)) / len(drawn)
    found = [
        Leak(
            posterior.prior.cells[cell],
            int(card.balls[cell]),
            float(card.mean[cell]),
            estimate_of(posterior.of(posterior.at(-1, one_cell(posterior, int(cell))))),
            float(chance),
        )
        for cell, chance in zip(hit, weakest, strict=True)
    ]
    total = posterior.of(posterior.at(-1, card.balls.astype(np.float64)))
    return Leaks(
        int(card.balls.sum()),
        float(card.balls @ card.mean),
        estimate_of(total, "strokes gained"),
        tuple(sorted(found, key=lambda leak: leak.usual.value)),
    )


def one_cell(posterior: CellPosterior, cell: int) -> FloatArray:
    """Weights [cell] of one cell alone."""
    return np.asarray(np.arange(len(posterior.prior.cells)) == cell, dtype=np.float64)


def estimate_of(spread: Spread, unit: str = UNIT) -> Estimate:
    """A distribution as an estimate with its 90 % interval."""
    low, high = spread.interval
    return Estimate(spread.centre, low, high, unit, BASIS)
