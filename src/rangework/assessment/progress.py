"""Two or more assessments of one player: what changed, and whether that is real or luck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.cell_posterior import CellPosterior
from rangework.assessment.leaks import estimate_of
from rangework.estimate import Estimate

FloatArray = NDArray[np.float64]

#: A change is called real from this chance on; a strength is said to fade from ``FADING``.
REAL, FADING = 0.9, 0.75

Kind = Literal["all", "band", "pin", "cell"]


@dataclass(frozen=True, slots=True)
class Stage:
    """A part on one card: balls, their raw mean (None without a ball) and the usual mean as all cards tell it."""

    day: date
    balls: int
    raw: float | None
    usual: Estimate


@dataclass(frozen=True, slots=True)
class Change:
    """What became of a part from the first card to the last.

    ``foretold``: the last card's raw mean as the cards before it foretold it, if nothing had changed: what comes back
    by itself is in it. ``chance_real``: the probability that the usual mean moved the way it seems to.
    """

    name: str
    kind: Kind
    stages: tuple[Stage, ...]
    foretold: Estimate
    change: Estimate
    chance_real: float

    @property
    def real(self) -> bool:
        """Whether the change is more than luck with at least 90 %."""
        return self.chance_real >= REAL

    @property
    def fading(self) -> bool:
        """Whether a strength of the first card has probably become weaker."""
        return self.change.value < 0.0 < self.stages[0].usual.value and self.chance_real >= FADING


def changes(
    posterior: CellPosterior, before: CellPosterior, groups: Mapping[str, tuple[Kind, FloatArray]]
) -> tuple[Change, ...]:
    """The change of each of ``groups`` (name: kind and weights [cell]), in their order.

    ``posterior`` holds all cards, ``before`` all but the last. Weights are turned into shares.
    """
    return tuple(_change(posterior, before, name, *group) for name, group in groups.items())


def _change(
    posterior: CellPosterior, before: CellPosterior, name: str, kind: Kind, weights: FloatArray
) -> Change:
    shares = weights / weights.sum()
    moved = posterior.of(posterior.change(0, -1, shares))
    rose = moved.chance_above(0.0)
    balls = posterior.cards[-1].balls
    hit = np.where(balls > 0, shares, 0.0)
    # a card foretells the balls that were hit
    asked = hit / hit.sum() if hit.any() else shares
    foretold = before.next_card(asked, np.maximum(balls, 1).astype(np.float64))
    return Change(
        name,
        kind,
        tuple(_stage(posterior, card, shares) for card in range(len(posterior.cards))),
        estimate_of(foretold),
        estimate_of(moved),
        max(rose, 1.0 - rose),
    )


def _stage(posterior: CellPosterior, number: int, shares: FloatArray) -> Stage:
    card = posterior.cards[number]
    weights = np.where(card.balls > 0, shares, 0.0)
    raw = float(weights @ card.mean / weights.sum()) if weights.any() else None
    balls = int(card.balls[shares > 0.0].sum())
    return Stage(card.day, balls, raw, estimate_of(posterior.of(posterior.at(number, shares))))


def groups_of(
    cells: tuple[str, ...], bands: tuple[str, ...], pins: tuple[str, ...], balls: NDArray[np.int64]
) -> dict[str, tuple[Kind, FloatArray]]:
    """Everything, each band, each pin position and each cell; cells weigh as many balls as all cards had there.

    ``bands`` and ``pins`` name those of each cell; groups of one cell, or of all, are not told twice.
    """
    weights = np.maximum(balls, 0).astype(np.float64)
    found: dict[str, tuple[Kind, FloatArray]] = {"all balls": ("all", weights)}
    several: tuple[tuple[Kind, tuple[str, ...]], ...] = (("band", bands), ("pin", pins))
    for kind, names in several:
        different = dict.fromkeys(names)
        if len(different) > 1:
            for name in different:
                chosen = np.array([each == name for each in names])
                found[name] = (kind, np.where(chosen, weights, 0.0))
    for number, cell in enumerate(cells):
        if len(cells) > 1 and cell not in found:
            found[cell] = ("cell", np.where(np.arange(len(cells)) == number, weights, 0.0))
    return found
