"""Kernels of the fit: log posterior density of a player with its gradient, and Hamiltonian Monte Carlo.

They call one another and so share this file. Inputs are the arrays of ``evidence``; coordinates and latents
are those of ``coordinates`` and ``latents``. Every kernel adds to the gradient it is given and returns its
log likelihood, up to constants that no latent changes.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import kernel
from rangework.skill.coordinates import (
    LAY_UP,
    LN_AIM,
    LN_AIM_DEPTH,
    LN_DRIVER,
    LN_LINE,
    LN_PACE,
    LN_RANGE_FACTOR,
    LN_ROUGH_EXTRA,
    LN_RUN,
    LN_SAND_LEVEL,
    LN_SESSION_DEPTH,
    LN_SESSION_DIRECTION,
    LN_SESSION_SPREAD,
    LN_TEE_DEPTH,
    LN_TEE_DIRECTION,
    N_COORDINATES,
    TEE_POOR,
)

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

_HALF_CIRCLE_NODES = 14
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(_HALF_CIRCLE_NODES)
_COS = np.cos((_NODES + 1.0) * math.pi / 2.0)
_SIN = np.sin((_NODES + 1.0) * math.pi / 2.0)
_ARC = _WEIGHTS * math.pi / 2.0

NOT_TEE, TEE_DRIVER, TEE_SHORTER = 0, 1, 2


class Form(NamedTuple):
    """Numbers of the shot model that no fit changes (lengths in metres)."""

    depth_short_m: float
    depth_half_m: float
    depth_long: float
    direction_rad: float
    direction_long_rad: float
    tee_short_club: float
    poor_length: float
    poor_spread: float
    misread_ratio: float  #: how much likelier a poor strike is misread than a solid one
    misread_solid: float  #: chance that a solid strike is misread
    outliers: float  #: share of rows that are no shot at all
    tee_extra: float  #: sd of a logged drive's length that is not the golfer's, share of driver length
    reading_ratio_per_m: float
    aim_past_m: float


class Cells(NamedTuple):
    """Shots of one target, lie, place and session: what their spread is made of, ``[cell]``.

    Spread is ``multiplier (full_share x full form + short)``; indices are coordinates, -1 for none.
    """

    target_m: FloatArray
    tee: IntArray
    run_m: FloatArray
    full_share: FloatArray
    rough: IntArray
    short_depth_m: FloatArray
    short_direction_rad: FloatArray
    depth_at: IntArray
    direction_at: IntArray
    sand_at: IntArray
    bias_at: IntArray
    bias_depth_at: IntArray
    bias_ramp: FloatArray
    blend: FloatArray
    full_poor_at: IntArray
    short_poor_at: IntArray
    on_range: IntArray
    session: IntArray


class Aimed(NamedTuple):
    """Aimed balls: ``cells``, misreads ``[cell]``, balls in polar form from ``first[cell]`` on."""

    cells: Cells
    misreads: FloatArray
    first: IntArray
    distance_m: FloatArray
    angle_rad: FloatArray


class Logged(NamedTuple):
    """Logged strokes without an aim: approaches (one cell each) by what was left, drives by their advance."""

    cells: Cells
    left_m: FloatArray
    stray: FloatArray
    drive_advance_m: FloatArray
    drive_shortfall_m: FloatArray
    drive_shorter: FloatArray  #: density of the advance with a shorter club
    drive_stray: FloatArray
    drive_session: IntArray


class Putts(NamedTuple):
    """Putts holed, and missed with nothing measured: counts by session and distance node."""

    node: IntArray
    session: IntArray
    holed: FloatArray
    missed: FloatArray
    log_make: FloatArray  #: [node, line, pace]
    log_miss: FloatArray
    line_first: float
    line_step: float
    pace_first: float
    pace_step: float


class Leaves(NamedTuple):
    """Missed putts by where they finished: the points ``[miss, point]`` that a measurement allows."""

    distance_m: FloatArray
    rolled_m: FloatArray
    angle_rad: FloatArray
    weight: FloatArray
    floor: FloatArray
    session: IntArray


class Sessions(NamedTuple):
    """Where each session's effects stand among the effects, ``[session]``, -1 for none."""

    direction: IntArray
    depth: IntArray
    spread: IntArray


class Evidence(NamedTuple):
    """All that the records say."""

    form: Form
    aimed: Aimed
    logged: Logged
    putts: Putts
    measured: Leaves  #: one point a miss
    circles: Leaves  #: points all round the hole: only the distance left is known
    sessions: Sessions


class Prior(NamedTuple):
    """Coordinates are ``levels`` at the level plus ``loadings`` times the latents."""

    loadings: FloatArray
    levels: FloatArray
    first_level: float
    level_step: float
    level: float
    level_sd: float


@kernel
def _chance(log_odds: float) -> float:
    return 0.5 * (1.0 + math.tanh(0.5 * log_odds))


@kernel
def _effect(z: FloatArray, at: int, sd: float) -> float:
    return sd * z[at] if at >= 0 else 0.0


@kernel
def _add_effect(
    slope: float, z: FloatArray, at: int, sd: float, sd_at: int, g: FloatArray, gz: FloatArray
) -> None:
    """Slope in a session's effect, shared between the effect and the logarithm of its sd."""
    if at >= 0:
        gz[at] += slope * sd
        g[sd_at] += slope * sd * z[at]


@kernel
def spread_kernel(
    cells: Cells, i: int, c: FloatArray, form: Form
) -> tuple[float, float, float, float, float, float]:
    """Depth sd (m), direction sd (rad), and slopes of their logarithms in ln driver and ln extra rough.

    Order: depth, direction, depth by driver, direction by driver, depth by rough, direction by rough.
    """
    target = cells.target_m[i]
    driver = math.exp(c[LN_DRIVER])
    share = (target + cells.run_m[i]) / driver
    if cells.tee[i] != NOT_TEE:
        reach = min(max((share - 0.6) / 0.4, 0.0), 1.0)
        shape = form.tee_short_club + (1.0 - form.tee_short_club) * reach
        by_driver = -(1.0 - form.tee_short_club) * share / 0.4 / shape if 0.0 < reach < 1.0 else 0.0
        return (
            math.exp(c[LN_TEE_DEPTH]) * (target + cells.run_m[i]),
            math.exp(c[LN_TEE_DIRECTION]) * shape,
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
    extra = math.exp(c[LN_ROUGH_EXTRA]) if cells.rough[i] == 1 else 0.0
    scale = cells.full_share[i] * (1.0 + extra)
    depth_sum = depth * scale + cells.short_depth_m[i]
    direction_sum = direction * scale + cells.short_direction_rad[i]
    multiplier = c[LN_SAND_LEVEL] if cells.sand_at[i] >= 0 else 0.0
    return (
        depth_sum * math.exp(multiplier + c[cells.depth_at[i]]),
        direction_sum * math.exp(multiplier + c[cells.direction_at[i]]),
        depth_slope * scale / depth_sum,
        direction_slope * scale / direction_sum,
        depth * cells.full_share[i] * extra / depth_sum,
        direction * cells.full_share[i] * extra / direction_sum,
    )


@kernel
def _add_spread(
    cells: Cells,
    i: int,
    by_depth: float,
    by_direction: float,
    slopes: tuple[float, float, float, float, float, float],
    g: FloatArray,
) -> None:
    """Add slopes in the logarithms of both spreads to the coordinates that make them."""
    g[LN_DRIVER] += by_depth * slopes[2] + by_direction * slopes[3]
    if cells.tee[i] != NOT_TEE:
        g[LN_TEE_DEPTH] += by_depth
        g[LN_TEE_DIRECTION] += by_direction
        return
    g[LN_ROUGH_EXTRA] += by_depth * slopes[4] + by_direction * slopes[5]
    g[cells.depth_at[i]] += by_depth
    g[cells.direction_at[i]] += by_direction
    if cells.sand_at[i] >= 0:
        g[LN_SAND_LEVEL] += by_depth + by_direction


@kernel
def _poor_chance(cells: Cells, i: int, c: FloatArray) -> float:
    blend = cells.blend[i]
    poor = 0.0
    if blend > 0.0:
        poor += blend * _chance(c[cells.full_poor_at[i]])
    if blend < 1.0:
        poor += (1.0 - blend) * _chance(c[cells.short_poor_at[i]])
    return min(poor, 0.9)


@kernel
def _add_poor(cells: Cells, i: int, by_poor: float, c: FloatArray, g: FloatArray) -> None:
    blend = cells.blend[i]
    if blend > 0.0:
        chance = _chance(c[cells.full_poor_at[i]])
        g[cells.full_poor_at[i]] += by_poor * blend * chance * (1.0 - chance)
    if blend < 1.0:
        chance = _chance(c[cells.short_poor_at[i]])
        g[cells.short_poor_at[i]] += by_poor * (1.0 - blend) * chance * (1.0 - chance)


@kernel
def aimed_kernel(
    aimed: Aimed, sessions: Sessions, form: Form, c: FloatArray, z: FloatArray, g: FloatArray, gz: FloatArray
) -> float:
    """Aimed balls: a solid or a poor strike, or no shot at all; misreads are solid or poor strikes unseen."""
    cells = aimed.cells
    sd_direction = math.exp(c[LN_SESSION_DIRECTION])
    sd_depth = math.exp(c[LN_SESSION_DEPTH])
    sd_spread = math.exp(c[LN_SESSION_SPREAD])
    total = 0.0
    for i in range(cells.target_m.size):
        session = cells.session[i]
        target = cells.target_m[i] + cells.run_m[i]
        slopes = spread_kernel(cells, i, c, form)
        log_scale = _effect(z, sessions.spread[session], sd_spread)
        if cells.on_range[i] == 1:
            log_scale += c[LN_RANGE_FACTOR]
        scale = math.exp(log_scale)
        depth_sd, direction_sd = slopes[0] * scale, slopes[1] * scale
        length = target
        if cells.tee[i] == TEE_DRIVER:
            length = math.exp(c[LN_DRIVER])
            if cells.run_m[i] > 0.0:
                length -= math.exp(c[LN_RUN])
        shift = _effect(z, sessions.depth[session], sd_depth)
        if cells.bias_depth_at[i] >= 0:
            shift += c[cells.bias_depth_at[i]] * cells.bias_ramp[i]
        turn = _effect(z, sessions.direction[session], sd_direction)
        if cells.bias_at[i] >= 0:
            turn += c[cells.bias_at[i]]
        mean = length + shift * target
        poor_mean = form.poor_length * length
        poor = _poor_chance(cells, i, c)
        wide = form.poor_spread
        stray = form.outliers * depth_sd * direction_sd / (2.0 * target)
        by_depth = by_direction = by_mean = by_poor_mean = by_turn = by_poor = 0.0
        n_balls = aimed.first[i + 1] - aimed.first[i]
        for j in range(aimed.first[i], aimed.first[i + 1]):
            x = (aimed.distance_m[j] - mean) / depth_sd
            y = (aimed.angle_rad[j] - turn) / direction_sd
            far = (aimed.distance_m[j] - poor_mean) / (wide * depth_sd)
            aside = y / wide
            solid_density = (1.0 - form.misread_solid) * math.exp(-0.5 * (x * x + y * y))
            poor_density = math.exp(-0.5 * (far * far + aside * aside)) / (wide * wide)
            poor_density *= 1.0 - form.misread_ratio * form.misread_solid
            solid = (1.0 - poor) * solid_density
            topped = poor * poor_density
            density = solid + topped + stray
            total += math.log(density)
            solid /= density
            topped /= density
            by_depth += solid * x * x + topped * far * far - solid - topped
            by_direction += solid * y * y + topped * aside * aside - solid - topped
            by_mean += solid * x
            by_poor_mean += topped * far
            by_turn += solid * y + topped * aside / wide
            by_poor += (poor_density - solid_density) / density
        total -= n_balls * math.log(depth_sd * direction_sd)
        by_mean /= depth_sd
        by_poor_mean /= wide * depth_sd
        by_turn /= direction_sd
        if aimed.misreads[i] > 0.0:
            unseen = 1.0 + (form.misread_ratio - 1.0) * poor
            total += aimed.misreads[i] * math.log(unseen)
            by_poor += aimed.misreads[i] * (form.misread_ratio - 1.0) / unseen
        _add_spread(cells, i, by_depth, by_direction, slopes, g)
        _add_poor(cells, i, by_poor, c, g)
        if cells.on_range[i] == 1:
            g[LN_RANGE_FACTOR] += by_depth + by_direction
        if cells.tee[i] == TEE_DRIVER:
            by_length = by_mean + form.poor_length * by_poor_mean
            g[LN_DRIVER] += by_length * math.exp(c[LN_DRIVER])
            if cells.run_m[i] > 0.0:
                g[LN_RUN] -= by_length * math.exp(c[LN_RUN])
        if cells.bias_depth_at[i] >= 0:
            g[cells.bias_depth_at[i]] += by_mean * target * cells.bias_ramp[i]
        if cells.bias_at[i] >= 0:
            g[cells.bias_at[i]] += by_turn
        _add_effect(by_mean * target, z, sessions.depth[session], sd_depth, LN_SESSION_DEPTH, g, gz)
        _add_effect(by_turn, z, sessions.direction[session], sd_direction, LN_SESSION_DIRECTION, g, gz)
        _add_effect(by_depth + by_direction, z, sessions.spread[session], sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@kernel
def bessel_kernel(x: float) -> tuple[float, float]:
    """``exp(-x) I0(x)`` and ``I1(x) / I0(x)`` for x >= 0 (Abramowitz and Stegun 9.8.1-9.8.4)."""
    if x < 3.75:
        t = (x / 3.75) ** 2
        i0 = 1.0 + t * (
            3.5156229 + t * (3.0899424 + t * (1.2067492 + t * (0.2659732 + t * (0.0360768 + t * 0.0045813))))
        )
        i1 = x * (
            0.5
            + t
            * (
                0.87890594
                + t * (0.51498869 + t * (0.15084934 + t * (0.02658733 + t * (0.00301532 + t * 0.00032411))))
            )
        )
        return i0 * math.exp(-x), i1 / i0
    t = 3.75 / x
    i0 = 0.39894228 + t * (
        0.01328592
        + t
        * (
            0.00225319
            + t
            * (
                -0.00157565
                + t * (0.00916281 + t * (-0.02057706 + t * (0.02635537 + t * (-0.01647633 + t * 0.00392377))))
            )
        )
    )
    i1 = 0.39894228 + t * (
        -0.03988024
        + t
        * (
            -0.00362018
            + t
            * (
                0.00163801
                + t * (-0.01031555 + t * (0.02282967 + t * (-0.02895312 + t * (0.01787654 - t * 0.00420059))))
            )
        )
    )
    return i0 / math.sqrt(x), i1 / i0


@kernel
def centred_distance_kernel(distance: float, depth_sd: float, side_sd: float) -> tuple[float, float, float]:
    """Density of the distance from the middle of a bivariate normal, and its log slopes in both ln sds."""
    p = 0.5 * (distance / depth_sd) ** 2
    q = 0.5 * (distance / side_sd) ** 2
    i0, ratio = bessel_kernel(0.5 * abs(p - q))
    ratio = ratio if p > q else -ratio
    density = distance / (depth_sd * side_sd) * math.exp(-min(p, q)) * i0
    return density, p * (1.0 - ratio) - 1.0, q * (1.0 + ratio) - 1.0


@kernel
def shifted_distance_kernel(
    distance: float, short: float, depth_sd: float, side_sd: float
) -> tuple[float, float, float]:
    """The same with the middle ``short`` before the point; slopes of the density itself."""
    density = by_depth = by_side = 0.0
    for k in range(_HALF_CIRCLE_NODES):
        x = (distance * _COS[k] + short) / depth_sd
        y = distance * _SIN[k] / side_sd
        mass = _ARC[k] * math.exp(-0.5 * (x * x + y * y))
        density += mass
        by_depth += mass * (x * x - 1.0)
        by_side += mass * (y * y - 1.0)
    scale = distance / (math.pi * depth_sd * side_sd)
    return density * scale, by_depth * scale, by_side * scale


@kernel
def approach_kernel(
    logged: Logged,
    sessions: Sessions,
    form: Form,
    c: FloatArray,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Logged strokes toward the hole: how far they finished from it, whatever they were aimed at near it."""
    cells = logged.cells
    sd_spread = math.exp(c[LN_SESSION_SPREAD])
    aim_rad, depth_ratio = math.exp(c[LN_AIM]), math.exp(c[LN_AIM_DEPTH])
    wide = form.poor_spread
    total = 0.0
    for i in range(cells.target_m.size):
        at = sessions.spread[cells.session[i]]
        target = cells.target_m[i]
        slopes = spread_kernel(cells, i, c, form)
        scale = math.exp(_effect(z, at, sd_spread))
        depth = (slopes[0] * scale) ** 2
        side = (target * slopes[1] * scale) ** 2
        aim_side = (aim_rad * target) ** 2
        aim_depth = depth_ratio * depth_ratio * aim_side
        poor = _poor_chance(cells, i, c)
        left = logged.left_m[i]
        solid, solid_depth, solid_side = centred_distance_kernel(
            left, math.sqrt(depth + aim_depth), math.sqrt(side + aim_side)
        )
        wide_depth, wide_side = wide * wide * depth + aim_depth, wide * wide * side + aim_side
        topped, topped_depth, topped_side = shifted_distance_kernel(
            left, (1.0 - form.poor_length) * target, math.sqrt(wide_depth), math.sqrt(wide_side)
        )
        density = (1.0 - poor) * solid + poor * topped + logged.stray[i]
        total += math.log(density)
        solid_depth *= (1.0 - poor) * solid / density / (depth + aim_depth)
        solid_side *= (1.0 - poor) * solid / density / (side + aim_side)
        topped_depth *= poor / density / wide_depth
        topped_side *= poor / density / wide_side
        by_depth = depth * (solid_depth + topped_depth * wide * wide)
        by_side = side * (solid_side + topped_side * wide * wide)
        by_aim_depth = aim_depth * (solid_depth + topped_depth)
        g[LN_AIM] += by_aim_depth + aim_side * (solid_side + topped_side)
        g[LN_AIM_DEPTH] += by_aim_depth
        _add_spread(cells, i, by_depth, by_side, slopes, g)
        _add_poor(cells, i, (topped - solid) / density, c, g)
        _add_effect(by_depth + by_side, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@kernel
def drive_kernel(
    logged: Logged,
    sessions: Sessions,
    form: Form,
    c: FloatArray,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Logged tee shots of long holes: how far they advanced; a driver, a poor strike, or a shorter club."""
    driver = math.exp(c[LN_DRIVER])
    tee_depth = math.exp(c[LN_TEE_DEPTH])
    sd_spread = math.exp(c[LN_SESSION_SPREAD])
    poor, lay_up = _chance(c[TEE_POOR]), _chance(c[LAY_UP])
    wide = form.poor_spread
    total = 0.0
    for i in range(logged.drive_advance_m.size):
        at = sessions.spread[logged.drive_session[i]]
        own = (tee_depth * math.exp(_effect(z, at, sd_spread))) ** 2
        extra = form.tee_extra**2
        sd = driver * math.sqrt(own + extra)
        wide_sd = driver * math.sqrt(wide * wide * own + extra)
        advance = logged.drive_advance_m[i]
        x = (advance + logged.drive_shortfall_m[i] - driver) / sd
        far = (advance - form.poor_length * driver) / wide_sd
        solid = math.exp(-0.5 * x * x) / sd
        topped = math.exp(-0.5 * far * far) / wide_sd
        shorter = logged.drive_shorter[i]
        struck = (1.0 - poor) * solid + poor * topped
        density = (1.0 - lay_up) * struck + lay_up * shorter + logged.drive_stray[i]
        total += math.log(density)
        solid_share = (1.0 - lay_up) * (1.0 - poor) * solid / density
        topped_share = (1.0 - lay_up) * poor * topped / density
        by_sd, by_wide = solid_share * (x * x - 1.0), topped_share * (far * far - 1.0)
        by_own = by_sd * own / (own + extra) + by_wide * wide * wide * own / (wide * wide * own + extra)
        g[LN_DRIVER] += by_sd + by_wide
        g[LN_DRIVER] += (
            solid_share * x * driver / sd + topped_share * far * form.poor_length * driver / wide_sd
        )
        g[LN_TEE_DEPTH] += by_own
        g[TEE_POOR] += (1.0 - lay_up) * (topped - solid) / density * poor * (1.0 - poor)
        g[LAY_UP] += (shorter - struck) / density * lay_up * (1.0 - lay_up)
        _add_effect(by_own, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@kernel
def _cubic_weights(u: float) -> tuple[float, float, float, float, float, float, float, float]:
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


@kernel
def surface_kernel(table: FloatArray, row: float, column: float) -> tuple[float, float, float]:
    """A smooth surface through ``table`` at a place inside it, and its slopes along both axes."""
    row = min(max(row, 1.0), table.shape[0] - 2.0001)
    column = min(max(column, 1.0), table.shape[1] - 2.0001)
    i, j = int(row), int(column)
    a, b = _cubic_weights(row - i), _cubic_weights(column - j)
    value = by_row = by_column = 0.0
    for k in range(4):
        across = slope = 0.0
        for m in range(4):
            across += b[m] * table[i - 1 + k, j - 1 + m]
            slope += b[4 + m] * table[i - 1 + k, j - 1 + m]
        value += a[k] * across
        by_row += a[4 + k] * across
        by_column += a[k] * slope
    return value, by_row, by_column


@kernel
def holed_kernel(
    putts: Putts, sessions: Sessions, c: FloatArray, z: FloatArray, g: FloatArray, gz: FloatArray
) -> float:
    """Putts holed, and missed with nothing measured."""
    sd_spread = math.exp(c[LN_SESSION_SPREAD])
    total = 0.0
    for i in range(putts.node.size):
        at = sessions.spread[putts.session[i]]
        effect = _effect(z, at, sd_spread)
        row = (c[LN_LINE] + effect - putts.line_first) / putts.line_step
        column = (c[LN_PACE] + effect - putts.pace_first) / putts.pace_step
        by_line = by_pace = 0.0
        if putts.holed[i] > 0.0:
            value, by_row, by_column = surface_kernel(putts.log_make[putts.node[i]], row, column)
            total += putts.holed[i] * value
            by_line += putts.holed[i] * by_row / putts.line_step
            by_pace += putts.holed[i] * by_column / putts.pace_step
        if putts.missed[i] > 0.0:
            value, by_row, by_column = surface_kernel(putts.log_miss[putts.node[i]], row, column)
            total += putts.missed[i] * value
            by_line += putts.missed[i] * by_row / putts.line_step
            by_pace += putts.missed[i] * by_column / putts.pace_step
        g[LN_LINE] += by_line
        g[LN_PACE] += by_pace
        _add_effect(by_line + by_pace, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@kernel
def leave_kernel(
    leaves: Leaves,
    sessions: Sessions,
    form: Form,
    c: FloatArray,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Missed putts by where they finished."""
    sd_spread = math.exp(c[LN_SESSION_SPREAD])
    total = 0.0
    for i in range(leaves.distance_m.size):
        at = sessions.spread[leaves.session[i]]
        effect = _effect(z, at, sd_spread)
        distance = leaves.distance_m[i]
        line_sd = math.exp(c[LN_LINE] + effect) * math.sqrt(1.0 + (form.reading_ratio_per_m * distance) ** 2)
        pace_sd = math.exp(c[LN_PACE] + effect) * (distance + form.aim_past_m)
        density = by_line = by_pace = 0.0
        for k in range(leaves.rolled_m.shape[1]):
            x = leaves.angle_rad[i, k] / line_sd
            y = (leaves.rolled_m[i, k] - distance - form.aim_past_m) / pace_sd
            mass = leaves.weight[i, k] * math.exp(-0.5 * (x * x + y * y))
            density += mass
            by_line += mass * (x * x - 1.0)
            by_pace += mass * (y * y - 1.0)
        density += leaves.floor[i] * line_sd * pace_sd
        total += math.log(density / (line_sd * pace_sd))
        by_line /= density
        by_pace /= density
        g[LN_LINE] += by_line
        g[LN_PACE] += by_pace
        _add_effect(by_line + by_pace, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    return total


@kernel
def log_likelihood(evidence: Evidence, c: FloatArray, z: FloatArray, g: FloatArray, gz: FloatArray) -> float:
    """Log likelihood of all records at coordinates ``c`` and session effects ``z``; adds its gradient."""
    form, sessions = evidence.form, evidence.sessions
    total = aimed_kernel(evidence.aimed, sessions, form, c, z, g, gz)
    total += approach_kernel(evidence.logged, sessions, form, c, z, g, gz)
    total += drive_kernel(evidence.logged, sessions, form, c, z, g, gz)
    total += holed_kernel(evidence.putts, sessions, c, z, g, gz)
    total += leave_kernel(evidence.measured, sessions, form, c, z, g, gz)
    total += leave_kernel(evidence.circles, sessions, form, c, z, g, gz)
    return total


@kernel
def coordinates_kernel(x: FloatArray, prior: Prior, c: FloatArray, by_level: FloatArray) -> None:
    """Coordinates of latents, and their slopes in the first latent (the level)."""
    last = prior.levels.shape[0] - 1
    place = (prior.level + prior.level_sd * x[0] - prior.first_level) / prior.level_step
    inside = 0.0 < place < last
    place = min(max(place, 0.0), float(last))
    cell = min(int(place), last - 1)
    u = place - cell
    before, after = max(cell - 1, 0), min(cell + 2, last)
    weights = _cubic_weights(u)
    rows = (before, cell, cell + 1, after)
    for i in range(prior.levels.shape[1]):
        value = slope = 0.0
        for k in range(4):
            value += weights[k] * prior.levels[rows[k], i]
            slope += weights[4 + k] * prior.levels[rows[k], i]
        by_level[i] = slope * prior.level_sd / prior.level_step if inside else 0.0
        for k in range(prior.loadings.shape[1]):
            value += prior.loadings[i, k] * x[k]
        c[i] = value


@kernel
def log_posterior(x: FloatArray, prior: Prior, evidence: Evidence, gradient: FloatArray) -> float:
    """Log posterior density at latents and session effects ``x``; its gradient replaces ``gradient``."""
    n = prior.loadings.shape[1]
    c, by_level = np.empty(N_COORDINATES), np.empty(N_COORDINATES)
    coordinates_kernel(x, prior, c, by_level)
    g = np.zeros(N_COORDINATES)
    for k in range(x.size):
        gradient[k] = 0.0
    total = log_likelihood(evidence, c, x[n:], g, gradient[n:])
    for i in range(N_COORDINATES):
        gradient[0] += by_level[i] * g[i]
        for k in range(n):
            gradient[k] += prior.loadings[i, k] * g[i]
    for k in range(x.size):
        total -= 0.5 * x[k] * x[k]
        gradient[k] -= x[k]
    return total


@kernel
def _at(
    u: FloatArray, mode: FloatArray, factor: FloatArray, prior: Prior, evidence: Evidence, slope: FloatArray
) -> float:
    """Log posterior at whitened ``u``: ``x = mode + factor u``; its gradient in u replaces ``slope``."""
    gradient = np.empty(u.size)
    value = log_posterior(mode + factor @ u, prior, evidence, gradient)
    slope[:] = factor.T @ gradient
    return value


@kernel
def hamiltonian_kernel(
    mode: FloatArray,
    factor: FloatArray,
    prior: Prior,
    evidence: Evidence,
    momenta: FloatArray,
    uniforms: FloatArray,
    lengths: FloatArray,
    n_warm_up: int,
    target_acceptance: float,
) -> tuple[FloatArray, FloatArray, float]:
    """Hamiltonian Monte Carlo in the whitened latents, from the mode.

    ``momenta`` ``[iteration, latent]``, ``uniforms`` and ``lengths`` (of trajectories) ``[iteration]`` hold
    all its chance. The step is tuned during warm-up by dual averaging (Hoffman and Gelman 2014) and fixed
    after it. Returns draws ``[iteration - warm-up, latent]``, acceptance of each and the step.
    """
    n_iterations, n = momenta.shape
    draws = np.empty((n_iterations - n_warm_up, n))
    acceptance = np.empty(n_iterations - n_warm_up)
    u, slope = np.zeros(n), np.empty(n)
    value = _at(u, mode, factor, prior, evidence, slope)
    step = 1.2 / n**0.25
    centre, error_sum, log_mean = math.log(1.5 * step), 0.0, math.log(step)
    for t in range(n_iterations):
        n_steps = max(1, int(lengths[t] / step + 0.5))
        place, force, p = u.copy(), slope.copy(), momenta[t].copy()
        start = value - 0.5 * np.sum(p * p)
        reached = value
        for _ in range(n_steps):
            p += 0.5 * step * force
            place += step * p
            reached = _at(place, mode, factor, prior, evidence, force)
            p += 0.5 * step * force
        change = reached - 0.5 * np.sum(p * p) - start
        # math.isfinite is always true under the kernels' flags
        chance = min(1.0, math.exp(min(change, 0.0))) if abs(change) < math.inf else 0.0
        if uniforms[t] < chance:
            u, slope, value = place, force, reached
        if t < n_warm_up:
            error_sum += target_acceptance - chance
            log_step = centre - error_sum * math.sqrt(t + 1.0) / (0.1 * (t + 11.0))
            weight = (t + 1.0) ** -0.75
            log_mean = weight * log_step + (1.0 - weight) * log_mean
            step = math.exp(log_step if t < n_warm_up - 1 else log_mean)
            step = min(max(step, 0.02), 1.5)
        else:
            draws[t - n_warm_up] = mode + factor @ u
            acceptance[t - n_warm_up] = chance
    return draws, acceptance, step
