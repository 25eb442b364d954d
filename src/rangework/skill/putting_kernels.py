"""Kernels of the putting model: chance of holing, density of a miss, and where misses finish.

A putt of length L is struck at the hole and would roll ``L + past`` along a line that leaves the true line
by an angle. The angle is normal with sd ``sqrt(line^2 + (reading L)^2)``; ``past`` is normal with mean
``aim_past`` and sd ``pace (L + aim_past)``. The hole takes the ball when ``0 <= past <= capture_past`` and
its line misses the centre of the hole by less than ``HOLE_RADIUS_M sqrt(1 - sqrt(past / capture_past))``:
the capture speed of Penner (2002), Can. J. Phys. 80:83, with the greatest speed of Holmes (1991), Am. J.
Phys. 59:129.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import kernel

FloatArray = NDArray[np.float64]

#: Half of 4.25 inches (Rules of Golf, Definitions: hole).
HOLE_RADIUS_M = 0.0539750

#: Share of putts missed whatever the length (15 of 45,198 at 0.28 ft, Broadie 2018 make counts). Only the
#: likelihood holds it, so that one misread tap-in cannot outweigh a season of putts.
LAPSE = 3.3e-4

_WINDOW_SDS = 6.0
_ROOT_HALF = math.sqrt(0.5)
_DENSITY_AT_ZERO = 1.0 / math.sqrt(2.0 * math.pi)


def _unit_nodes(n: int) -> tuple[FloatArray, FloatArray]:
    """Gauss-Legendre nodes and weights on [0, 1]."""
    nodes, weights = np.polynomial.legendre.leggauss(n)
    return (nodes + 1.0) / 2.0, weights / 2.0


_NODES, _WEIGHTS = _unit_nodes(32)
_LEAVE_NODES, _LEAVE_WEIGHTS = _unit_nodes(12)
_HALF_NORMAL = _WINDOW_SDS * _LEAVE_NODES
_HALF_NORMAL_WEIGHTS = 2.0 * _DENSITY_AT_ZERO * np.exp(-0.5 * _HALF_NORMAL**2) * _WINDOW_SDS * _LEAVE_WEIGHTS


@kernel
def line_sd_kernel(distance_m: float, line_rad: float, reading_rad_per_m: float) -> float:
    """Standard deviation (radians) of the line of a putt."""
    return math.sqrt(line_rad**2 + (reading_rad_per_m * distance_m) ** 2)


@kernel
def _sector(t: float, distance_m: float) -> float:
    """Half the angle under which a ball on the green sees the share ``t`` of the hole's width."""
    half_width_m = HOLE_RADIUS_M * t
    return math.asin(half_width_m / distance_m) if half_width_m < distance_m else math.pi


@kernel
def capture_angle_kernel(distance_m: float, past_m: float, capture_past_m: float) -> float:
    """Largest error of line (radians) at which the hole takes a ball that would roll ``past_m`` past."""
    if past_m < 0.0 or past_m > capture_past_m:
        return 0.0
    return _sector(math.sqrt(1.0 - math.sqrt(past_m / capture_past_m)), distance_m)


@kernel
def make_gradient_kernel(
    distance_m: float,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
) -> tuple[float, float, float, float, float]:
    """Chances of holing and of missing, and the slope of holing in line, reading and pace.

    With ``past = capture_past (1 - t^2)^2`` the hole's half width is ``HOLE_RADIUS_M t`` and the integrand is
    smooth in t. The chance of a miss is summed by itself and stays exact where holing is nearly certain.
    """
    line_sd = line_sd_kernel(distance_m, line_rad, reading_rad_per_m)
    pace_sd = pace * (distance_m + aim_past_m)
    least = min(max(0.0, aim_past_m - _WINDOW_SDS * pace_sd), capture_past_m)
    most = max(min(capture_past_m, aim_past_m + _WINDOW_SDS * pace_sd), 0.0)
    t_low = math.sqrt(1.0 - math.sqrt(most / capture_past_m))
    t_high = math.sqrt(1.0 - math.sqrt(least / capture_past_m))
    make = by_line_sd = by_pace_sd = 0.0
    miss = 0.5 * math.erfc(aim_past_m / pace_sd * _ROOT_HALF)
    miss += 0.5 * math.erfc((capture_past_m - aim_past_m) / pace_sd * _ROOT_HALF)
    for k in range(_NODES.size):
        t = t_low + (t_high - t_low) * _NODES[k]
        z = (capture_past_m * (1.0 - t * t) ** 2 - aim_past_m) / pace_sd
        mass = _DENSITY_AT_ZERO * math.exp(-0.5 * z * z) / pace_sd
        mass *= _WEIGHTS[k] * (t_high - t_low) * 4.0 * capture_past_m * t * (1.0 - t * t)
        x = _sector(t, distance_m) / line_sd
        outside = math.erfc(x * _ROOT_HALF)
        make += mass * (1.0 - outside)
        miss += mass * outside
        by_line_sd -= mass * 2.0 * _DENSITY_AT_ZERO * math.exp(-0.5 * x * x) * x / line_sd
        by_pace_sd += mass * (1.0 - outside) * (z * z - 1.0) / pace_sd
    return (
        make,
        miss,
        by_line_sd * line_rad / line_sd,
        by_line_sd * reading_rad_per_m * distance_m**2 / line_sd,
        by_pace_sd * (distance_m + aim_past_m),
    )


@kernel
def make_gradients_kernel(
    distance_m: FloatArray,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
) -> FloatArray:
    """The five results of ``make_gradient_kernel`` for many distances ``[n, 5]``."""
    result = np.empty((distance_m.size, 5))
    for i in range(distance_m.size):
        result[i, 0], result[i, 1], result[i, 2], result[i, 3], result[i, 4] = make_gradient_kernel(
            distance_m[i], line_rad, reading_rad_per_m, pace, aim_past_m, capture_past_m
        )
    return result


@kernel
def make_probability_kernel(
    distance_m: float,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
) -> float:
    """Chance of holing one putt."""
    return make_gradient_kernel(distance_m, line_rad, reading_rad_per_m, pace, aim_past_m, capture_past_m)[0]


@kernel
def log_make_kernel(
    distance_m: float,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
) -> float:
    """Log chance of holing, for a likelihood (lapses included)."""
    make = make_gradient_kernel(distance_m, line_rad, reading_rad_per_m, pace, aim_past_m, capture_past_m)[0]
    return math.log((1.0 - LAPSE) * max(make, 1e-300))


@kernel
def log_miss_kernel(
    distance_m: float,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
) -> float:
    """Log chance of a miss whose leave nobody measured, for a likelihood (lapses included)."""
    miss = make_gradient_kernel(distance_m, line_rad, reading_rad_per_m, pace, aim_past_m, capture_past_m)[1]
    return math.log(LAPSE + (1.0 - LAPSE) * miss)


@kernel
def miss_log_density(
    distance_m: float,
    long_m: float,
    right_m: float,
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
) -> float:
    """Log density (per square metre) of a missed putt that finished ``long_m`` beyond and ``right_m`` beside.

    Whether the hole takes a ball depends on its path alone, not on the golfer, so the density leaves that
    rule out: a finish that the rule would have holed (a lip-out, a rounded measure) stays a usable record.
    """
    rolled_m = math.hypot(distance_m + long_m, right_m)
    angle = math.atan2(right_m, distance_m + long_m)
    line_sd = line_sd_kernel(distance_m, line_rad, reading_rad_per_m)
    pace_sd = pace * (distance_m + aim_past_m)
    z = (rolled_m - distance_m - aim_past_m) / pace_sd
    x = angle / line_sd
    return -0.5 * (z * z + x * x) - math.log(2.0 * math.pi * pace_sd * line_sd * max(rolled_m, 1e-9))


@kernel
def _add_leave(row: FloatArray, place: float, weight: float) -> None:
    """Share a weight between the two grid points around ``place`` (in steps)."""
    j = min(int(place), row.size - 2)
    share = min(place - j, 1.0)
    row[j] += weight * (1.0 - share)
    row[j + 1] += weight * share


@kernel
def _add_off_pace(
    row: FloatArray, chord: FloatArray, distance_m: float, past_m: float, mass: float, step_m: float
) -> None:
    """Leaves of a ball that the hole never takes: short, or too fast."""
    scale = 4.0 * (distance_m + past_m) * distance_m
    for k in range(chord.size):
        place = math.sqrt(past_m**2 + scale * chord[k]) / step_m
        _add_leave(row, place, mass * _HALF_NORMAL_WEIGHTS[k])


@kernel
def _add_off_line(
    row: FloatArray,
    distance_m: float,
    past_m: float,
    mass: float,
    angle: float,
    line_sd: float,
    step_m: float,
) -> None:
    """Leaves of a ball that the hole would take but for its line, ``angle`` or more away."""
    scale = 4.0 * (distance_m + past_m) * distance_m
    span = _WINDOW_SDS - angle / line_sd
    for k in range(_LEAVE_NODES.size):
        z = angle / line_sd + span * _LEAVE_NODES[k]
        weight = mass * 2.0 * _DENSITY_AT_ZERO * math.exp(-0.5 * z * z) * span * _LEAVE_WEIGHTS[k]
        chord = math.sin(min(0.5 * z * line_sd, 0.5 * math.pi)) ** 2
        _add_leave(row, math.sqrt(past_m**2 + scale * chord) / step_m, weight)


@kernel
def _add_misses(
    row: FloatArray,
    distance_m: float,
    line_sd: float,
    pace_sd: float,
    aim_past_m: float,
    capture_past_m: float,
    step_m: float,
) -> None:
    """Add the leaves of all misses of one putt: short of the hole, past it off line, and too fast."""
    chord = np.sin(np.minimum(0.5 * line_sd * _HALF_NORMAL, 0.5 * math.pi)) ** 2
    slowest = max(-distance_m, aim_past_m - _WINDOW_SDS * pace_sd)
    fastest = aim_past_m + _WINDOW_SDS * pace_sd
    for low, high in ((slowest, 0.0), (0.0, capture_past_m), (capture_past_m, fastest)):
        least = max(low, slowest)
        span = min(high, fastest) - least
        if span <= 0.0:
            continue
        for k in range(_LEAVE_NODES.size):
            past_m = least + span * _LEAVE_NODES[k]
            z = (past_m - aim_past_m) / pace_sd
            mass = _DENSITY_AT_ZERO * math.exp(-0.5 * z * z) / pace_sd * span * _LEAVE_WEIGHTS[k]
            angle = capture_angle_kernel(distance_m, past_m, capture_past_m)
            if angle == 0.0:
                _add_off_pace(row, chord, distance_m, past_m, mass, step_m)
            elif angle < _WINDOW_SDS * line_sd:
                _add_off_line(row, distance_m, past_m, mass, angle, line_sd, step_m)


@kernel
def leave_kernel(
    line_rad: float,
    reading_rad_per_m: float,
    pace: float,
    aim_past_m: float,
    capture_past_m: float,
    step_m: float,
    n: int,
) -> FloatArray:
    """Chance ``[n, n]`` that a putt of ``i * step_m`` is missed and leaves ``j * step_m``."""
    leave = np.zeros((n, n))
    for i in range(1, n):
        distance_m = i * step_m
        row = leave[i]
        line_sd = line_sd_kernel(distance_m, line_rad, reading_rad_per_m)
        pace_sd = pace * (distance_m + aim_past_m)
        _add_misses(row, distance_m, line_sd, pace_sd, aim_past_m, capture_past_m, step_m)
        miss = make_gradient_kernel(
            distance_m, line_rad, reading_rad_per_m, pace, aim_past_m, capture_past_m
        )[1]
        total = row.sum()
        if total > 0.0:
            row *= miss / total
    return leave


@kernel
def putts_kernel(leave: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Expected putts ``[n]`` and chance of at most 1, 2, 3, 4 putts ``[n, 4]`` from the leave matrix.

    The chance of more than k putts is the leave matrix applied k times to one; expected putts are their sum.
    """
    n = leave.shape[0]
    more = np.ones(n)
    expected = np.ones(n)
    cumulative = np.empty((n, 4))
    reach = np.zeros(n, dtype=np.int64)
    for i in range(n):
        for j in range(n):
            if leave[i, j] > 0.0:
                reach[i] = j + 1
    following = np.empty(n)
    for k in range(60):
        largest = 0.0
        for i in range(n):
            total = 0.0
            for j in range(reach[i]):
                total += leave[i, j] * more[j]
            following[i] = total
            largest = max(largest, total)
        for i in range(n):
            more[i] = following[i]
            expected[i] += following[i]
            if k < 4:
                cumulative[i, k] = 1.0 - following[i]
        if k >= 3 and largest < 1e-7:
            break
    return expected, cumulative
