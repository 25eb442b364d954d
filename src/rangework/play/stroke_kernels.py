"""One stroke after another, for logs of rounds and as the yardstick of the fast rounds."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with
from rangework.play.cost_kernels import longest_toward, struck
from rangework.play.flight_kernels import aim_line, cell_at, drop_place, ground_at, roll_out, shot_row
from rangework.play.kernel_arrays import (
    DROPPED,
    IN_PLAY,
    LIE_RECOVERY,
    POOR_LENGTH,
    POOR_SPREAD,
    REPLAYED,
    STUCK,
    WALK_BELOW_M,
    WATER,
)
from rangework.play.lattice_kernels import nearest_node
from rangework.play.luck_kernels import luck_counter, normal_pair, uniform


@kernel_with(inline="always")
def shot_group(is_tee, is_sand, target):
    """0 tee, 1-4 approach bands, 5 chip, 6 pitch, 7 greenside bunker (8 is putting)."""
    full = 1 + np.int64(target >= 91.44) + np.int64(target >= 137.16) + np.int64(target >= 182.88)
    short = 7 if is_sand else 5 + np.int64(target >= 18.288)
    group = full if target >= 45.72 else short
    return 0 if is_tee else group


@kernel_with(forceinline=True)
def play_when_struck(hole, player, key, stroke, row, sx, sy, ux, uy, target, middle, numbers):
    """Play a stroke aimed ``target`` far; ``middle`` and ``numbers`` as in ``cost_when_struck``."""
    depth, direction, bias_depth, bias, poor, carry, from_x, from_y, poor_x, poor_y = numbers
    z1, z2 = normal_pair(uniform(key, luck_counter(stroke, 0)), uniform(key, luck_counter(stroke, 1)))
    is_poor = uniform(key, luck_counter(stroke, 2)) < poor
    total, stretch = middle + bias_depth, 1.0
    if is_poor:
        if row == LIE_RECOVERY:
            return sx, sy, STUCK, z1, z2, is_poor, target
        total, stretch = POOR_LENGTH * middle, POOR_SPREAD
        from_x, from_y = poor_x, poor_y
    rho = player.correlation
    along = max(total + depth * stretch * z1, 0.3)
    angle = bias + direction * stretch * (rho * z1 + math.sqrt(1.0 - rho * rho) * z2)
    a2 = angle * angle
    sin = angle * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0))
    cos = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0)
    dx, dy = ux * cos + uy * sin, uy * cos - ux * sin
    x, y = from_x + dx * carry * along, from_y + dy * carry * along
    run = (1.0 - carry) * along
    if target < WALK_BELOW_M:
        x, y = roll_out(hole, x, y, dx, dy, run * hole.short_firmness)
    else:
        run *= hole.firmness * hole.run_share[ground_at(hole, x, y)]
        x, y = x + dx * run, y + dy * run
    ny, nx = hole.ground.shape
    x = min(max(x, hole.x0), hole.x0 + nx * hole.cell)
    y = min(max(y, hole.y0), hole.y0 + ny * hole.cell)
    ground, ending = ground_at(hole, x, y), IN_PLAY
    if ground >= WATER:
        ending = REPLAYED
        if ground == WATER:
            px, py, found = drop_place(hole, x, y, sx, sy)
            if found:
                x, y, ending = px, py, DROPPED
        if ending == REPLAYED:
            x, y = sx, sy
    return x, y, ending, z1, z2, is_poor, target


@kernel
def play_calm_stroke(hole, player, key, stroke, row, reach, sx, sy, tx, ty, height):
    """``play_stroke`` where nothing is changed."""
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    numbers = (depth, direction, bias_depth, bias, poor, carry, sx, sy, sx, sy)
    return play_when_struck(hole, player, key, stroke, row, sx, sy, ux, uy, target, target, numbers)


@kernel
def play_stroke(hole, player, key, stroke, row, reach, sx, sy, tx, ty, height):
    """Play one stroke: where it ends, how (IN_PLAY, DROPPED, REPLAYED, STUCK), its luck and the distance aimed at."""
    if hole.air.neutral:
        return play_calm_stroke(hole, player, key, stroke, row, reach, sx, sy, tx, ty, height)
    longest = longest_toward(hole, player, reach, sx, sy, tx, ty)
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, longest)
    middle, numbers = struck(hole, player, row, height, sx, sy, ux, uy, target)
    return play_when_struck(hole, player, key, stroke, row, sx, sy, ux, uy, target, middle, numbers)


@kernel_with(inline="always")
def next_target(hole, lattices, policy, lie, x, y):
    """Target and height from a place: those of the node nearest the middle of its cell, or straight at the pin."""
    nx = hole.ground.shape[1]
    cell = np.int64(cell_at(hole, x, y))
    x, y = hole.x0 + (cell % nx + 0.5) * hole.cell, hole.y0 + (cell // nx + 0.5) * hole.cell
    node = nearest_node(lattices, lie, x, y)
    if node < 0:
        return hole.pin_x, hole.pin_y, 1
    return policy.x[node], policy.y[node], policy.height[node]
