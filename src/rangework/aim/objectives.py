"""What a shot is aimed for: the fewest strokes on average, or the chance of a stated score or better."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rangework.aim.score_chances import HoleChances, ScoreOutlook, best_chances, chances_with_targets
from rangework.aim.targets import Aiming, Shot
from rangework.aim.values import FloatArray, Outlook, StrokesOutlook, mean_value
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.play.kernels import Player, Points
from rangework.play.points import error_points
from rangework.play.strategy import Effort, Strategy, coarsened, compile_player, evaluate_policy, narrowed
from rangework.skill.model import Golfer

#: Places farther from the pin than the ball by more than this are seldom played from, and keep their value.
_BEHIND_BALL_M = 40.0
#: Lattice, points near the pin and far from it, sweeps and spacing of the table of putts for plausible players: they
#: are valued roughly, and so is the golfer in the middle, whose two values tell how far off that is.
_COARSE_STEP_M, _FINE_STEP_M = 10.0, 4.0
_NEAR, _FAR = (48, 16, 0.3, 16), (96, 32, 0.3, 32)
_SWEEPS, _PUTT_STEP_M = 2, 0.2
_PAR_WORDS = {"birdie": -1, "par": 0, "bogey": 1}


class Objective(Protocol):
    """What is made small, for the player and for each plausible one who plays the same targets afterwards."""

    @property
    def own(self) -> Outlook:
        """The player's."""

    def rough(self, player: Player) -> Outlook:
        """A plausible player's, valued roughly."""


@dataclass(frozen=True)
class FewestStrokes:
    """Expected strokes to hole out."""

    strategy: Strategy
    aiming: Aiming

    @property
    def own(self) -> StrokesOutlook:
        """The player's."""
        return StrokesOutlook(self.aiming, self.aiming.player, self.strategy.cost)

    def rough(self, player: Player) -> StrokesOutlook:
        """A plausible player's."""
        near, far = error_points(*_NEAR), error_points(*_FAR)
        around, active = self._around
        valued = evaluate_policy(around, player, near=near, far=far, sweeps=_SWEEPS, active=active)
        return StrokesOutlook(self.aiming, player, valued.cost)

    @cached_property
    def _around(self) -> tuple[Strategy, NDArray[np.bool_]]:
        """The targets on a coarser lattice, and its nodes that the hole may be played on from."""
        coarse = coarsened(self.strategy, coarse_step_m=_COARSE_STEP_M, fine_step_m=_FINE_STEP_M)
        nodes, (x, y) = coarse.layout.nodes, self.aiming.played.pin_m
        active = np.ones(len(nodes.x), dtype=np.bool_)
        active[-1] = False  # the tee itself is not played on from: a lost ball's loop is solved apart
        if self.aiming.ball.lie is not Lie.TEE:
            far_m = math.dist(self.aiming.ball.place_m, (x, y)) + _BEHIND_BALL_M
            active &= np.hypot(nodes.x - x, nodes.y - y) <= far_m
        return narrowed(coarse, active), active


@dataclass(frozen=True)
class BestChance:
    """The chance to hole out within ``strokes``; what is made small is the chance to need more."""

    strategy: Strategy
    aiming: Aiming
    strokes: int

    @property
    def own(self) -> ScoreOutlook:
        """The player's."""
        return ScoreOutlook(self.aiming, self.aiming.player, self._chances, self.strokes)

    def rough(self, player: Player) -> ScoreOutlook:
        """A plausible player's."""
        far, near = error_points(*_FAR), error_points(*_NEAR)
        effort = Effort(far=(far, far, far), near=(near, near, near))
        chances = chances_with_targets(self._chances, player, effort=effort)
        return ScoreOutlook(self.aiming, player, chances, self.strokes)

    @cached_property
    def _chances(self) -> HoleChances:
        coarse = coarsened(self.strategy, coarse_step_m=_COARSE_STEP_M, fine_step_m=_FINE_STEP_M)
        return best_chances(coarse, self.aiming.player, self.strokes)


def plausible_values(
    objective: Objective,
    golfer: Golfer,
    draws: Sequence[Golfer],
    shots: Sequence[Shot],
    points: Points,
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> FloatArray:
    """What is made small, ``[draw, shot]``, for each of ``draws``, who aims like ``golfer`` ever after.

    The last row is that of ``golfer``, valued as roughly as the others.
    """

    def of(drawn: Golfer) -> FloatArray:
        conditions = objective.own.aiming.played.layout.conditions
        outlook = objective.rough(
            compile_player(drawn, aimed_by=golfer, conditions=conditions, putt_step_m=_PUTT_STEP_M)
        )
        if progress:
            progress()
        return np.array([mean_value(outlook, shot, points) for shot in shots])

    middle = of(golfer)  # first, so that what the threads share is there
    with ThreadPoolExecutor(threads) as pool:
        return np.array([*pool.map(of, draws), middle])


def parse_objective(text: str, par: int) -> int | None:
    """The score to reach on a hole of that par: ``5 or better``, ``par or better``; None for ``mean``.

    Raises InputError.
    """
    words = " ".join(text.lower().split())
    if words == "mean":
        return None
    found = re.fullmatch(r"(\d+|birdie|par|bogey) or better", words)
    if not found:
        expected = "mean, or a score such as 5 or better, or par or better"
        raise InputError(Problem("--objective", "", text, expected))
    return par + _PAR_WORDS[found[1]] if found[1] in _PAR_WORDS else int(found[1])


def strokes_left(score: int, stroke: int) -> int:
    """Strokes left for a score, the one about to be played included. Raises InputError where it is out of reach.

    The model holes nothing from off the green, so that a shot and a putt are the least.
    """
    left = score - (stroke - 1)
    if left < 2:
        expected = f"at least {stroke + 1} or better: this is stroke {stroke}, and at least a putt follows"
        raise InputError(Problem("--objective", "", f"{score} or better", expected))
    return left
