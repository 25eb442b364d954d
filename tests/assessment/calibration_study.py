"""Whether a card's ranges hold the truth as often as they say, and the cell called weakest is the weakest as often.

Players come off the fit's prior around handicap 12; what is known of them before the card is their handicap alone, or
the fit of records they produced (range, short game, rounds). The card has the 12 cells of ``retest_study``, and its
balls, like the truth of a cell, are made by ``SimulatedPlayer``, which shares no code with what is tested.

Run ``python tests/assessment/calibration_study.py`` for the figures of docs/explanation/assessments.md.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from retest_study import FIRST, HANDICAP, TestedPlayer, kinds, prior, spread_over_cells
from simulated_players import Days, SimulatedPlayer, typical_records

from rangework.assessment.cell_posterior import CardMeans, cell_posterior
from rangework.assessment.cell_prior import CellPrior
from rangework.assessment.imagined_cards import expectation, plausible_players
from rangework.assessment.leaks import leaks
from rangework.records.profile import PlayerProfile
from rangework.skill.fit import fit_player
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]

#: Records and cards that the fit's model does not describe: wild shots, heavy tails, slips, misreads, wider days.
ODD = Days(
    direction_rad=1.5 * DEGREE_RAD, depth=0.022, spread=0.15, tail_freedom=5.0, wild=0.08, slips=0.01,
    misread_poor=0.5, misread_solid=0.05,
)  # fmt: skip


@dataclass(frozen=True)
class Called:
    """One card: the share of its cells' 90 % ranges that hold the truth, the probability that was said of the weakest
    cell, and whether that is the truly weakest."""

    inside: float
    said: float
    right: bool


def from_records(player: TestedPlayer, seed: int, days: Days) -> CellPrior:
    """What the records of a player say of the 12 cells."""
    records = typical_records(SimulatedPlayer(player.golfer, seed, days))
    fit = fit_player(records, profile=PlayerProfile(handicap=HANDICAP), seed=seed)
    names = prior().cells
    return expectation(names, kinds(), np.ones(12), plausible_players(fit, seed=seed), seed=seed).prior


def truth(player: TestedPlayer, days: Days, sessions: int) -> FloatArray:
    """Usual strokes gained a ball by cell, over many sessions of luck of its own."""
    apart = replace(player, rng=np.random.default_rng([int(player.rng.integers(2**31)), 5]))
    return np.mean([apart.card(np.full(12, 100), FIRST, days=days).mean for _ in range(sessions)], axis=0)


def called(known: CellPrior, card: CardMeans, true: FloatArray, seed: int) -> Called:
    """What is said of a card beside the truth. Cells without a ball are left out, as the page does."""
    found = leaks(cell_posterior(known, [card]), seed=seed)
    by_name = dict(zip(known.cells, true, strict=True))
    held = [leak.usual.low <= by_name[leak.cell] <= leak.usual.high for leak in found.cells]  # type: ignore[operator]
    lowest = min(found.cells, key=lambda leak: by_name[leak.cell])
    return Called(float(np.mean(held)), found.weakest.weakest, found.weakest is lowest)


def cards_called(
    known_of: Callable[[TestedPlayer, int], CellPrior],
    seeds: range,
    balls: int,
    *,
    days: Days | None = None,
    sessions: int = 60,
) -> Iterator[Called]:
    """What is said of one card each of many players, given what ``known_of`` them before it."""
    days = replace(days or Days(), slips=0.0)  # balls of the card are measured, those of records may be slips
    for seed in seeds:
        player = TestedPlayer.drawn(seed)
        card = player.card(spread_over_cells(balls, player.rng), FIRST, days=days)
        yield called(known_of(player, seed), card, truth(player, days, sessions), seed)


def by_handicap(_player: TestedPlayer, _seed: int) -> CellPrior:
    """What the handicap alone says."""
    return prior()


def too_sure(_player: TestedPlayer, _seed: int) -> CellPrior:
    """The same with a third of the spread between plausible players: ranges must then be too narrow."""
    return replace(prior(), players=prior().players / 9.0)


def summary(found: list[Called]) -> str:
    """Shares in words, the chance of the weakest by what was said of it."""
    said, right = (
        np.array([getattr(each, name) for each in found], dtype=float) for name in ("said", "right")
    )
    told = [
        f"ranges hold {np.mean([each.inside for each in found]):.3f}",
        f"weakest said {said.mean():.2f}, right {right.mean():.2f}",
    ]
    for low, high in ((0.0, 0.5), (0.5, 0.7), (0.7, 1.01)):
        some = (said >= low) & (said < high)
        if some.any():
            shares = f"said {said[some].mean():.2f}, right {right[some].mean():.2f}"
            told.append(f"{low:.1f} to {min(high, 1.0):.1f}: {some.sum()} {shares}")
    return "; ".join(told)


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    for name, days in (("records", Days()), ("odd records", ODD), ("handicap alone", None)):
        fitted = (
            {seed: from_records(TestedPlayer.drawn(seed), seed, days) for seed in range(n)} if days else {}
        )
        for balls in (20, 60):
            found = cards_called(
                lambda _player, seed, fitted=fitted: fitted.get(seed, prior()), range(n), balls, days=days
            )
            print(f"{name}, {balls} balls:", summary(list(found)), flush=True)


if __name__ == "__main__":
    main()
