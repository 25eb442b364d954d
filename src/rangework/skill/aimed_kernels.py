"""Kernel of aimed balls: log likelihood with its gradient, up to constants that no latent changes."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import uncounted
from rangework.skill.coordinates import (
    LN_DRIVER,
    LN_RANGE_FACTOR,
    LN_RUN,
    LN_SESSION_DEPTH,
    LN_SESSION_DIRECTION,
    LN_SESSION_SPREAD,
)
from rangework.skill.kernel_arrays import (
    LANES,
    MISREADS,
    SLIPS,
    TEE_DRIVER,
    WILD,
    WILD_EXCESS,
    WILD_SPREAD,
    Aimed,
    Form,
    Point,
    Sessions,
)
from rangework.skill.strike_kernels import (
    add_bias_kernel,
    add_effect_kernel,
    add_poor_kernel,
    add_spread_kernel,
    bias_kernel,
    effect_kernel,
    exponential_kernel,
    poor_chance_kernel,
    spread_kernel,
)

FloatArray = NDArray[np.float64]


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
    usual_tight = 1.0 + WILD_EXCESS * wild_share
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
        log_scale = effect_kernel(z, sessions.spread[session], sd_spread)
        if cells.on_range[i] == 1:
            log_scale += c.value[LN_RANGE_FACTOR]
        scale = math.exp(log_scale)
        depth_sd, direction_sd = slopes[0] * scale, slopes[1] * scale
        length = target
        if cells.tee[i] == TEE_DRIVER:
            length = c.factor[LN_DRIVER]
            if cells.run_m[i] > 0.0:
                length -= c.factor[LN_RUN]
        shift = effect_kernel(z, sessions.depth[session], sd_depth)
        shift += bias_kernel(cells.bias_depth_at, cells.bias_depth_weight, i, c)
        turn = effect_kernel(z, sessions.direction[session], sd_direction)
        turn += bias_kernel(cells.bias_at, cells.bias_weight, i, c)
        mean = length + shift * target
        poor_mean = form.poor_length * length
        poor = poor_chance_kernel(cells, i, c)
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
                by_wild += usual * (loosening - 0.5 * apart) * WILD_EXCESS
                by_wild += wild * (loosening - 0.5 / WILD_SPREAD**2 * apart) * WILD_EXCESS
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
        add_spread_kernel(cells, i, by_depth, by_direction, slopes, c, g)
        add_poor_kernel(cells, i, by_poor, c, g)
        if cells.on_range[i] == 1:
            g[LN_RANGE_FACTOR] += by_depth + by_direction
        if cells.tee[i] == TEE_DRIVER:
            by_length = by_mean + form.poor_length * by_poor_mean
            g[LN_DRIVER] += by_length * c.factor[LN_DRIVER]
            if cells.run_m[i] > 0.0:
                g[LN_RUN] -= by_length * c.factor[LN_RUN]
        add_bias_kernel(cells.bias_depth_at, cells.bias_depth_weight, i, by_mean * target, g)
        add_bias_kernel(cells.bias_at, cells.bias_weight, i, by_turn, g)
        add_effect_kernel(by_mean * target, z, sessions.depth[session], sd_depth, LN_SESSION_DEPTH, g, gz)
        add_effect_kernel(by_turn, z, sessions.direction[session], sd_direction, LN_SESSION_DIRECTION, g, gz)
        add_effect_kernel(
            by_depth + by_direction, z, sessions.spread[session], sd_spread, LN_SESSION_SPREAD, g, gz
        )
    g[SLIPS] += by_slip * slip * (1.0 - slip)
    g[WILD] += by_wild * wild_share * (1.0 - wild_share)
    g[MISREADS] += by_misread * misread * (1.0 - misread_share)
    return total
