"""Kernels of putts: how many were holed or finished near, and where the others stopped.

Each adds to the gradient it is given and returns its log likelihood, up to constants that no latent changes.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import uncounted
from rangework.skill.coordinates import LN_AIM_PAST, LN_LINE, LN_PACE, LN_SESSION_SPREAD
from rangework.skill.kernel_arrays import SLIPS, Form, Leaves, Point, Putts, Sessions
from rangework.skill.strike_kernels import add_effect_kernel, effect_kernel, exponential_kernel

FloatArray = NDArray[np.float64]


@uncounted
def cubic_weights_kernel(u: float) -> tuple[float, float, float, float, float, float, float, float]:
    """Catmull-Rom weights of four points around ``u`` in [0, 1], and their slopes."""
    return (
        -0.5 * u * (1.0 - u) ** 2,
        1.0 + u * u * (1.5 * u - 2.5),
        0.5 * u * (1.0 + u * (4.0 - 3.0 * u)),
        -0.5 * u * u * (1.0 - u),
        -0.5 * (1.0 - u) * (1.0 - 3.0 * u),
        u * (4.5 * u - 5.0),
        0.5 + u * (4.0 - 4.5 * u),
        u * (1.5 * u - 1.0),
    )


@uncounted
def volume_kernel(
    table: FloatArray, row: float, column: float, layer: float
) -> tuple[float, float, float, float]:
    """A smooth function through ``table`` at a place inside it, and its slopes along the three axes."""
    row = min(max(row, 1.0), table.shape[0] - 2.0001)
    column = min(max(column, 1.0), table.shape[1] - 2.0001)
    layer = min(max(layer, 1.0), table.shape[2] - 2.0001)
    i, j, n = int(row), int(column), int(layer)
    a, b, d = cubic_weights_kernel(row - i), cubic_weights_kernel(column - j), cubic_weights_kernel(layer - n)
    value = by_row = by_column = by_layer = 0.0
    for k in range(4):
        across = along = deep = 0.0
        for m in range(4):
            here = slope = 0.0
            for q in range(4):
                point = table[i - 1 + k, j - 1 + m, n - 1 + q]
                here += d[q] * point
                slope += d[4 + q] * point
            across += b[m] * here
            along += b[4 + m] * here
            deep += b[m] * slope
        value += a[k] * across
        by_row += a[4 + k] * across
        by_column += a[k] * along
        by_layer += a[k] * deep
    return value, by_row, by_column, by_layer


@uncounted
def holed_kernel(
    putts: Putts, sessions: Sessions, c: Point, z: FloatArray, g: FloatArray, gz: FloatArray
) -> float:
    """Putts holed, missed with nothing measured, and missed to a tap-in."""
    sd_spread = c.factor[LN_SESSION_SPREAD]
    layer = (c.value[LN_AIM_PAST] - putts.past_first) / putts.past_step
    total = 0.0
    for i in range(putts.node.size):
        at = sessions.spread[putts.session[i]]
        effect = effect_kernel(z, at, sd_spread)
        row = (c.value[LN_LINE] + effect - putts.line_first) / putts.line_step
        column = (c.value[LN_PACE] + effect - putts.pace_first) / putts.pace_step
        by_line = by_pace = 0.0
        outcomes = (
            (putts.holed[i], putts.log_make),
            (putts.missed[i], putts.log_miss),
            (putts.near[i], putts.log_near),
        )
        for count, table in outcomes:
            if count > 0.0:
                value, by_row, by_column, by_layer = volume_kernel(table[putts.node[i]], row, column, layer)
                total += count * value
                by_line += count * by_row / putts.line_step
                by_pace += count * by_column / putts.pace_step
                g[LN_AIM_PAST] += count * by_layer / putts.past_step
        g[LN_LINE] += by_line
        g[LN_PACE] += by_pace
        add_effect_kernel(by_line + by_pace, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@uncounted
def leave_kernel(
    leaves: Leaves,
    sessions: Sessions,
    form: Form,
    c: Point,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Missed putts by where they finished."""
    sd_spread = c.factor[LN_SESSION_SPREAD]
    slip = c.chance[SLIPS]
    past = c.factor[LN_AIM_PAST]
    total = by_slip = 0.0
    for i in range(leaves.distance_m.size):
        at = sessions.spread[leaves.session[i]]
        effect = effect_kernel(z, at, sd_spread)
        distance = leaves.distance_m[i]
        meant = distance + past
        scale = math.exp(effect)
        reading = math.sqrt(1.0 + (form.reading_ratio_per_m * distance) ** 2)
        line_sd = c.factor[LN_LINE] * scale * reading
        pace_sd = c.factor[LN_PACE] * scale * meant
        per_line, per_pace = 1.0 / line_sd, 1.0 / pace_sd
        density = by_line = by_pace = by_meant = 0.0
        for k in range(leaves.rolled_m.shape[1]):
            x = leaves.angle_rad[i, k] * per_line
            y = (leaves.rolled_m[i, k] - meant) * per_pace
            mass = leaves.weight[i, k] * exponential_kernel(-0.5 * (x * x + y * y))
            density += mass
            by_line += mass * (x * x - 1.0)
            by_pace += mass * (y * y - 1.0)
            by_meant += mass * y
        density *= per_line * per_pace
        whole = (1.0 - slip) * density + slip * leaves.anywhere[i]
        total += math.log(whole)
        by_slip += (leaves.anywhere[i] - density) / whole
        weight = (1.0 - slip) * per_line * per_pace / whole
        g[LN_LINE] += weight * by_line
        g[LN_PACE] += weight * by_pace
        g[LN_AIM_PAST] += weight * past * (by_meant / pace_sd + by_pace / meant)
        add_effect_kernel(weight * (by_line + by_pace), z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    return total
