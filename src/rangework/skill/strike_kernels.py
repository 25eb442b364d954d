"""Kernels of what all full and short shots share: spread, bias, chance of a poor strike, effects of a day.

Every ``add_`` kernel adds the slope of a log likelihood to the gradient it is given.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import kernel, uncounted
from rangework.skill.coordinates import (
    LN_DRIVER,
    LN_ROUGH_EXTRA,
    LN_SAND_LEVEL,
    LN_TEE_DEPTH,
    LN_TEE_DIRECTION,
)
from rangework.skill.kernel_arrays import NOT_TEE, Cells, Form, Point

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


@uncounted
def exponential_kernel(x: float) -> float:
    """``exp(x)`` for x <= 0, to the last bit or two, in steps that compilers do for eight numbers at once.

    The power of two is put together from its bits, the rest is a Taylor series; below -700 it stays at ``exp(-700)``.
    """
    x = max(x, -700.0)
    power = np.floor(x * 1.4426950408889634 + 0.5)
    # ln 2 in two parts, of which the first has few bits: so nothing is lost
    r = (x - power * 0.693145751953125) - power * 1.4286068203094172e-06
    tail = 1.0 / 5040.0 + r * (
        1.0 / 40320.0
        + r * (1.0 / 362880.0 + r * (1.0 / 3628800.0 + r * (1.0 / 39916800.0 + r * (1.0 / 479001600.0))))
    )
    series = 1.0 + r * (
        1.0
        + r * (0.5 + r * (1.0 / 6.0 + r * (1.0 / 24.0 + r * (1.0 / 120.0 + r * (1.0 / 720.0 + r * tail)))))
    )
    bits = np.int64((np.int64(power) + np.int64(1023)) << np.int64(52))
    return float(series * bits.view(np.float64))


@kernel
def point_kernel(c: FloatArray) -> Point:
    """Coordinates ``c`` with their exponentials and chances."""
    factor, chance = np.empty(c.size), np.empty(c.size)
    for k in range(c.size):
        factor[k] = math.exp(c[k])
        chance[k] = 1.0 / (1.0 + 1.0 / factor[k])
    return Point(c, factor, chance)


@uncounted
def effect_kernel(z: FloatArray, at: int, sd: float) -> float:
    """An effect of a day, whose number ``z`` holds at ``at``; none where that is negative."""
    return sd * z[at] if at >= 0 else 0.0


@uncounted
def add_effect_kernel(
    slope: float, z: FloatArray, at: int, sd: float, sd_at: int, g: FloatArray, gz: FloatArray
) -> None:
    """Slope in a session's effect, shared between the effect and the logarithm of its sd."""
    if at >= 0:
        gz[at] += slope * sd
        g[sd_at] += slope * sd * z[at]


@uncounted
def _multiplier(cells: Cells, i: int, which: int, at: IntArray, c: Point) -> float:
    """What a neighbour adds to the multiplier of a spread."""
    weight = cells.spread_weight[i, which]
    if weight == 0.0:
        return 0.0
    sandy = c.factor[LN_SAND_LEVEL] if cells.sandy[i, which] == 1.0 else 1.0
    return float(weight * c.factor[at[i, which]] * sandy)


@uncounted
def _add_multiplier(cells: Cells, i: int, slope: float, at: IntArray, c: Point, g: FloatArray) -> None:
    """Share a slope in the logarithm of a multiplier between the neighbours that make it."""
    first, second = _multiplier(cells, i, 0, at, c), _multiplier(cells, i, 1, at, c)
    share = first / (first + second)
    g[at[i, 0]] += slope * share
    g[LN_SAND_LEVEL] += slope * share * cells.sandy[i, 0]
    g[at[i, 1]] += slope * (1.0 - share)
    g[LN_SAND_LEVEL] += slope * (1.0 - share) * cells.sandy[i, 1]


@uncounted
def bias_kernel(at: IntArray, weight: FloatArray, i: int, c: Point) -> float:
    """The bias of a cell, made of its neighbours'."""
    return float(c.value[at[i, 0]] * weight[i, 0] + c.value[at[i, 1]] * weight[i, 1])


@uncounted
def add_bias_kernel(at: IntArray, weight: FloatArray, i: int, slope: float, g: FloatArray) -> None:
    """Add the slope in a cell's bias to those of its neighbours."""
    g[at[i, 0]] += slope * weight[i, 0]
    g[at[i, 1]] += slope * weight[i, 1]


@uncounted
def spread_kernel(
    cells: Cells, i: int, c: Point, form: Form
) -> tuple[float, float, float, float, float, float]:
    """Depth sd (m), direction sd (rad), and slopes of their logarithms in ln driver and ln extra rough.

    Order: depth, direction, depth by driver, direction by driver, depth by rough, direction by rough.
    """
    target = cells.target_m[i]
    driver = c.factor[LN_DRIVER]
    share = (target + cells.run_m[i]) / driver
    if cells.tee[i] != NOT_TEE:
        reach = min(max((share - 0.6) / 0.4, 0.0), 1.0)
        shape = form.tee_short_club + (1.0 - form.tee_short_club) * reach
        by_driver = -(1.0 - form.tee_short_club) * share / 0.4 / shape if 0.0 < reach < 1.0 else 0.0
        return (
            c.factor[LN_TEE_DEPTH] * (target + cells.run_m[i]) * cells.partial[i],
            c.factor[LN_TEE_DIRECTION] * shape,
            0.0,
            by_driver,
            0.0,
            0.0,
        )
    long_club = max(0.0, share - 0.45)
    wide_club = max(0.0, share - 0.3) / 0.7
    widening = form.direction_long_rad - form.direction_rad
    depth = (
        form.depth_short_m * target / (target + form.depth_half_m) + form.depth_long * driver * long_club**2
    )
    direction = form.direction_rad + widening * wide_club
    depth_slope = form.depth_long * driver * long_club * (long_club - 2.0 * share)
    direction_slope = -widening * share / 0.7 if wide_club > 0.0 else 0.0
    extra = c.factor[LN_ROUGH_EXTRA] if cells.rough[i] == 1 else 0.0
    scale = cells.full_share[i] * (1.0 + extra)
    depth_sum = depth * scale + cells.short_depth_m[i]
    direction_sum = direction * scale + cells.short_direction_rad[i]
    deep = _multiplier(cells, i, 0, cells.depth_at, c) + _multiplier(cells, i, 1, cells.depth_at, c)
    wide = _multiplier(cells, i, 0, cells.direction_at, c) + _multiplier(cells, i, 1, cells.direction_at, c)
    return (
        depth_sum * deep * cells.partial[i],
        direction_sum * wide,
        depth_slope * scale / depth_sum,
        direction_slope * scale / direction_sum,
        depth * cells.full_share[i] * extra / depth_sum,
        direction * cells.full_share[i] * extra / direction_sum,
    )


@uncounted
def add_spread_kernel(
    cells: Cells,
    i: int,
    by_depth: float,
    by_direction: float,
    slopes: tuple[float, float, float, float, float, float],
    c: Point,
    g: FloatArray,
) -> None:
    """Add slopes in the logarithms of both spreads to the coordinates that make them."""
    g[LN_DRIVER] += by_depth * slopes[2] + by_direction * slopes[3]
    if cells.tee[i] != NOT_TEE:
        g[LN_TEE_DEPTH] += by_depth
        g[LN_TEE_DIRECTION] += by_direction
        return
    g[LN_ROUGH_EXTRA] += by_depth * slopes[4] + by_direction * slopes[5]
    _add_multiplier(cells, i, by_depth, cells.depth_at, c, g)
    _add_multiplier(cells, i, by_direction, cells.direction_at, c, g)


@uncounted
def poor_chance_kernel(cells: Cells, i: int, c: Point) -> float:
    """Chance of a poor strike of a cell, blended of full swings and the short game."""
    blend = cells.blend[i]
    poor = 0.0
    if blend > 0.0:
        poor += blend * c.chance[cells.full_poor_at[i]]
    if blend < 1.0:
        poor += (1.0 - blend) * c.chance[cells.short_poor_at[i]]
    return min(poor, 0.9)


@uncounted
def add_poor_kernel(cells: Cells, i: int, by_poor: float, c: Point, g: FloatArray) -> None:
    """Add the slope in a cell's chance of a poor strike to the log odds that make it."""
    blend = cells.blend[i]
    if blend > 0.0:
        chance = c.chance[cells.full_poor_at[i]]
        g[cells.full_poor_at[i]] += by_poor * blend * chance * (1.0 - chance)
    if blend < 1.0:
        chance = c.chance[cells.short_poor_at[i]]
        g[cells.short_poor_at[i]] += by_poor * (1.0 - blend) * chance * (1.0 - chance)
