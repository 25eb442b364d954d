"""What wind, thin air and a climb do to a shot: the calm shot that is played, and how far its ball is moved.

A golfer takes the club that brings a solid ball as far as the target is, but lines up on the target: a cross wind
carries the ball off that line, and the best target lies upwind. ``Air`` in ``kernel_arrays`` says what is in it.
"""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with
from rangework.play.kernel_arrays import (
    BIAS_DEPTH,
    CELL,
    DEPTH,
    DIRECTION,
    END_X,
    END_Y,
    FULL_TARGET,
    LIE_TEE,
    LINE_X,
    LINE_Y,
    LONGEST,
    POOR,
    POOR_LENGTH,
    RUN,
    SHIFT_X,
    SHIFT_Y,
    TARGET,
    TARGET_X,
    TARGET_Y,
    UNIFORM,
    UNSURE_ACROSS,
    UNSURE_ALONG,
    WALK_BELOW_M,
    X,
    Y,
)


@kernel_with(inline="always")
def climb_to(hole, sy, ty):
    """How far the ground rises between two places, told by how far ahead of the tee they lie."""
    return hole.air.slope * (min(max(ty, 0.0), hole.pin_y) - min(max(sy, 0.0), hole.pin_y))


@kernel_with(inline="always")
def moved_by_wind(air, driver, ux, uy, target):
    """Metres that the wind carries a shot on along its line and to the right of it."""
    exposed = min(target / (air.full_share * driver), 1.0)
    exposed = driver * exposed * math.sqrt(exposed)
    behind, across = air.wind_x * ux + air.wind_y * uy, air.wind_x * uy - air.wind_y * ux
    head = max(-behind, 0.0)
    along = air.tail * max(behind, 0.0) - head * (air.head + air.head_squared * head)
    return exposed * along, exposed * air.cross * across


@kernel_with(inline="always")
def longest_in_air(hole, driver, longest, sx, sy, tx, ty):
    """The longest target from a place in a direction, for a golfer who reaches ``longest`` on level ground in calm."""
    air = hole.air
    if air.neutral:
        return longest
    dx, dy = tx - sx, ty - sy
    far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
    ux, uy = dx / far, dy / far
    along, _ = moved_by_wind(air, driver, ux, uy, longest)
    level = longest * air.stretch + along
    reached = level - climb_to(hole, sy, sy + uy * level)
    return max(level - climb_to(hole, sy, sy + uy * reached), 1.0)


@kernel_with(inline="always")
def calm_shot(hole, driver, sy, ux, uy, target):
    """The shot to be played so that a solid ball comes ``target`` far.

    Returns its distance in calm neutral air; what it makes of that distance in this air; how far a solid ball is
    carried on in x and y; and how unsure it is along and across, as the wind is not known exactly.
    """
    air = hole.air
    if air.neutral:
        return target, target, 0.0, 0.0, 0.0, 0.0
    along, right = moved_by_wind(air, driver, ux, uy, target)
    on = along - climb_to(hole, sy, sy + uy * target)
    middle = max(target - on, 1.0)
    shift_x, shift_y = ux * on + uy * right, uy * on - ux * right
    return middle / air.stretch, middle, shift_x, shift_y, air.unsure * along, air.unsure * right


@kernel_with(inline="always")
def widened(depth, direction, stretch, target, unsure_along, unsure_across):
    """Spread of depth and direction with the spread of what the wind does."""
    depth *= stretch
    turned = unsure_across / max(target, 1.0)
    return math.sqrt(depth * depth + unsure_along * unsure_along), math.sqrt(
        direction * direction + turned * turned
    )


@kernel
def lengthen_all(hole, driver, n, w):
    """The longest target of every ball in its direction."""
    for k in range(n):
        w[LONGEST + k] = longest_in_air(
            hole, driver, w[LONGEST + k], w[X + k], w[Y + k], w[TARGET_X + k], w[TARGET_Y + k]
        )


@kernel
def play_for_air(hole, driver, n, w):
    """Turn targets into the calm distances that are played, and remember what the air will do."""
    for k in range(n):
        target = w[TARGET + k]
        played, _, shift_x, shift_y, unsure_along, unsure_across = calm_shot(
            hole, driver, w[Y + k], w[LINE_X + k], w[LINE_Y + k], target
        )
        w[FULL_TARGET + k] = target
        w[TARGET + k] = played
        w[SHIFT_X + k] = shift_x
        w[SHIFT_Y + k] = shift_y
        w[UNSURE_ALONG + k] = unsure_along
        w[UNSURE_ACROSS + k] = unsure_across


@kernel
def widen_all(stretch, n, w):
    """What calm shots become in this air, before they are carried on."""
    for k in range(n):
        w[DEPTH + k], w[DIRECTION + k] = widened(
            w[DEPTH + k], w[DIRECTION + k], stretch, w[FULL_TARGET + k], w[UNSURE_ALONG + k],
            w[UNSURE_ACROSS + k],
        )  # fmt: skip
        w[BIAS_DEPTH + k] *= stretch
        w[TARGET + k] *= stretch


@kernel
def carry_on_all(hole, n, w, j):
    """Carry the balls on to where they land in this air; the true targets are put back."""
    ny, nx = hole.ground.shape
    right, top = nx - 1.0, ny - 1.0
    for k in range(n):
        share = POOR_LENGTH if w[UNIFORM + k] < w[POOR + k] else 1.0
        x, y = w[END_X + k] + share * w[SHIFT_X + k], w[END_Y + k] + share * w[SHIFT_Y + k]
        w[END_X + k] = x
        w[END_Y + k] = y
        ix = np.int64(min(max((x - hole.x0) * hole.per_cell, 0.0), right))
        iy = np.int64(min(max((y - hole.y0) * hole.per_cell, 0.0), top))
        j[CELL + k] = iy * nx + ix
        w[TARGET + k] = w[FULL_TARGET + k]
        if w[TARGET + k] < WALK_BELOW_M:
            w[RUN + k] *= hole.short_firmness / hole.firmness


@kernel_with(inline="always")
def driver_of(player):
    """The golfer's longest tee shot in calm."""
    return player.longest[LIE_TEE]
