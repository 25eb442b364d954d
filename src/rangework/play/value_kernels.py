"""The dynamic program: the best target everywhere, and the value of given targets."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with, uncounted_call
from rangework.play.cost_kernels import expected_cost, longest_toward
from rangework.play.flight_kernels import aim_line, interpolate, new_work
from rangework.play.kernel_arrays import (
    CHOSEN_AGAIN,
    FRINGE,
    GREEN,
    KEPT,
    LIE_TEE,
    MARK_GREEN,
    MARK_OUT,
    MARK_WATER,
    MUCH_DEARER,
    OUT,
    SETTLE_SWEEPS,
    SETTLED,
    WALK_BELOW_M,
    WATER,
)
from rangework.play.lattice_kernels import fill_ring, nearest_node


@kernel_with(inline="always")
def guessed_cost(player, distance):
    """Expected strokes from off the green, roughly: a short shot and its putts, and full shots before it."""
    left = min(distance, WALK_BELOW_M)
    putts = interpolate(player.putts, player.putt_step, 1.0 + 0.3 * left)
    return 1.1 + putts + 1.2 * (distance - left) / player.longest[LIE_TEE]


@kernel
def first_guess(hole, player, nodes, value, cost):
    """Rough starting values, so that the few shots that end farther from the pin have something to read."""
    ny, nx = hole.ground.shape
    for iy in range(ny):
        for ix in range(nx):
            dx = hole.x0 + (ix + 0.5) * hole.cell - hole.pin_x
            dy = hole.y0 + (iy + 0.5) * hole.cell - hole.pin_y
            cost[iy, ix] = guessed_cost(player, math.sqrt(dx * dx + dy * dy))
            ground = hole.ground[iy, ix]
            if ground == GREEN or ground == FRINGE:
                cost[iy, ix] = MARK_GREEN
            elif ground == WATER:
                cost[iy, ix] = MARK_WATER
            elif ground == OUT:
                cost[iy, ix] = MARK_OUT
    for k in range(value.shape[0]):
        value[k] = guessed_cost(player, math.hypot(nodes.x[k] - hole.pin_x, nodes.y[k] - hole.pin_y))


@uncounted_call
def pattern_search(hole, cost, player, points, row, reach, sx, sy, tx, ty, height, step, smallest, work):
    """Improve a target by moves ahead, back, left and right of ever smaller size."""
    best = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, tx, ty, height, work)
    while step > smallest:
        ux, uy, _ = aim_line(hole, row, sx, sy, tx, ty, 1e9)
        moved = False
        for move in range(4):
            sign = 1.0 if move % 2 == 0 else -1.0
            if move < 2:
                nx, ny = tx + sign * step * uy, ty - sign * step * ux
            else:
                nx, ny = tx + sign * step * ux, ty + sign * step * uy
            value = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, nx, ny, height, work)
            if value < best - 1e-6:
                best, tx, ty = value, nx, ny
                moved = True
                break
        if not moved:
            step *= 0.5
    return best, tx, ty


@uncounted_call
def remember(kept, count, value, tx, ty, height):
    """Keep a candidate among the best few, sorted by value; returns how many are kept."""
    size = kept.shape[0]
    if count == size and value >= kept[size - 1, 0]:
        return count
    slot = min(count, size - 1)
    while slot > 0 and kept[slot - 1, 0] > value:
        for column in range(4):
            kept[slot, column] = kept[slot - 1, column]
        slot -= 1
    kept[slot, 0] = value
    kept[slot, 1] = tx
    kept[slot, 2] = ty
    kept[slot, 3] = height
    return min(count + 1, size)


@uncounted_call
def short_fan(hole, cost, player, points, row, reach, sx, sy, kept, work):
    """Try every height straight at the pin at several lengths, and a few lines beside it."""
    dx, dy = hole.pin_x - sx, hole.pin_y - sy
    far = max(math.sqrt(dx * dx + dy * dy), 0.5)
    heading = math.atan2(dx, dy)
    count = 0
    for choice in range(19):
        height, offset, length = 1, 0.0, far
        if choice < 15:
            height, length = choice // 5, far * (0.82 + 0.09 * (choice % 5))
        else:
            offset = (-0.6, -0.25, 0.25, 0.6)[choice - 15]
        tx, ty = sx + length * math.sin(heading + offset), sy + length * math.cos(heading + offset)
        value = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, tx, ty, height, work)
        count = remember(kept, count, value, tx, ty, height)
    return count


@uncounted_call
def long_fan(hole, cost, player, points, row, reach, sx, sy, kept, few, work):
    """Try a fan of lines and lengths; ``few`` thins it where neighbours' targets are tried as well."""
    dx, dy = hole.pin_x - sx, hole.pin_y - sy
    far = math.sqrt(dx * dx + dy * dy)
    heading = math.atan2(dx, dy)
    longest = longest_toward(hole, player, reach, sx, sy, hole.pin_x, hole.pin_y)
    count = 0
    n_lines, n_lengths = (3, 3) if few else (9, 5)
    for i in range(n_lines):
        bend = 2.0 * i / (n_lines - 1) - 1.0
        offset = (0.15 if few else 0.42) * bend * abs(bend)  # denser near the line to the pin
        for j in range(n_lengths):
            if far > longest:
                length = longest * (1.0 - 0.1 * j)
            elif j < 3:
                length = min(far * (1.04 - 0.04 * j), longest)
            else:
                length = far * (0.8 - 0.2 * (j - 3))
            tx, ty = sx + length * math.sin(heading + offset), sy + length * math.cos(heading + offset)
            value = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, tx, ty, 1, work)
            count = remember(kept, count, value, tx, ty, 1)
    return count


@uncounted_call
def compare_closer(hole, cost, player, points, row, reach, sx, sy, kept, count, work):
    """Value the kept candidates on more points and sort them by it."""
    for k in range(count):
        tx, ty, height = kept[k, 1], kept[k, 2], int(kept[k, 3])
        value = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, tx, ty, height, work)
        remember(kept, k, value, tx, ty, height)


@uncounted_call
def best_target(hole, cost, player, coarse, middle, row, reach, sx, sy, guess, n_guess, kept, searches, work):
    """The best target from a place: a fan and the neighbours' targets on few points, the best few of them on more.

    A pattern search goes on from the best ``searches`` of those.
    """
    short = math.hypot(hole.pin_x - sx, hole.pin_y - sy) < WALK_BELOW_M
    if short:
        count = short_fan(hole, cost, player, coarse, row, reach, sx, sy, kept, work)
    else:
        count = long_fan(hole, cost, player, coarse, row, reach, sx, sy, kept, n_guess > 0, work)
    for k in range(n_guess):
        tx, ty, height = guess[k, 0], guess[k, 1], int(guess[k, 2])
        value = expected_cost(hole, cost, player, coarse, 0, row, reach, sx, sy, tx, ty, height, work)
        count = remember(kept, count, value, tx, ty, height)
    compare_closer(hole, cost, player, middle, row, reach, sx, sy, kept, count, work)
    best, bx, by, bh = 1e9, sx, sy, 1
    for k in range(min(count, searches)):
        tx, ty, height = kept[k, 1], kept[k, 2], int(kept[k, 3])
        far = math.hypot(tx - sx, ty - sy)
        step = max(0.05 * far, 1.0)
        smallest = max((0.02 if short else 0.008) * far, 0.3)
        value, tx, ty = pattern_search(
            hole, cost, player, middle, row, reach, sx, sy, tx, ty, height, step, smallest, work
        )
        if value < best:
            best, bx, by, bh = value, tx, ty, height
    return bx, by, bh


@uncounted_call
def neighbour_targets(lattices, nodes, policy, solved, node, guess):
    """Targets of already solved nodes around a node; returns how many."""
    count = 0
    lie = nodes.row[node]
    if lie == LIE_TEE:
        return 0
    step = lattices.coarse_step
    for k in range(4):
        dx = step if k == 0 else (-step if k == 1 else 0.0)
        dy = step if k == 2 else (-step if k == 3 else 0.0)
        other = nearest_node(lattices, lie, nodes.x[node] + dx, nodes.y[node] + dy)
        if other >= 0 and solved[other] and count < guess.shape[0]:
            guess[count, 0] = policy.x[other]
            guess[count, 1] = policy.y[other]
            guess[count, 2] = policy.height[other]
            count += 1
    return count


@uncounted_call
def node_value(hole, cost, player, points, nodes, policy, k, work):
    """Value of a node's own target over the set that is its turn; the tee, alone of its kind, over all sets."""
    n_sets = points.solid.shape[0]
    first, last = k % n_sets, k % n_sets + 1
    if k == nodes.x.shape[0] - 1:
        first, last = 0, n_sets
    total = 0.0
    for which in range(first, last):
        total += expected_cost(
            hole, cost, player, points, which, nodes.row[k], nodes.reach[k], nodes.x[k], nodes.y[k],
            policy.x[k], policy.y[k], policy.height[k], work,
        )  # fmt: skip
    return total / (last - first)


@kernel
def evaluate(hole, nodes, active, policy, player, near, far, near_rings, last_ring, value, cost):
    """Value of given targets for a golfer, ring by ring up to ``last_ring``; returns the largest change.

    ``value`` and ``cost`` start from a neighbouring solution: what is read before it is rewritten is only
    shots that end farther from the pin than they began. Nodes that are not ``active`` keep their value.
    """
    work = new_work()
    change = 0.0
    for ring in range(last_ring):
        points = near if ring < near_rings else far
        for k in range(nodes.ring_start[ring], nodes.ring_start[ring + 1]):
            if not active[k]:
                continue
            before = value[k]
            value[k] = node_value(hole, cost, player, points, nodes, policy, k, work)
            change = max(change, abs(value[k] - before))
        fill_ring(nodes, value, ring, cost)
    return change


@kernel
def settle(hole, nodes, active, policy, player, near, near_rings, sweeps, value, cost):
    """Value given targets until the rings nearest the pin stop changing.

    Poor short shots may end farther from the pin than they began, so that near rings depend on one another.
    """
    for _ in range(sweeps):
        change = evaluate(
            hole, nodes, active, policy, player, near, near, near_rings, near_rings, value, cost
        )
        if change < SETTLED:
            break


@kernel
def choose_again(hole, nodes, player, effort, near_rings, starts, value, policy, cost):
    """Value all targets with what is now known, and choose anew where that made a place much dearer.

    A forced carry looks cheap as long as the place where failed balls are dropped has only a guessed cost: a weak
    golfer would then try it for ever.
    """
    kept, guess = np.empty((max(starts, KEPT), 4)), np.empty((1, 3))
    every, work = np.ones(value.shape[0], np.bool_), new_work()
    first_far, last = nodes.ring_start[near_rings], nodes.ring_start.shape[0] - 1
    for _ in range(CHOSEN_AGAIN):
        before = value.copy()
        change = evaluate(
            hole, nodes, every, policy, player, effort[5], effort[2], near_rings, last, value, cost
        )
        dearer = 0
        for k in range(value.shape[0]):
            if value[k] - before[k] < MUCH_DEARER:
                continue
            dearer += 1
            coarse, middle = (effort[0], effort[1]) if k >= first_far else (effort[3], effort[4])
            policy.x[k], policy.y[k], policy.height[k] = best_target(
                hole, cost, player, coarse, middle, nodes.row[k], nodes.reach[k], nodes.x[k], nodes.y[k],
                guess, 0, kept, starts, work,
            )  # fmt: skip
        if dearer == 0 and change < SETTLED:
            break


@kernel
def solve(hole, lattices, nodes, player, effort, near_rings, starts, value, policy, cost):
    """Choose and value a target at every node, from near to far; writes ``value``, ``policy`` and ``cost``.

    ``effort``: points that screen the fan, choose and value, far from the pin and then near it; ``starts``:
    how many of the fan's best a pattern search goes on from.
    """
    first_guess(hole, player, nodes, value, cost)
    kept, searches = np.empty((max(starts, KEPT), 4)), starts
    guess = np.empty((4, 3))
    far_coarse, far_middle, far_fine, coarse, middle, fine = effort
    work = new_work()
    solved = np.zeros(value.shape[0], np.bool_)
    for ring in range(nodes.ring_start.shape[0] - 1):
        if ring == near_rings:
            settle(hole, nodes, solved, policy, player, fine, near_rings, SETTLE_SWEEPS, value, cost)
            coarse, middle, fine = far_coarse, far_middle, far_fine
        for k in range(nodes.ring_start[ring], nodes.ring_start[ring + 1]):
            n_guess = neighbour_targets(lattices, nodes, policy, solved, k, guess)
            sx, sy, row, reach = nodes.x[k], nodes.y[k], nodes.row[k], nodes.reach[k]
            if k == nodes.x.shape[0] - 1:  # the tee is played every time: choose its target with most care
                coarse, middle, searches = far_middle, far_fine, KEPT
            tx, ty, height = best_target(
                hole, cost, player, coarse, middle, row, reach, sx, sy, guess, n_guess, kept, searches, work
            )
            policy.x[k], policy.y[k], policy.height[k] = tx, ty, height
            value[k] = node_value(hole, cost, player, fine, nodes, policy, k, work)
            solved[k] = True
        fill_ring(nodes, value, ring, cost)
    choose_again(hole, nodes, player, effort, near_rings, starts, value, policy, cost)


@kernel
def refine(hole, nodes, player, effort, near_rings, value, policy, cost):
    """Move every node's target to where a slightly changed golfer aims; writes ``value``, ``policy`` and ``cost``.

    They start from the solution for a golfer not much different: each target is searched on from where it is.
    ``effort`` as in ``solve``.
    """
    _, far_middle, far_fine, _, near_middle, near_fine = effort
    work = new_work()
    every = np.ones(value.shape[0], np.bool_)
    settle(hole, nodes, every, policy, player, near_fine, near_rings, SETTLE_SWEEPS, value, cost)
    for ring in range(nodes.ring_start.shape[0] - 1):
        middle, fine, small = far_middle, far_fine, 0.008
        if ring < near_rings:
            middle, fine, small = near_middle, near_fine, 0.02
        for k in range(nodes.ring_start[ring], nodes.ring_start[ring + 1]):
            sx, sy, tx, ty = nodes.x[k], nodes.y[k], policy.x[k], policy.y[k]
            far = math.hypot(tx - sx, ty - sy)
            chosen_by = fine if k == nodes.x.shape[0] - 1 else middle
            _, policy.x[k], policy.y[k] = pattern_search(
                hole, cost, player, chosen_by, nodes.row[k], nodes.reach[k], sx, sy, tx, ty, policy.height[k],
                max(2.0 * small * far, 0.6), max(small * far, 0.3), work,
            )  # fmt: skip
            value[k] = node_value(hole, cost, player, fine, nodes, policy, k, work)
        fill_ring(nodes, value, ring, cost)
    last = nodes.ring_start.shape[0] - 1
    evaluate(hole, nodes, every, policy, player, near_fine, far_fine, near_rings, last, value, cost)


@kernel
def best_values(hole, cost, player, coarse, middle, fine, row, reach, x, y, values):
    """Value of the best target from each of several places, written to ``values``."""
    kept, guess = np.empty((KEPT, 4)), np.empty((1, 3))
    work = new_work()
    for k in range(values.shape[0]):
        tx, ty, height = best_target(
            hole, cost, player, coarse, middle, row[k], reach[k], x[k], y[k], guess, 0, kept, KEPT, work
        )
        values[k] = expected_cost(
            hole, cost, player, fine, 0, row[k], reach[k], x[k], y[k], tx, ty, height, work
        )
