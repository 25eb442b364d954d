"""Rounds by Monte Carlo: every stroke of every hole, with luck keyed by seed, round, hole, stroke and use.

Because luck is keyed and not drawn in turn, two golfers meet the same luck at the same stroke, and the answer
does not depend on how many threads share the work.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.strategy import Strategy

#: Rounds played at a time. Sums are taken block by block in order, so that they don't depend on threads.
BLOCK = 32768

#: Groups of strokes whose strokes gained are summed, in the order of ``RoundSample.gained``.
GROUPS = (
    "tee",
    "approach_50_100",
    "approach_100_150",
    "approach_150_200",
    "approach_200_up",
    "chip",
    "pitch",
    "bunker",
    "putting",
)
#: Family of each group.
GROUP_FAMILY = ("tee", *["approach"] * 4, *["short_game"] * 3, "putting")
FAMILIES = ("tee", "approach", "short_game", "putting")
#: Columns of ``RoundSample.by_family``.
TEE, APPROACH, SHORT_GAME, PUTTS, PENALTIES = range(5)


@dataclass(frozen=True, slots=True)
class RoundSample:
    """Simulated rounds.

    ``strokes[round, hole]`` (penalties included), ``by_family[round, hole, column]`` (strokes from the tee of
    par 4s and 5s, approach, short game, putts; then penalty strokes), ``fairway_hit`` and ``green_hit``
    [round, hole], ``par[hole]``; ``gained[group]``: strokes gained a round on the reference golfer, summing
    exactly to the reference golfer's expected score minus the mean score.
    """

    strokes: NDArray[np.uint8]
    by_family: NDArray[np.uint8]
    fairway_hit: NDArray[np.bool_]
    green_hit: NDArray[np.bool_]
    par: NDArray[np.int64]
    gained: NDArray[np.float64]

    @property
    def scores(self) -> NDArray[np.int64]:
        """Score of every round."""
        totals: NDArray[np.int64] = self.strokes.sum(axis=1, dtype=np.int64)
        return totals

    @property
    def mean(self) -> float:
        """Mean score."""
        return float(self.scores.mean())

    @property
    def standard_error(self) -> float:
        """Standard error of the mean score."""
        return float(self.scores.std(ddof=1) / np.sqrt(len(self.strokes)))

    def gained_by_family(self) -> dict[str, float]:
        """Strokes gained a round on the reference golfer by family."""
        return {
            family: float(sum(g for g, of in zip(self.gained, GROUP_FAMILY, strict=True) if of == family))
            for family in FAMILIES
        }


def play_rounds(
    strategies: Sequence[Strategy],
    player: Player,
    rounds: int,
    *,
    seed: int = 0,
    first_round: int = 0,
    against: Sequence[Strategy] | None = None,
    against_player: Player | None = None,
    threads: int = 2,
) -> RoundSample:
    """Play ``rounds`` rounds of ``player`` with the targets of ``strategies``.

    ``against``: a reference golfer's strategies on the same layouts, to count strokes gained on (with
    ``against_player``); without them the strategies' own values serve, and the gains are near zero.
    """
    theirs = against or strategies
    their_player = against_player or player
    n_holes = len(strategies)
    tallies = np.empty((n_holes, rounds), dtype="<i8")
    strokes = np.empty((n_holes, rounds), dtype=np.uint8)
    fairway, green = np.empty((2, n_holes, rounds), dtype=np.bool_)

    def play_block(hole: int, start: int) -> NDArray[np.float64]:
        gained = np.zeros(len(GROUPS))
        stop = min(start + BLOCK, rounds)
        layout = strategies[hole].layout
        kernels.play_hole(
            layout.hole, layout.nodes, strategies[hole].policy, player,
            (theirs[hole].cost, their_player.putts, their_player.putt_step), theirs[hole].expected_strokes,
            seed, first_round + start, layout.number, layout.par,
            tallies[hole, start:stop], strokes[hole, start:stop],
            fairway[hole, start:stop], green[hole, start:stop], gained,
        )  # fmt: skip
        return gained

    blocks = [(hole, start) for hole in range(n_holes) for start in range(0, rounds, BLOCK)]
    with ThreadPoolExecutor(threads) as pool:
        gains = list(pool.map(lambda block: play_block(*block), blocks))
    return RoundSample(
        strokes.T,
        tallies.view(np.uint8).reshape(n_holes, rounds, 8)[:, :, :5].transpose(1, 0, 2),
        fairway.T,
        green.T,
        np.array([s.layout.par for s in strategies]),
        np.sum(gains, axis=0) / rounds,
    )
