"""The chance to hole out within so many strokes: the targets that make it largest, and its value."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with
from rangework.play.cost_kernels import longest_toward, struck
from rangework.play.flight_kernels import (
    aim_line,
    cell_at,
    drop_place,
    interpolate,
    land_points,
    new_work,
    shot_row,
)
from rangework.play.kernel_arrays import (
    AFTER,
    CELL,
    END_X,
    END_Y,
    LIE_RECOVERY,
    LIST,
    MARK_GREEN,
    MARK_OUT,
    MARK_WATER,
    POOR_LENGTH,
    POOR_SPREAD,
    RUN,
    TROUBLE,
    WALK_BELOW_M,
)
from rangework.play.lattice_kernels import fill_cells

#: Targets of the fan that is tried from every place.
FAN = 33


@kernel_with(forceinline=True)
def sum_chances(hole, stage, stay_later, n, sx, sy, work):
    """Summed chance of the balls in ``work`` to be holed with the strokes that are left.

    ``stage``: rasters of the chance with one stroke fewer and with two fewer (marked like costs), the chance of at
    most as many putts by distance, and the step of that table. A ball that is replayed has ``stay_later``.
    """
    after, later, putts, putt_step = stage
    w, j = work
    flat, flat_later = after.ravel(), later.ravel()
    greens, troubled = np.int64(0), np.int64(0)
    for k in range(n):
        found = np.float64(flat[np.uint64(j[CELL + k])])
        w[AFTER + k] = found
        j[LIST + greens] = k
        greens += np.int64(found == MARK_GREEN)
        j[TROUBLE + troubled] = k
        troubled += np.int64((found == MARK_WATER) | (found == MARK_OUT))
    total = 0.0
    for k in range(n):
        total += max(w[AFTER + k], 0.0)
        dx, dy = w[END_X + k] - hole.pin_x, w[END_Y + k] - hole.pin_y
        w[RUN + k] = math.sqrt(dx * dx + dy * dy)
    for item in range(greens):
        total += interpolate(putts, putt_step, w[RUN + j[LIST + item]])
    for item in range(troubled):
        k = j[TROUBLE + item]
        dropped = False
        if w[AFTER + k] == MARK_WATER:
            px, py, dropped = drop_place(hole, w[END_X + k], w[END_Y + k], sx, sy)
        total += flat_later[cell_at(hole, px, py)] if dropped else stay_later
    return total


@kernel_with(forceinline=True)
def chance_when_struck(hole, stage, player, points, which, start, line, numbers, stays, work):
    """The chance of a shot; ``line``: direction, distance aimed at and mean total in calm; see ``cost_when_struck``."""
    row, _, sx, sy = start
    ux, uy, length, middle = line
    depth, direction, bias_depth, bias, poor, carry, from_x, from_y, poor_x, poor_y = numbers
    walks, rho, n = length < WALK_BELOW_M, player.correlation, points.solid.shape[2]
    shot = (middle + bias_depth, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.solid[which], 1.0, shot, from_x, from_y, ux, uy, work)
    chance = (1.0 - poor) * sum_chances(hole, stage, stays[1], n, sx, sy, work) / n
    if row == LIE_RECOVERY:
        return chance + poor * stays[0]
    n = points.poor.shape[2]
    shot = (POOR_LENGTH * middle, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.poor[which], POOR_SPREAD, shot, poor_x, poor_y, ux, uy, work)
    return chance + poor * sum_chances(hole, stage, stays[1], n, sx, sy, work) / n


@kernel
def calm_chance(hole, stage, player, points, which, start, target, stays, work):
    """``holed_chance`` where nothing is changed."""
    row, reach, sx, sy = start
    tx, ty, height = target
    ux, uy, length = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, length)
    numbers = (depth, direction, bias_depth, bias, poor, carry, sx, sy, sx, sy)
    line = (ux, uy, length, length)
    return chance_when_struck(hole, stage, player, points, which, start, line, numbers, stays, work)


@kernel
def chance_in_air(hole, stage, player, points, which, start, target, stays, work):
    """``holed_chance`` in wind, thin air or on a slope."""
    row, reach, sx, sy = start
    tx, ty, height = target
    longest = longest_toward(hole, player, reach, sx, sy, tx, ty)
    ux, uy, length = aim_line(hole, row, sx, sy, tx, ty, longest)
    middle, numbers = struck(hole, player, row, height, sx, sy, ux, uy, length)
    line = (ux, uy, length, middle)
    return chance_when_struck(hole, stage, player, points, which, start, line, numbers, stays, work)


@kernel
def holed_chance(hole, stage, player, points, which, start, target, stays, work):
    """Chance to be holed by aiming at ``target`` (x, y, height) from ``start`` (row, reach, x, y), over set ``which``.

    ``stage`` as in ``sum_chances``; ``stays``: the chance from the same place with one stroke fewer, after a failed
    recovery, and with two fewer, after a stroke that is replayed.
    """
    if hole.air.neutral:
        return calm_chance(hole, stage, player, points, which, start, target, stays, work)
    return chance_in_air(hole, stage, player, points, which, start, target, stays, work)


@kernel
def climb(hole, stage, player, points, start, target, stays, step, smallest, work):
    """Improve a target by moves ahead, back, left and right of ever smaller size; returns it with its chance."""
    tx, ty, height = target
    best = holed_chance(hole, stage, player, points, 0, start, (tx, ty, height), stays, work)
    while step > smallest:
        dx, dy = tx - start[2], ty - start[3]
        far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
        ux, uy = dx / far, dy / far
        moved = False
        for move in range(4):
            sign = step if move % 2 == 0 else -step
            nx, ny = (tx + sign * uy, ty - sign * ux) if move < 2 else (tx + sign * ux, ty + sign * uy)
            chance = holed_chance(hole, stage, player, points, 0, start, (nx, ny, height), stays, work)
            if chance > best + 1e-6:
                best, tx, ty, moved = chance, nx, ny, True
                break
        if not moved:
            step *= 0.5
    return tx, ty, best


@kernel_with(inline="always")
def fan_target(hole, longest, sx, sy, number):
    """Target and height number ``number`` of ``FAN``: lengths and heights at the pin, or lines and lengths."""
    dx, dy = hole.pin_x - sx, hole.pin_y - sy
    far, heading = max(math.sqrt(dx * dx + dy * dy), 0.5), math.atan2(dx, dy)
    height, length = number // 11, far * (0.76 + 0.06 * (number % 11))
    if far >= WALK_BELOW_M:
        height, length = 1, min(far, longest) * (1.03 - 0.06 * (number % 3))
        heading += 0.08 * (number // 3 - 5)
    return sx + length * math.sin(heading), sy + length * math.cos(heading), height


@kernel
def likeliest_target(hole, stage, player, coarse, middle, start, guesses, stays, work):
    """The target of the largest chance: guesses and a fan on few points, a search from the best of them on more."""
    sx, sy = start[2], start[3]
    short = math.hypot(hole.pin_x - sx, hole.pin_y - sy) < WALK_BELOW_M
    bx, by, bh = guesses[0, 0], guesses[0, 1], np.int64(guesses[0, 2])
    best, n_guesses = -1.0, guesses.shape[0]
    longest = longest_toward(hole, player, start[1], sx, sy, hole.pin_x, hole.pin_y)
    for choice in range(n_guesses + FAN):
        if choice < n_guesses:
            tx, ty, height = guesses[choice, 0], guesses[choice, 1], np.int64(guesses[choice, 2])
        else:
            tx, ty, height = fan_target(hole, longest, sx, sy, choice - n_guesses)
        chance = holed_chance(hole, stage, player, coarse, 0, start, (tx, ty, height), stays, work)
        if chance > best + 1e-6:
            best, bx, by, bh = chance, tx, ty, height
    if best <= 0.0:
        return bx, by, bh
    far = math.hypot(bx - sx, by - sy)
    step, smallest = max(0.05 * far, 1.0), max((0.02 if short else 0.008) * far, 0.3)
    tx, ty, _ = climb(hole, stage, player, middle, start, (bx, by, bh), stays, step, smallest, work)
    return tx, ty, bh


@kernel
def node_chance(hole, stage, player, points, nodes, k, target, stays, work):
    """Chance of a node's target over the set of points that is its turn."""
    start = (nodes.row[k], nodes.reach[k], nodes.x[k], nodes.y[k])
    return holed_chance(hole, stage, player, points, k % points.solid.shape[0], start, target, stays, work)


@kernel
def putts_within(cumulative, most, chances):
    """Write the chance to hole out in at most ``most`` putts, by distance."""
    for i in range(chances.shape[0]):
        chances[i] = 0.0 if most < 1 else (1.0 if most > 4 else cumulative[i, most - 1])


@kernel
def chances_within(hole, nodes, player, effort, near_rings, choose, policy, chance, rasters):
    """The chance to hole out from every node and cell within 0, 1, 2, ... strokes.

    Writes ``chance[strokes, node]`` and ``rasters[strokes, iy, ix]``, which come with the marks of costs. With
    ``choose`` also ``policy[strokes, node]`` (x, y, height), which starts from good targets of any kind; else that is
    played. ``effort``: points that screen, choose and value, far from the pin and then near it.
    """
    work, putts = new_work(), np.empty(player.cumulative.shape[0])
    cells = nodes.cell_order.shape[0]
    first_far = nodes.ring_start[min(near_rings, nodes.ring_start.shape[0] - 1)]
    guesses = np.empty((2, 3))
    chance[0] = 0.0
    fill_cells(nodes, chance[0], 0, cells, rasters[0])
    for strokes in range(1, chance.shape[0]):
        putts_within(player.cumulative, strokes - 1, putts)
        fewer = max(strokes - 2, 0)
        stage = (rasters[strokes - 1], rasters[fewer], putts, player.putt_step)
        for k in range(nodes.x.shape[0]):
            coarse, middle, fine = effort[0], effort[1], effort[2]
            if k < first_far:
                coarse, middle, fine = effort[3], effort[4], effort[5]
            stays = (chance[strokes - 1, k], chance[fewer, k])
            if choose:
                guesses[0] = policy[strokes, k]
                guesses[1] = policy[strokes - 1, k]
                start = (nodes.row[k], nodes.reach[k], nodes.x[k], nodes.y[k])
                tx, ty, height = likeliest_target(
                    hole, stage, player, coarse, middle, start, guesses, stays, work
                )
                policy[strokes, k, 0], policy[strokes, k, 1], policy[strokes, k, 2] = tx, ty, height
            target = (policy[strokes, k, 0], policy[strokes, k, 1], np.int64(policy[strokes, k, 2]))
            chance[strokes, k] = node_chance(hole, stage, player, fine, nodes, k, target, stays, work)
        fill_cells(nodes, chance[strokes], 0, cells, rasters[strokes])
