"""Kernels of logged strokes: how near the hole an approach finished, and how far a drive advanced.

Each adds to the gradient it is given and returns its log likelihood, up to constants that no latent changes.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import uncounted
from rangework.skill.coordinates import (
    LAY_UP,
    LN_AIM,
    LN_AIM_DEPTH,
    LN_DRIVER,
    LN_SESSION_SPREAD,
    LN_TEE_DEPTH,
    LN_TEE_DIRECTION,
    TEE_POOR,
)
from rangework.skill.kernel_arrays import (
    PLACES,
    SLIPS,
    WILD,
    WILD_EXCESS,
    WILD_SPREAD,
    DrivePlaces,
    Form,
    Logged,
    Point,
    PoorPlaces,
    Sessions,
)
from rangework.skill.strike_kernels import (
    add_effect_kernel,
    add_poor_kernel,
    add_spread_kernel,
    effect_kernel,
    exponential_kernel,
    poor_chance_kernel,
    spread_kernel,
)

FloatArray = NDArray[np.float64]


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
    tight = 1.0 / (1.0 + WILD_EXCESS * wild_share)
    loose = WILD_SPREAD**2 * tight
    total = by_slip = by_wild = 0.0
    for i in range(cells.target_m.size):
        at = sessions.spread[cells.session[i]]
        target = cells.target_m[i]
        slopes = spread_kernel(cells, i, c, form)
        scale = math.exp(effect_kernel(z, at, sd_spread))
        depth = (slopes[0] * scale) ** 2
        side = (target * slopes[1] * scale) ** 2
        aim_side = (aim_rad * target) ** 2
        aim_depth = depth_ratio * depth_ratio * aim_side
        poor = poor_chance_kernel(cells, i, c)
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
        by_wild -= 0.5 * WILD_EXCESS * tight * tight * by_tight
        by_aim_depth = aim_depth * (usual_depth + wild_depth + topped_depth)
        g[LN_AIM] += by_aim_depth + aim_side * (usual_side + wild_side) + poor * struck * topped_aim
        g[LN_AIM_DEPTH] += by_aim_depth
        add_spread_kernel(cells, i, by_depth, by_side, slopes, c, g)
        add_poor_kernel(cells, i, (topped - solid) * struck, c, g)
        add_effect_kernel(by_depth + by_side, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
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
    tight = 1.0 / (1.0 + WILD_EXCESS * wild_share)
    extra = form.tee_extra**2
    # solid, wild and poor: share, length over the driver's, and variance over the golfer's
    shares = (1.0 - poor) * (1.0 - wild_share), (1.0 - poor) * wild_share, poor
    lengths = 1.0, 1.0, form.poor_length
    widths = tight, WILD_SPREAD**2 * tight, form.poor_spread**2
    root, shorter_wide = math.sqrt(2.0 * math.pi), form.poor_spread * form.shorter_spread
    total = by_slip = 0.0
    for i in range(logged.drive_advance_m.size):
        at = sessions.spread[logged.drive_session[i]]
        scale = math.exp(2.0 * effect_kernel(z, at, sd_spread))
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
        by_wild -= WILD_EXCESS * tight * by_tight
        g[WILD] += by_wild * wild_share * (1.0 - wild_share)
        add_effect_kernel(by_own + 2.0 * by_turn, z, at, sd_spread, LN_SESSION_SPREAD, g, gz)
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    return total
