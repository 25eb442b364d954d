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

from rangework.compiled import kernel, uncounted
from rangework.skill.coordinates import (
    LAY_UP,
    LN_AIM,
    LN_AIM_DEPTH,
    LN_AIM_PAST,
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

#: Places where a logged shot can lie, for each of them: two rows of eight, which is what processors take at a time.
PLACES = 16
#: Balls of a cell that are taken at a time.
LANES = 8

#: Coordinates beyond those of `coordinates`, which describe the rows of the records: log odds that a solid strike is
#: wild, that a row is no shot of its target at all, and of misreading a solid strike (share of the most there is).
WILD, SLIPS, MISREADS = N_COORDINATES, N_COORDINATES + 1, N_COORDINATES + 2
N_FITTED = N_COORDINATES + 3

#: A wild strike, solid all the same, scatters so many times as widely as the others.
WILD_SPREAD = 2.0
_WILD_EXCESS = WILD_SPREAD**2 - 1.0

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
    most_misread: float  #: chance that a solid strike is misread, at most; 0 where nothing ever was
    tee_extra: float  #: sd of a logged drive's length that is not the golfer's, share of driver length
    shorter_length: float  #: mean advance with a shorter club, share of driver length
    shorter_spread: float  #: and its sd
    reading_ratio_per_m: float


class Cells(NamedTuple):
    """Shots of one target, lie, place and session: what their spread is made of, ``[cell]``.

    Spread is ``multiplier (full_share x full form + short)``; the multiplier is the weighted mean of those of one or
    two neighbours, the part that the shot counts to first, ``[cell, 2]``. Biases likewise. Indices are coordinates.
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
    spread_weight: FloatArray
    sandy: FloatArray  #: [cell, 2] whether the level from sand counts too, 0 or 1
    partial: FloatArray  #: how much wider in depth than a full shot, 1 for full shots
    bias_at: IntArray
    bias_weight: FloatArray
    bias_depth_at: IntArray
    bias_depth_weight: FloatArray
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
    lay_up: FloatArray  #: density of what is left, if the stroke was a lay-up, times the share of such
    anywhere: FloatArray  #: density of what is left if the row is no shot at the hole at all
    drive_advance_m: FloatArray
    drive_to_hole_m: FloatArray
    drive_anywhere: FloatArray
    drive_length_m: float  #: a first look at driver length: how far from the tee drives are looked for
    drive_session: IntArray


class PoorPlaces(NamedTuple):
    """Places where a poor strike at the hole can lie that left so much, ``[approach, PLACES]``."""

    distance_m: FloatArray  #: from where it was struck, negative behind
    lever_m2: FloatArray  #: square of the distance that a turn moves a ball at
    aside_m2: FloatArray  #: square of the arc from the line to the hole
    weight: FloatArray


class DrivePlaces(NamedTuple):
    """Places where a drive can lie that left so much, ``[drive, PLACES]``."""

    distance_m: FloatArray  #: from the tee
    angle_square: FloatArray  #: of the angle off the line to the hole
    weight: FloatArray


class Putts(NamedTuple):
    """Putts holed, missed with nothing measured, and missed to a tap-in: counts by session and distance node."""

    node: IntArray
    session: IntArray
    holed: FloatArray
    missed: FloatArray
    near: FloatArray
    log_make: FloatArray  #: [node, line, pace, past]
    log_miss: FloatArray
    log_near: FloatArray
    line_first: float
    line_step: float
    pace_first: float
    pace_step: float
    past_first: float
    past_step: float


class Leaves(NamedTuple):
    """Missed putts by where they finished: the points ``[miss, point]`` that a measurement allows."""

    distance_m: FloatArray
    rolled_m: FloatArray
    angle_rad: FloatArray
    weight: FloatArray
    anywhere: FloatArray  #: density of a row that is no putt at all
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
    poor_places: PoorPlaces
    drive_places: DrivePlaces
    putts: Putts
    measured: Leaves  #: one point a miss
    circles: Leaves  #: points all round the hole: only the distance left is known
    sessions: Sessions


class Point(NamedTuple):
    """Coordinates with what the kernels need of them over and over, each ``[coordinate]``."""

    value: FloatArray
    factor: FloatArray  #: exponential
    chance: FloatArray  #: what the value is the log odds of


class Prior(NamedTuple):
    """Coordinates are ``levels`` at the level plus ``loadings`` times the latents."""

    loadings: FloatArray
    levels: FloatArray
    first_level: float
    level_step: float
    level: float
    level_sd: float
    shifts: FloatArray  #: [level, latent] how far latents must move for coordinates to stay as at ``level``


class Whitening(NamedTuple):
    """Latents and effects ``x`` from independent unit normals ``u``: the way the sampler walks.

    With ``v = golfer u`` for the latents (and ``sessions`` for the effects), ``x = mode + v`` but for a bend: of
    latents that the records know well, a share ``centred`` of their shift with the level is taken off, so that
    a change of level leaves the golfer's coordinates where the records want them.
    """

    mode: FloatArray
    golfer: FloatArray  #: [latent, latent]
    lean: FloatArray  #: [effect, latent] effects by the latents' u
    blocks: FloatArray  #: [effect, 3] effects by the u of ``partners``
    partners: IntArray  #: [effect, 3] effects of the same session
    centred: FloatArray  #: [latent]


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
def _effect(z: FloatArray, at: int, sd: float) -> float:
    return sd * z[at] if at >= 0 else 0.0


@uncounted
def _add_effect(
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
def _bias(at: IntArray, weight: FloatArray, i: int, c: Point) -> float:
    """The bias of a cell, made of its neighbours'."""
    return float(c.value[at[i, 0]] * weight[i, 0] + c.value[at[i, 1]] * weight[i, 1])


@uncounted
def _add_bias(at: IntArray, weight: FloatArray, i: int, slope: float, g: FloatArray) -> None:
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
def _add_spread(
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
def _poor_chance(cells: Cells, i: int, c: Point) -> float:
    blend = cells.blend[i]
    poor = 0.0
    if blend > 0.0:
        poor += blend * c.chance[cells.full_poor_at[i]]
    if blend < 1.0:
        poor += (1.0 - blend) * c.chance[cells.short_poor_at[i]]
    return min(poor, 0.9)


@uncounted
def _add_poor(cells: Cells, i: int, by_poor: float, c: Point, g: FloatArray) -> None:
    blend = cells.blend[i]
    if blend > 0.0:
        chance = c.chance[cells.full_poor_at[i]]
        g[cells.full_poor_at[i]] += by_poor * blend * chance * (1.0 - chance)
    if blend < 1.0:
        chance = c.chance[cells.short_poor_at[i]]
        g[cells.short_poor_at[i]] += by_poor * (1.0 - blend) * chance * (1.0 - chance)


@uncounted
def aimed_kernel(
    aimed: Aimed, sessions: Sessions, form: Form, c: Point, z: FloatArray, g: FloatArray, gz: FloatArray
) -> float:
    """Aimed balls: a solid or a poor strike, or no shot at all; misreads are solid or poor strikes unseen."""
    cells = aimed.cells
    sd_direction = c.factor[LN_SESSION_DIRECTION]
    sd_depth = c.factor[LN_SESSION_DEPTH]
    sd_spread = c.factor[LN_SESSION_SPREAD]
    slip, wild_share = c.chance[SLIPS], c.chance[WILD]
    usual_tight = 1.0 + _WILD_EXCESS * wild_share
    wild_tight = usual_tight / WILD_SPREAD**2
    misread_share = c.chance[MISREADS]
    misread = form.most_misread * misread_share
    seen, poor_seen = 1.0 - misread, 1.0 - form.misread_ratio * misread
    loosening, per_seen, ratio_seen = 1.0 / usual_tight, 1.0 / seen, form.misread_ratio / poor_seen
    wide = form.poor_spread
    per_wide = 1.0 / wide
    usual_peak, wild_peak, topped_peak = (
        seen * usual_tight,
        seen * wild_tight,
        poor_seen * per_wide * per_wide,
    )
    total = by_slip = by_wild = by_misread = 0.0
    for i in range(cells.target_m.size):
        session = cells.session[i]
        target = cells.target_m[i] + cells.run_m[i]
        slopes = spread_kernel(cells, i, c, form)
        log_scale = _effect(z, sessions.spread[session], sd_spread)
        if cells.on_range[i] == 1:
            log_scale += c.value[LN_RANGE_FACTOR]
        scale = math.exp(log_scale)
        depth_sd, direction_sd = slopes[0] * scale, slopes[1] * scale
        length = target
        if cells.tee[i] == TEE_DRIVER:
            length = c.factor[LN_DRIVER]
            if cells.run_m[i] > 0.0:
                length -= c.factor[LN_RUN]
        shift = _effect(z, sessions.depth[session], sd_depth)
        shift += _bias(cells.bias_depth_at, cells.bias_depth_weight, i, c)
        turn = _effect(z, sessions.direction[session], sd_direction)
        turn += _bias(cells.bias_at, cells.bias_weight, i, c)
        mean = length + shift * target
        poor_mean = form.poor_length * length
        poor = _poor_chance(cells, i, c)
        anywhere = depth_sd * direction_sd / (2.0 * target)
        by_depth = by_direction = by_mean = by_poor_mean = by_turn = by_poor = 0.0
        n_balls = aimed.first[i + 1] - aimed.first[i]
        per_depth, per_direction = 1.0 / depth_sd, 1.0 / direction_sd
        for first in range(aimed.first[i], aimed.first[i + 1], LANES):
            product = 1.0
            for k in range(LANES):
                # lanes beyond the cell's last ball read it again and count nothing
                held = 1.0 if first + k < aimed.first[i + 1] else 0.0
                j = min(first + k, aimed.first[i + 1] - 1)
                x = (aimed.distance_m[j] - mean) * per_depth
                y = (aimed.angle_rad[j] - turn) * per_direction
                far = (aimed.distance_m[j] - poor_mean) * per_depth * per_wide
                aside = y * per_wide
                apart = x * x + y * y
                fading = exponential_kernel(-0.5 * wild_tight * apart)
                wild = wild_peak * fading
                # half as wide: the square of the square
                usual = usual_peak * (fading * fading) * (fading * fading)
                solid_density = (1.0 - wild_share) * usual + wild_share * wild
                poor_density = exponential_kernel(-0.5 * (far * far + aside * aside)) * topped_peak
                shot = (1.0 - poor) * solid_density + poor * poor_density
                density = (1.0 - slip) * shot + slip * anywhere
                product *= density * held + (1.0 - held)
                per_density = held / density
                struck = (1.0 - slip) * per_density
                usual *= (1.0 - poor) * struck
                wild *= (1.0 - poor) * struck
                topped = poor * poor_density * struck
                by_misread -= (1.0 - poor) * solid_density * struck * per_seen + topped * ratio_seen
                by_slip += (anywhere - shot) * per_density
                by_wild += wild - usual
                usual *= 1.0 - wild_share
                wild *= wild_share
                by_wild += usual * (loosening - 0.5 * apart) * _WILD_EXCESS
                by_wild += wild * (loosening - 0.5 / WILD_SPREAD**2 * apart) * _WILD_EXCESS
                pull, solid = usual * usual_tight + wild * wild_tight, usual + wild
                by_depth += pull * x * x + topped * far * far - solid - topped
                by_direction += pull * y * y + topped * aside * aside - solid - topped
                by_mean += pull * x
                by_poor_mean += topped * far
                by_turn += pull * y + topped * aside * per_wide
                by_poor += (poor_density - solid_density) * struck
            total += math.log(product)
        total -= n_balls * math.log(depth_sd * direction_sd)
        by_mean *= per_depth
        by_poor_mean *= per_wide * per_depth
        by_turn *= per_direction
        if aimed.misreads[i] > 0.0:
            unseen = 1.0 + (form.misread_ratio - 1.0) * poor
            total += aimed.misreads[i] * math.log(misread * unseen)
            by_misread += aimed.misreads[i] / misread
            by_poor += aimed.misreads[i] * (form.misread_ratio - 1.0) / unseen
        _add_spread(cells, i, by_depth, by_direction, slopes, c, g)
        _add_poor(cells, i, by_poor, c, g)
        if cells.on_range[i] == 1:
            g[LN_RANGE_FACTOR] += by_depth + by_direction
        if cells.tee[i] == TEE_DRIVER:
            by_length = by_mean + form.poor_length * by_poor_mean
            g[LN_DRIVER] += by_length * c.factor[LN_DRIVER]
            if cells.run_m[i] > 0.0:
                g[LN_RUN] -= by_length * c.factor[LN_RUN]
        _add_bias(cells.bias_depth_at, cells.bias_depth_weight, i, by_mean * target, g)
        _add_bias(cells.bias_at, cells.bias_weight, i, by_turn, g)
        _add_effect(by_mean * target, z, sessions.depth[session], sd_depth, LN_SESSION_DEPTH, g, gz)
        _add_effect(by_turn, z, sessions.direction[session], sd_direction, LN_SESSION_DIRECTION, g, gz)
        _add_effect(by_depth + by_direction, z, sessions.spread[session], sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    g[WILD] += by_wild * wild_share * (1.0 - wild_share)
    g[MISREADS] += by_misread * misread * (1.0 - misread_share)
    return total


@uncounted
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


@uncounted
def centred_distance_kernel(distance: float, depth_sd: float, side_sd: float) -> tuple[float, float, float]:
    """Density of the distance from the middle of a bivariate normal, and its log slopes in both ln sds."""
    p = 0.5 * (distance / depth_sd) ** 2
    q = 0.5 * (distance / side_sd) ** 2
    i0, ratio = bessel_kernel(0.5 * abs(p - q))
    ratio = ratio if p > q else -ratio
    density = distance / (depth_sd * side_sd) * math.exp(-min(p, q)) * i0
    return density, p * (1.0 - ratio) - 1.0, q * (1.0 + ratio) - 1.0


@uncounted
def poor_distance_kernel(
    places: PoorPlaces, i: int, mean: float, depth_sd: float, direction: float, aim: float
) -> tuple[float, float, float, float]:
    """Density of the distance from the hole of strikes that travel ``mean``, turned by angles, aimed at the hole.

    ``depth_sd`` holds all that adds to the distance; ``direction`` and ``aim`` are variances of the angle and of
    the place aimed at across. Slopes of the density: in the logarithms of the depth sd, of ``direction`` and of
    ``aim``, the latter two times two.
    """
    density = by_depth = by_direction = by_aim = 0.0
    per_depth = 1.0 / depth_sd
    for k in range(PLACES):
        turned = direction * places.lever_m2[i, k]
        per_side = 1.0 / (turned + aim)
        x = (places.distance_m[i, k] - mean) * per_depth
        y = places.aside_m2[i, k] * per_side
        mass = places.weight[i, k] * exponential_kernel(-0.5 * (x * x + y)) * math.sqrt(per_side)
        density += mass
        by_depth += mass * (x * x - 1.0)
        by_direction += mass * (y - 1.0) * turned * per_side
        by_aim += mass * (y - 1.0) * aim * per_side
    return density * per_depth, by_depth * per_depth, by_direction * per_depth, by_aim * per_depth


@uncounted
def approach_kernel(
    logged: Logged,
    places: PoorPlaces,
    sessions: Sessions,
    form: Form,
    c: Point,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Logged strokes toward the hole: how far they finished from it, whatever they were aimed at near it."""
    cells = logged.cells
    sd_spread = c.factor[LN_SESSION_SPREAD]
    aim_rad, depth_ratio = c.factor[LN_AIM], c.factor[LN_AIM_DEPTH]
    wide = form.poor_spread
    slip, wild_share = c.chance[SLIPS], c.chance[WILD]
    tight = 1.0 / (1.0 + _WILD_EXCESS * wild_share)
    loose = WILD_SPREAD**2 * tight
    total = by_slip = by_wild = 0.0
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
        usual, usual_depth, usual_side = centred_distance_kernel(
            left, math.sqrt(tight * depth + aim_depth), math.sqrt(tight * side + aim_side)
        )
        wild, wild_depth, wild_side = centred_distance_kernel(
            left, math.sqrt(loose * depth + aim_depth), math.sqrt(loose * side + aim_side)
        )
        solid = (1.0 - wild_share) * usual + wild_share * wild
        wide_depth = wide * wide * depth + aim_depth
        topped, topped_depth, topped_direction, topped_aim = poor_distance_kernel(
            places,
            i,
            form.poor_length * target,
            math.sqrt(wide_depth),
            wide * wide * side / (target * target),
            aim_side,
        )
        shot = (1.0 - poor) * solid + poor * topped
        density = (1.0 - slip) * shot + slip * logged.anywhere[i] + logged.lay_up[i]
        total += math.log(density)
        struck = (1.0 - slip) / density
        by_slip += (logged.anywhere[i] - shot) / density
        by_wild += (1.0 - poor) * struck * (wild - usual)
        usual *= (1.0 - wild_share) * (1.0 - poor) * struck
        wild *= wild_share * (1.0 - poor) * struck
        # slopes in the logarithm of each whole sd, over its variance
        usual_depth *= usual / (tight * depth + aim_depth)
        usual_side *= usual / (tight * side + aim_side)
        wild_depth *= wild / (loose * depth + aim_depth)
        wild_side *= wild / (loose * side + aim_side)
        topped_depth *= poor * struck / wide_depth
        by_depth = depth * (tight * usual_depth + loose * wild_depth + wide * wide * topped_depth)
        by_side = side * (tight * usual_side + loose * wild_side) + poor * struck * topped_direction
        by_tight = depth * (usual_depth + WILD_SPREAD**2 * wild_depth)
        by_tight += side * (usual_side + WILD_SPREAD**2 * wild_side)
        by_wild -= 0.5 * _WILD_EXCESS * tight * tight * by_tight
        by_aim_depth = aim_depth * (usual_depth + wild_depth + topped_depth)
        g[LN_AIM] += by_aim_depth + aim_side * (usual_side + wild_side) + poor * struck * topped_aim
        g[LN_AIM_DEPTH] += by_aim_depth
        _add_spread(cells, i, by_depth, by_side, slopes, c, g)
        _add_poor(cells, i, (topped - solid) * struck, c, g)
        _add_effect(by_depth + by_side, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    g[WILD] += by_wild * wild_share * (1.0 - wild_share)
    return total


@uncounted
def turned_drive_kernel(
    places: DrivePlaces, i: int, length: float, sd: float, square: float
) -> tuple[float, float, float, float]:
    """Density of what a drive of mean ``length`` leaves, turned by an angle of mean square ``square``.

    Then its slopes in the length, in the logarithm of ``sd`` and in the logarithm of ``square``. All are
    ``sqrt(2 pi)`` times as large.
    """
    density = by_length = by_sd = by_square = 0.0
    per_sd, per_square = 1.0 / sd, 1.0 / square
    for k in range(PLACES):
        x = (places.distance_m[i, k] - length) * per_sd
        y = places.angle_square[i, k] * per_square
        mass = places.weight[i, k] * exponential_kernel(-0.5 * (x * x + y))
        density += mass
        by_length += mass * x
        by_sd += mass * x * x
        by_square += mass * y
    scale = per_sd * math.sqrt(per_square)
    density *= scale
    return density, by_length * scale * per_sd, by_sd * scale - density, 0.5 * (by_square * scale - density)


@uncounted
def drive_kernel(
    logged: Logged,
    places: DrivePlaces,
    sessions: Sessions,
    form: Form,
    c: Point,
    z: FloatArray,
    g: FloatArray,
    gz: FloatArray,
) -> float:
    """Logged tee shots of long holes: what they left; a driver, a poor strike, or a shorter club."""
    driver = c.factor[LN_DRIVER]
    tee_depth, tee_direction = c.factor[LN_TEE_DEPTH], c.factor[LN_TEE_DIRECTION]
    aim = c.factor[LN_AIM] ** 2
    sd_spread = c.factor[LN_SESSION_SPREAD]
    poor, lay_up = c.chance[TEE_POOR], c.chance[LAY_UP]
    slip, wild_share = c.chance[SLIPS], c.chance[WILD]
    tight = 1.0 / (1.0 + _WILD_EXCESS * wild_share)
    extra = form.tee_extra**2
    # solid, wild and poor: share, length over the driver's, and variance over the golfer's
    shares = (1.0 - poor) * (1.0 - wild_share), (1.0 - poor) * wild_share, poor
    lengths = 1.0, 1.0, form.poor_length
    widths = tight, WILD_SPREAD**2 * tight, form.poor_spread**2
    root, shorter_wide = math.sqrt(2.0 * math.pi), form.poor_spread * form.shorter_spread
    total = by_slip = 0.0
    for i in range(logged.drive_advance_m.size):
        at = sessions.spread[logged.drive_session[i]]
        scale = math.exp(2.0 * _effect(z, at, sd_spread))
        own, turn = tee_depth * tee_depth * scale, tee_direction * tee_direction * scale
        solid, wild, topped = widths
        found = (
            turned_drive_kernel(
                places, i, driver, driver * math.sqrt(solid * own + extra), solid * turn + aim
            ),
            turned_drive_kernel(places, i, driver, driver * math.sqrt(wild * own + extra), wild * turn + aim),
            turned_drive_kernel(
                places,
                i,
                form.poor_length * driver,
                driver * math.sqrt(topped * own + extra),
                topped * turn + aim,
            ),
        )
        struck = shares[0] * found[0][0] + shares[1] * found[1][0] + shares[2] * found[2][0]
        away = (logged.drive_advance_m[i] / driver - form.shorter_length) / form.shorter_spread
        well = math.exp(-0.5 * away * away) / (form.shorter_spread * driver)
        # a poor strike with the shorter club falls shorter still
        aside = (logged.drive_advance_m[i] / driver - form.poor_length * form.shorter_length) / shorter_wide
        badly = math.exp(-0.5 * aside * aside) / (shorter_wide * driver)
        shorter = (1.0 - poor) * well + poor * badly
        shot, anywhere = (1.0 - lay_up) * struck + lay_up * shorter, root * logged.drive_anywhere[i]
        density = (1.0 - slip) * shot + slip * anywhere
        total += math.log(density)
        by_slip += (anywhere - shot) / density
        by_driver = by_own = by_turn = by_aim = by_tight = 0.0
        for k in range(3):
            share = shares[k] * (1.0 - slip) * (1.0 - lay_up) / density
            sd_part = share * found[k][2] * widths[k] * own / (widths[k] * own + extra)
            turn_part = share * found[k][3] / (widths[k] * turn + aim)
            by_driver += share * (found[k][1] * lengths[k] * driver + found[k][2])
            by_own += sd_part
            by_turn += turn_part * widths[k] * turn
            by_aim += turn_part * aim
            if k < 2:
                by_tight += 0.5 * sd_part + turn_part * widths[k] * turn
        rest = (1.0 - slip) / density
        advance = logged.drive_advance_m[i] / driver
        by_shorter = (1.0 - poor) * well * (away * advance / form.shorter_spread - 1.0)
        by_shorter += poor * badly * (aside * advance / shorter_wide - 1.0)
        g[LN_DRIVER] += by_driver + rest * lay_up * by_shorter
        g[LN_TEE_DEPTH] += by_own
        g[LN_TEE_DIRECTION] += 2.0 * by_turn
        g[LN_AIM] += 2.0 * by_aim
        well_struck = (1.0 - wild_share) * found[0][0] + wild_share * found[1][0]
        by_poor = (1.0 - lay_up) * (found[2][0] - well_struck) + lay_up * (badly - well)
        g[TEE_POOR] += rest * by_poor * poor * (1.0 - poor)
        g[LAY_UP] += rest * (shorter - struck) * lay_up * (1.0 - lay_up)
        by_wild = rest * (1.0 - lay_up) * (1.0 - poor) * (found[1][0] - found[0][0])
        by_wild -= _WILD_EXCESS * tight * by_tight
        g[WILD] += by_wild * wild_share * (1.0 - wild_share)
        _add_effect(by_own + 2.0 * by_turn, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    return total


@uncounted
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


@uncounted
def volume_kernel(
    table: FloatArray, row: float, column: float, layer: float
) -> tuple[float, float, float, float]:
    """A smooth function through ``table`` at a place inside it, and its slopes along the three axes."""
    row = min(max(row, 1.0), table.shape[0] - 2.0001)
    column = min(max(column, 1.0), table.shape[1] - 2.0001)
    layer = min(max(layer, 1.0), table.shape[2] - 2.0001)
    i, j, n = int(row), int(column), int(layer)
    a, b, d = _cubic_weights(row - i), _cubic_weights(column - j), _cubic_weights(layer - n)
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
        effect = _effect(z, at, sd_spread)
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
        _add_effect(by_line + by_pace, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
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
        effect = _effect(z, at, sd_spread)
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
        _add_effect(weight * (by_line + by_pace), z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    return total


@kernel
def log_likelihood(evidence: Evidence, c: FloatArray, z: FloatArray, g: FloatArray, gz: FloatArray) -> float:
    """Log likelihood of all records at coordinates ``c`` and session effects ``z``; adds its gradient."""
    form, sessions = evidence.form, evidence.sessions
    point = point_kernel(c)
    total = aimed_kernel(evidence.aimed, sessions, form, point, z, g, gz)
    total += approach_kernel(evidence.logged, evidence.poor_places, sessions, form, point, z, g, gz)
    total += drive_kernel(evidence.logged, evidence.drive_places, sessions, form, point, z, g, gz)
    total += holed_kernel(evidence.putts, sessions, point, z, g, gz)
    total += leave_kernel(evidence.measured, sessions, form, point, z, g, gz)
    total += leave_kernel(evidence.circles, sessions, form, point, z, g, gz)
    return total


@kernel
def at_level_kernel(
    first: float, prior: Prior, table: FloatArray, value: FloatArray, slope: FloatArray
) -> None:
    """A row of ``table`` ``[level, column]`` at the level of the first latent, and its slope in that latent."""
    last = table.shape[0] - 1
    place = (prior.level + prior.level_sd * first - prior.first_level) / prior.level_step
    inside = 0.0 < place < last
    place = min(max(place, 0.0), float(last))
    cell = min(int(place), last - 1)
    before, after = max(cell - 1, 0), min(cell + 2, last)
    weights = _cubic_weights(place - cell)
    rows = (before, cell, cell + 1, after)
    for i in range(table.shape[1]):
        total = change = 0.0
        for k in range(4):
            total += weights[k] * table[rows[k], i]
            change += weights[4 + k] * table[rows[k], i]
        value[i] = total
        slope[i] = change * prior.level_sd / prior.level_step if inside else 0.0


@kernel
def coordinates_kernel(x: FloatArray, prior: Prior, c: FloatArray, by_level: FloatArray) -> None:
    """Coordinates of latents, and their slopes in the first latent (the level)."""
    at_level_kernel(x[0], prior, prior.levels, c, by_level)
    for i in range(prior.loadings.shape[0]):
        total = 0.0
        for k in range(prior.loadings.shape[1]):
            total += prior.loadings[i, k] * x[k]
        c[i] += total


@kernel
def log_posterior(x: FloatArray, prior: Prior, evidence: Evidence, gradient: FloatArray) -> float:
    """Log posterior density at latents and session effects ``x``; its gradient replaces ``gradient``."""
    n = prior.loadings.shape[1]
    c, by_level = np.empty(N_FITTED), np.empty(N_FITTED)
    coordinates_kernel(x, prior, c, by_level)
    g = np.zeros(N_FITTED)
    for k in range(x.size):
        gradient[k] = 0.0
    total = log_likelihood(evidence, c, x[n:], g, gradient[n:])
    for i in range(N_FITTED):
        gradient[0] += by_level[i] * g[i]
        for k in range(n):
            gradient[k] += prior.loadings[i, k] * g[i]
    for k in range(x.size):
        total -= 0.5 * x[k] * x[k]
        gradient[k] -= x[k]
    return total


@kernel
def unwhitened_kernel(u: FloatArray, way: Whitening, prior: Prior, slope: FloatArray) -> FloatArray:
    """Latents and effects at whitened ``u``; the slope of their bend in the first latent replaces ``slope``."""
    n = way.golfer.shape[0]
    x = way.mode.copy()
    x[:n] += way.golfer @ u[:n]
    x[n:] += way.lean @ u[:n]
    for i in range(way.blocks.shape[0]):
        for k in range(way.blocks.shape[1]):
            x[n + i] += way.blocks[i, k] * u[n + way.partners[i, k]]
    shift, at_mode = np.empty(n), np.empty(n)
    at_level_kernel(way.mode[0], prior, prior.shifts, at_mode, slope)
    at_level_kernel(x[0], prior, prior.shifts, shift, slope)
    for k in range(n):
        x[k] -= way.centred[k] * (shift[k] - at_mode[k])
        slope[k] *= way.centred[k]
    return x


@kernel
def _at(u: FloatArray, way: Whitening, prior: Prior, evidence: Evidence, slope: FloatArray) -> float:
    """Log posterior at whitened ``u``; its gradient in u replaces ``slope``."""
    n = way.golfer.shape[0]
    gradient, bend = np.empty(u.size), np.empty(n)
    value = log_posterior(unwhitened_kernel(u, way, prior, bend), prior, evidence, gradient)
    for k in range(n):
        gradient[0] -= bend[k] * gradient[k]
    slope[:n] = way.golfer.T @ gradient[:n] + way.lean.T @ gradient[n:]
    slope[n:] = 0.0
    for i in range(way.blocks.shape[0]):
        for k in range(way.blocks.shape[1]):
            slope[n + way.partners[i, k]] += way.blocks[i, k] * gradient[n + i]
    return value


@kernel
def hamiltonian_kernel(
    way: Whitening,
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
    u, slope, bend = np.zeros(n), np.empty(n), np.empty(way.golfer.shape[0])
    value = _at(u, way, prior, evidence, slope)
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
            reached = _at(place, way, prior, evidence, force)
            p += 0.5 * step * force
        change = reached - 0.5 * np.sum(p * p) - start
        # a comparison, for the compiler may take it that isfinite(x) always holds
        chance = math.exp(min(change, 0.0)) if -700.0 < change < 1e12 else 0.0
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
            draws[t - n_warm_up] = unwhitened_kernel(u, way, prior, bend)
            acceptance[t - n_warm_up] = chance
    return draws, acceptance, step
