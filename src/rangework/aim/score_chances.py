"""The chance of a score: to hole out within the strokes that are left, targets chosen for that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.targets import Aiming, Shot
from rangework.aim.values import FloatArray
from rangework.play import kernels
from rangework.play.kernels import Player, Points
from rangework.play.strategy import Effort, Strategy, standard_effort


@dataclass(frozen=True, slots=True, eq=False)
class HoleChances:
    """Chances to hole out within 0, 1, 2, ... strokes from everywhere on a hole, and the targets that give them.

    ``policy[strokes, node]`` is (x, y, height), ``chance[strokes, node]`` the chance from a node and
    ``rasters[strokes, iy, ix]`` that of a ball at rest in a cell, marked as costs are.
    """

    strategy: Strategy
    policy: FloatArray
    chance: FloatArray
    rasters: NDArray[np.float32]

    @property
    def strokes(self) -> int:
        """The most strokes left that are known of."""
        return len(self.chance) - 1


def best_chances(
    strategy: Strategy, player: Player, strokes: int, *, effort: Effort | None = None
) -> HoleChances:
    """The largest chances, and their targets, for up to so many strokes left.

    The number of strokes left is part of the state: the target from a place is another one with three left than
    with two. Every chance rests on those with fewer strokes left only, so that nothing need be repeated.
    """
    targets = np.stack([strategy.policy.x, strategy.policy.y, strategy.policy.height.astype(float)], axis=1)
    policy = np.repeat(targets[None], strokes + 1, axis=0)
    return _chances(strategy, player, policy, effort or standard_effort(), choose=True)


def chances_with_targets(known: HoleChances, player: Player, *, effort: Effort | None = None) -> HoleChances:
    """The chances of another golfer who plays the same targets."""
    return _chances(known.strategy, player, known.policy, effort or standard_effort(), choose=False)


def _chances(
    strategy: Strategy, player: Player, policy: FloatArray, effort: Effort, *, choose: bool
) -> HoleChances:
    layout = strategy.layout
    chance = np.zeros(policy.shape[:2])
    marks = np.where(strategy.cost < 0.0, strategy.cost, np.float32(0.0))
    rasters = np.repeat(marks[None], len(policy), axis=0)
    kernels.chances_within(
        layout.hole, layout.nodes, player, (*effort.far, *effort.near), layout.near_rings, choose, policy,
        chance, rasters,
    )  # fmt: skip
    return HoleChances(strategy, policy, chance, rasters)


@dataclass(frozen=True, slots=True)
class ScoreOutlook:
    """The chance of a golfer to hole out within ``strokes`` of the ball's place, playing for that."""

    aiming: Aiming
    player: Player
    chances: HoleChances
    strokes: int

    def by_set(self, shot: Shot, points: Points) -> FloatArray:
        """The chance to need more strokes."""
        return 1.0 - np.array([self._chance(shot, points, which) for which in range(len(points.solid))])

    def _chance(self, shot: Shot, points: Points, which: int) -> float:
        """A shot that is replayed, and a failed recovery, are played again in the same way."""
        ball, hole, rasters = self.aiming.ball, self.aiming.played.layout.hole, self.chances.rasters
        start, target = (ball.row, ball.reach, *ball.place_m), (*shot.place_m, shot.height)
        putts, work = np.empty(len(self.player.putts)), kernels.new_work()
        within = [0.0]
        for strokes in range(1, self.strokes + 1):
            kernels.putts_within(self.player.cumulative, strokes - 1, putts)
            fewer = max(strokes - 2, 0)
            stage = (rasters[strokes - 1], rasters[fewer], putts, self.player.putt_step)
            stays = (within[strokes - 1], within[fewer])
            within.append(
                kernels.holed_chance(hole, stage, self.player, points, which, start, target, stays, work)
            )
        return within[-1]
