"""Rounds after practice beside the same rounds today: what a plan's replay plays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from rangework.play.rounds import play_rounds
from rangework.play.strategy import Strategy, compile_player, refine_course
from rangework.skill.model import Golfer
from rangework.skill.parts import improve

#: Rounds that each plausible player plays before and after practice.
DRAW_ROUNDS = 1000


class Rehearsal:
    """Plays plausible players before and after practice, with the same luck.

    ``strategies`` are the targets of ``golfer``, the middle of the plausible ``draws``; after practice they are
    moved to where that golfer, improved, aims. Each draw plays ``DRAW_ROUNDS`` rounds with them.
    """

    def __init__(
        self,
        strategies: Sequence[Strategy],
        golfer: Golfer,
        draws: Sequence[Golfer],
        *,
        seed: int = 0,
        threads: int = 2,
    ) -> None:
        self._strategies = strategies
        self._conditions = strategies[0].layout.conditions
        self._golfer = golfer
        self._draws = draws
        self._seed = seed
        self._threads = threads
        self._today = self._scores(strategies, {})

    def __call__(self, steps: Mapping[str, float]) -> tuple[float, float]:
        """Strokes a round saved by ``steps`` of each part (negative: lost), and their standard error."""
        player = compile_player(improved(self._golfer, steps), conditions=self._conditions)
        targets = refine_course(self._strategies, player, threads=self._threads)
        saved = self._today - self._scores(targets, steps)
        return float(saved.mean()), float(saved.std(ddof=1) / np.sqrt(saved.size))

    def _scores(self, strategies: Sequence[Strategy], steps: Mapping[str, float]) -> NDArray[np.float64]:
        planner = improved(self._golfer, steps)

        def score(number: int) -> NDArray[np.int64]:
            player = compile_player(
                improved(self._draws[number], steps), aimed_by=planner, conditions=self._conditions
            )
            first = number * DRAW_ROUNDS
            played = play_rounds(
                strategies, player, DRAW_ROUNDS, seed=self._seed, first_round=first, threads=1
            )
            return played.scores

        with ThreadPoolExecutor(self._threads) as pool:
            scores = list(pool.map(score, range(len(self._draws))))
        return np.concatenate(scores).astype(np.float64)


def improved(golfer: Golfer, steps: Mapping[str, float]) -> Golfer:
    """The golfer after ``steps`` of each part named (negative steps: worse)."""
    for part, count in steps.items():
        golfer = improve(golfer, part, count)
    return golfer
