"""What a shot at a target is worth, over evenly spread error points: no luck in it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rangework.aim.targets import Aiming, Shot
from rangework.course.geometry import Point
from rangework.play import kernels
from rangework.play.kernels import Player, Points
from rangework.play.points import error_points

FloatArray = NDArray[np.float64]


@cache
def balanced_points(solid: int, poor: int, shift: float, sets: int) -> Points:
    """Error points with the mirror image of every one among them, so that no side is favoured."""
    points = error_points(solid // 2, poor // 2, shift, sets)
    return Points(_balanced(points.solid), _balanced(points.poor))


def _balanced(pairs: FloatArray) -> FloatArray:
    return np.concatenate([pairs, pairs * np.array([1.0, -1.0])[:, None]], axis=2)


@dataclass(frozen=True, slots=True)
class AimPoints:
    """Points that search for the best target, that value a target, and that value it for each plausible player."""

    search: Points
    value: Points
    draw: Points

    @classmethod
    def usual(cls) -> AimPoints:
        """Those behind every figure shown; other points search than value, since the best found flatters itself."""
        return cls(
            balanced_points(640, 160, 0.1, 4),
            balanced_points(4000, 1000, 0.37, 4),
            balanced_points(2000, 500, 0.37, 2),
        )


class Outlook(Protocol):
    """A ball to be played, and what is to be made small: expected strokes, or the chance to miss a score."""

    @property
    def aiming(self) -> Aiming:
        """The ball, on its hole."""

    def by_set(self, shot: Shot, points: Points) -> FloatArray:
        """What a shot costs, by set of points."""


def mean_value(outlook: Outlook, shot: Shot, points: Points) -> float:
    """What a shot costs, over all sets of points."""
    return float(outlook.by_set(shot, points).mean())


def best_height(outlook: Outlook, place: Point, points: Points, height: int | None = None) -> Shot:
    """The shot at a place, played with ``height`` or with whichever costs least."""
    heights = outlook.aiming.heights(place) if height is None else (height,)
    shots = [Shot(place, each) for each in heights]
    return shots[0] if len(shots) == 1 else min(shots, key=lambda shot: mean_value(outlook, shot, points))


@dataclass(frozen=True, slots=True)
class StrokesOutlook:
    """What a golfer is expected to need: ``cost`` from wherever the ball may come to rest."""

    aiming: Aiming
    player: Player
    cost: NDArray[np.float32]

    def by_set(self, shot: Shot, points: Points) -> FloatArray:
        """Expected strokes to hole out, this one included."""
        ball, hole, work = self.aiming.ball, self.aiming.played.layout.hole, kernels.new_work()
        return np.array(
            [
                kernels.expected_cost(
                    hole, self.cost, self.player, points, which, ball.row, ball.reach,
                    *ball.place_m, *shot.place_m, shot.height, work,
                )
                for which in range(len(points.solid))
            ]
        )  # fmt: skip
