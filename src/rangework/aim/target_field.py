"""What aiming at every place nearby would cost: the ground between the targets that are compared."""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from rangework.aim.comparing import Comparison
from rangework.aim.objectives import Objective
from rangework.aim.played_hole import seen_from
from rangework.aim.targets import Target
from rangework.aim.values import AimPoints, FloatArray, Outlook, best_height, mean_value
from rangework.course.geometry import Point
from rangework.course.local_plane import turned
from rangework.play.kernels import Points

#: Ground shown around the targets, its least extent, and how finely targets are tried on it.
_BESIDE_M, _LEAST_M, _STEP_M, _MOST_STEPS = 26.0, 68.0, 3.0, 30
#: Least width of that ground, as a share of its length.
_LEAST_WIDE = 0.72
#: The pin is looked at where the best target is this near to it.
NEAR_PIN_M = 60.0
#: What rounding makes of a place on an edge, or of the weight of a corner that has none.
_EDGE_M, _NO_WEIGHT = 1e-6, 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class TargetField:
    """Expected strokes (or the chance of the score aimed for) by target, ``values[beyond, right]``.

    ``right_m`` and ``beyond_m`` count from the pin, ``beyond`` pointing ``turn_rad`` clockwise of the line from the tee
    to the pin: from the ball to the pin or, where that is far off, to the best target. nan where none can be aimed at.
    """

    turn_rad: float
    right_m: FloatArray
    beyond_m: FloatArray
    values: FloatArray

    def seen(self, from_pin_m: FloatArray) -> FloatArray:
        """Points (..., 2) right of the pin and beyond it, as seen from the tee, turned to this field's sight."""
        return turned(from_pin_m, self.turn_rad)

    def at(self, place_m: Point) -> float:
        """The value of a target at a place, read in between; nan beyond the field or beside what cannot be aimed at."""
        (column, across), (row, along) = (
            _between(at, axis) for at, axis in zip(place_m, (self.right_m, self.beyond_m), strict=True)
        )
        if column < 0 or row < 0:
            return math.nan
        corners, weights = self.values[row : row + 2, column : column + 2], np.outer(along, across)
        # a place on the side of a square reads the two corners of that side alone
        counted = weights > _NO_WEIGHT
        return float((corners[counted] * weights[counted]).sum() / weights[counted].sum())


def _between(at: float, axis: FloatArray) -> tuple[int, FloatArray]:
    """The place of an axis before ``at``, -1 beyond its ends, and the weights of that and of the next."""
    place = float(np.interp(at, axis, np.arange(len(axis))))
    if not axis[0] - _EDGE_M <= at <= axis[-1] + _EDGE_M:
        return -1, np.zeros(2)
    before = min(int(place), len(axis) - 2)
    return before, np.array([1.0 - (place - before), place - before])


def target_field(
    comparison: Comparison,
    objective: Objective,
    points: AimPoints,
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> TargetField:
    """Value every target around those compared, at the level of the comparison's own values."""
    turn_rad, right_m, beyond_m = _frame(comparison)
    best = comparison.choices[comparison.best]
    own = objective.own
    # a few points do for the shape; the level is that of the best target's own figure
    rough = mean_value(own, best.shot, points.draw)
    level = float(comparison.values.means[comparison.best]) - rough
    pin = np.asarray(comparison.aiming.played.pin_m)

    def row(beyond: float) -> FloatArray:
        across = np.stack([right_m, np.full(len(right_m), beyond)], axis=1)
        values = [_value(own, (x, y), points.draw) for x, y in (turned(across, -turn_rad) + pin).tolist()]
        if progress:
            progress()
        return np.array(values)

    with ThreadPoolExecutor(threads) as pool:
        values = np.array([*pool.map(row, beyond_m.tolist())]) + level
    return TargetField(turn_rad, right_m, beyond_m, values if comparison.unit == "strokes" else 1.0 - values)


def _value(own: Outlook, place: Point, points: Points) -> float:
    aiming = own.aiming
    right_m, long_m = seen_from(aiming.ball.place_m, aiming.played.pin_m, place)
    if aiming.fault(Target(right_m=right_m, long_m=long_m)) is not None:
        return math.nan
    return mean_value(own, best_height(own, place, points), points)


def _frame(comparison: Comparison) -> tuple[float, FloatArray, FloatArray]:
    """Which way the field is looked at, and where targets are tried."""
    aiming = comparison.aiming
    ball, pin = aiming.ball.place_m, aiming.played.pin_m
    best = comparison.choices[comparison.best].shot.place_m
    at_green = math.dist(best, pin) <= NEAR_PIN_M
    ahead = pin if at_green else best
    turn_rad = math.atan2(ahead[0] - ball[0], ahead[1] - ball[1])
    places = [choice.shot.place_m for choice in comparison.choices] + ([pin] if at_green else [])
    seen = turned(np.array(places) - np.asarray(pin), turn_rad)
    low, high = seen.min(axis=0) - _BESIDE_M, seen.max(axis=0) + _BESIDE_M
    wide, long = (high - low).tolist()
    spare = np.array([max(_LEAST_M, _LEAST_WIDE * long) - wide, _LEAST_M - long]).clip(min=0.0) / 2
    right_m, beyond_m = (
        np.linspace(start, end, min(math.ceil((end - start) / _STEP_M), _MOST_STEPS) + 1)
        for start, end in zip((low - spare).tolist(), (high + spare).tolist(), strict=True)
    )
    return turn_rad, right_m, beyond_m
