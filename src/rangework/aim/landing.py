"""Where a shot finishes: on the green, short-sided, in sand, with a penalty."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.played_hole import PlayedHole
from rangework.aim.targets import Aiming, Shot
from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Points
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: A ball off the green and its fringe, no farther from the pin than ``SHORT_SIDE_FROM_M``, is short-sided with less
#: green than ``SHORT_SIDE_M`` between its edge and the pin (sources.toml: assumption.aim.short_sided).
SHORT_SIDE_M, SHORT_SIDE_FROM_M = 8.0 * YARD_M, 30.0 * YARD_M
_BEARINGS, _STEP_M, _REACH_M = 720, 0.25, 60.0


@dataclass(frozen=True, slots=True)
class Finishes:
    """Where one shot's balls come to rest or are lost, with weights that sum to 1."""

    x_m: FloatArray
    y_m: FloatArray
    weight: FloatArray

    def chance(self, where: NDArray[np.bool_]) -> float:
        """The chance of the balls marked."""
        return float(self.weight[where].sum())


@dataclass(frozen=True, slots=True)
class ShotChances:
    """Chances of how one shot finishes; a ball in a bunker may be short-sided as well."""

    green: float
    short_sided: float
    bunker: float
    penalty: float


def shot_chances(aiming: Aiming, shot: Shot, points: Points) -> ShotChances:
    """How a shot finishes, over all error points."""
    found = finishes(aiming, shot, points)
    ground = aiming.played.layout.grid.ground_at(found.x_m, found.y_m)
    lost = (ground == Ground.WATER) | (ground == Ground.OUT)
    off = (ground != Ground.GREEN) & (ground != Ground.FRINGE) & ~lost
    return ShotChances(
        green=found.chance(ground == Ground.GREEN),
        short_sided=found.chance(off & is_short_sided(aiming.played, found.x_m, found.y_m)),
        bunker=found.chance(ground == Ground.SAND),
        penalty=found.chance(lost),
    )


def finishes(aiming: Aiming, shot: Shot, points: Points) -> Finishes:
    """Where the balls of a shot come to rest, before any relief.

    A recovery that fails stays where it was.
    """
    ball, player, hole = aiming.ball, aiming.player, aiming.played.layout.hole
    longest_m = aiming.longest_toward_m(shot.place_m)
    right, forward, target_m = kernels.aim_line(hole, ball.row, *ball.place_m, *shot.place_m, longest_m)
    middle_m, numbers = kernels.struck_here(
        hole, player, ball.row, shot.height, *ball.place_m, right, forward, target_m
    )
    depth, direction, bias_depth, bias, poor, carry, *starts = numbers
    walks = target_m < kernels.WALK_BELOW_M

    def land(
        pairs: FloatArray, total_m: float, stretch: float, share: float, start: Sequence[float]
    ) -> Finishes:
        spread = (total_m, depth, bias, direction, player.correlation, carry, walks)
        places = [
            _landed(hole, pairs_of_set, stretch, spread, start, (right, forward)) for pairs_of_set in pairs
        ]
        x, y = np.concatenate(places, axis=1)
        return Finishes(x, y, np.full(len(x), share / len(x)))

    solid = land(points.solid, middle_m + bias_depth, 1.0, 1.0 - poor, starts[:2])
    weak = land(points.poor, kernels.POOR_LENGTH * middle_m, kernels.POOR_SPREAD, poor, starts[2:])
    if ball.lie is Lie.RECOVERY:
        weak = Finishes(*(np.array([value]) for value in (*ball.place_m, poor)))
    return Finishes(
        np.concatenate([solid.x_m, weak.x_m]),
        np.concatenate([solid.y_m, weak.y_m]),
        np.concatenate([solid.weight, weak.weight]),
    )


def _landed(
    hole: kernels.HoleArrays,
    pairs: FloatArray,
    stretch: float,
    spread: tuple[float, ...],
    start: Sequence[float],
    line: tuple[float, float],
) -> FloatArray:
    """Places [2, ball] where the balls of one set of points stop."""
    work, count = kernels.new_work(), pairs.shape[1]
    kernels.land_points(hole, np.ascontiguousarray(pairs), stretch, spread, start[0], start[1], *line, work)
    return np.stack([work[0][first : first + count] for first in (kernels.END_X, kernels.END_Y)])


def is_short_sided(played: PlayedHole, x_m: FloatArray, y_m: FloatArray) -> NDArray[np.bool_]:
    """Which places around the green have little green to work with."""
    right, forward = x_m - played.pin_m[0], y_m - played.pin_m[1]
    bearing = np.arctan2(right, forward) % (2.0 * np.pi)
    which = np.rint(bearing / (2.0 * np.pi) * _BEARINGS).astype(np.int64) % _BEARINGS
    near: NDArray[np.bool_] = np.hypot(right, forward) <= SHORT_SIDE_FROM_M
    return near & (green_to_work_with(played)[which] < SHORT_SIDE_M)


def green_to_work_with(played: PlayedHole) -> FloatArray:
    """Metres of green from the pin to its edge, by bearing: clockwise from straight on, in even steps."""
    bearing = np.arange(_BEARINGS) * (2.0 * np.pi / _BEARINGS)
    out = np.arange(0.0, _REACH_M, _STEP_M)
    x = played.pin_m[0] + np.sin(bearing)[:, None] * out
    y = played.pin_m[1] + np.cos(bearing)[:, None] * out
    off = played.layout.grid.ground_at(x, y) != Ground.GREEN
    off[:, -1] = True
    return np.asarray(out[off.argmax(axis=1)])
