"""How often a round comes to each place, and what a change of skill saves there."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with, uncounted, uncounted_call
from rangework.play.air_kernels import calm_shot, driver_of
from rangework.play.cost_kernels import (
    expected_cost,
    longest_toward,
    struck,
    struck_here,
    sums_when_struck,
    weighed,
)
from rangework.play.flight_kernels import aim_line, cell_at, drop_place, land_points, new_work, shot_row
from rangework.play.kernel_arrays import (
    AT_LONGEST,
    CELL,
    END_X,
    END_Y,
    FRINGE,
    GREEN,
    LIE_RECOVERY,
    MARK_OUT,
    MARK_WATER,
    POOR_LENGTH,
    POOR_SPREAD,
    WALK_BELOW_M,
    WATER,
    Player,
)

#: Share of the least visits that matter below which a place hands nothing on even in the first push.
NEVER_PUSHED = 0.03
#: Column of the skill table with the chance of a poor strike, and how a change of skill may differ (bits of a mark).
POOR_COLUMN, POOR_ALONE, OTHERWISE = 4, 1, 2


@kernel_with(inline="always")
def scatter(nodes, cell, mass, residual):
    """Hand the mass that came to rest in a cell to the nodes its cost is interpolated from."""
    for corner in range(4):
        residual[nodes.cell_node[cell, corner]] += mass * nodes.cell_weight[cell, corner]


@uncounted_call
def spread_mass(hole, nodes, flat, player, n, sx, sy, mass, work, residual, putts_from):
    """Send ``mass`` with every ball in ``work`` to the nodes and, on the green, to ``putts_from`` by distance.

    ``flat``: the costs of the cells in one row.
    """
    w, j = work
    for k in range(n):
        cell = np.uint64(j[CELL + k])
        ground = hole.flat[cell]
        if ground == GREEN or ground == FRINGE:
            dx, dy = w[END_X + k] - hole.pin_x, w[END_Y + k] - hole.pin_y
            position = math.sqrt(dx * dx + dy * dy) / player.putt_step
            i = min(int(position), putts_from.shape[0] - 2)
            f = min(position - i, 1.0)
            putts_from[i] += mass * (1.0 - f)
            putts_from[i + 1] += mass * f
        elif ground < WATER:
            scatter(nodes, cell, mass, residual)
        elif flat[cell] == MARK_WATER:
            px, py, dropped = drop_place(hole, w[END_X + k], w[END_Y + k], sx, sy)
            if dropped:
                scatter(nodes, cell_at(hole, px, py), mass, residual)


@uncounted_call
def count_replayed(hole, flat, n, sx, sy, work):
    """How many balls of ``work`` must be replayed."""
    w, j = work
    replayed = 0.0
    for k in range(n):
        mark = flat[np.uint64(j[CELL + k])]
        if mark == MARK_OUT:
            replayed += 1.0
        elif mark == MARK_WATER:
            _, _, dropped = drop_place(hole, w[END_X + k], w[END_Y + k], sx, sy)
            if not dropped:
                replayed += 1.0
    return replayed


@uncounted
def push(hole, nodes, flat, player, points, node, mass, line, numbers, works, residual, putts_from):
    """Send a node's mass to wherever its shot may end; ``line`` as in ``chance_when_struck``."""
    k, first, last = node
    ux, uy, target, middle = line
    sx, sy, row = nodes.x[k], nodes.y[k], nodes.row[k]
    depth, direction, bias_depth, bias, poor, carry, from_x, from_y, poor_x, poor_y = numbers
    solid_work, poor_work = works
    walks = target < WALK_BELOW_M
    rho = player.correlation
    for which in range(first, last):
        share = mass / (last - first)
        n, m = points.solid.shape[2], points.poor.shape[2]
        shot = (middle + bias_depth, depth, bias, direction, rho, carry, walks)
        land_points(hole, points.solid[which], 1.0, shot, from_x, from_y, ux, uy, solid_work)
        shot = (POOR_LENGTH * middle, depth, bias, direction, rho, carry, walks)
        land_points(hole, points.poor[which], POOR_SPREAD, shot, poor_x, poor_y, ux, uy, poor_work)
        good, bad = (1.0 - poor) / n, poor / m
        replayed = good * count_replayed(hole, flat, n, sx, sy, solid_work)
        if row == LIE_RECOVERY:
            replayed += poor
        else:
            replayed += bad * count_replayed(hole, flat, m, sx, sy, poor_work)
        share /= 1.0 - min(replayed, 0.95)
        spread_mass(hole, nodes, flat, player, n, sx, sy, share * good, solid_work, residual, putts_from)
        if row == LIE_RECOVERY:
            continue
        spread_mass(hole, nodes, flat, player, m, sx, sy, share * bad, poor_work, residual, putts_from)


@uncounted_call
def push_in_air(hole, nodes, policy, flat, player, points, node, mass, works, residual, putts_from):
    """``push`` in wind, thin air or on a slope."""
    k = node[0]
    sx, sy, row, reach = nodes.x[k], nodes.y[k], nodes.row[k], nodes.reach[k]
    longest = longest_toward(hole, player, reach, sx, sy, policy.x[k], policy.y[k])
    ux, uy, target = aim_line(hole, row, sx, sy, policy.x[k], policy.y[k], longest)
    middle, numbers = struck(hole, player, row, policy.height[k], sx, sy, ux, uy, target)
    line = (ux, uy, target, middle)
    push(hole, nodes, flat, player, points, node, mass, line, numbers, works, residual, putts_from)


@kernel
def visits(hole, nodes, policy, player, few, near, far, near_rings, seldom, least, cost, inflow, putts_from):
    """How often a round comes to each node (``inflow``) and putts first from each distance (``putts_from``).

    The adjoint of ``evaluate``: mass starts on the tee and is pushed from far to near, four times over for
    the little of it that moves away from the pin. Nodes that less than ``seldom`` comes to at a time use
    ``few`` points; less than ``least`` is not followed after the first push, and next to nothing not at all.
    """
    works, flat = (new_work(), new_work()), cost.ravel()
    n_nodes = inflow.shape[0]
    residual = np.zeros(n_nodes)
    residual[n_nodes - 1] = 1.0
    first_far = nodes.ring_start[near_rings]
    for round_ in range(4):
        for k in range(n_nodes - 1, -1, -1):
            mass = residual[k]
            if mass < (NEVER_PUSHED * least if round_ == 0 else least):
                continue
            residual[k] = 0.0
            inflow[k] += mass
            points = near if k < first_far else far
            if mass < seldom:
                points = few
            n_sets = points.solid.shape[0]
            first, last = k % n_sets, k % n_sets + 1
            if k == n_nodes - 1:
                first, last = 0, n_sets
            node = (k, first, last)
            if not hole.air.neutral:
                push_in_air(
                    hole, nodes, policy, flat, player, points, node, mass, works, residual, putts_from
                )
                continue
            sx, sy, row = nodes.x[k], nodes.y[k], nodes.row[k]
            ux, uy, target = aim_line(
                hole, row, sx, sy, policy.x[k], policy.y[k], player.longest[nodes.reach[k]]
            )
            depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, policy.height[k], target)
            numbers = (depth, direction, bias_depth, bias, poor, carry, sx, sy, sx, sy)
            line = (ux, uy, target, target)
            push(hole, nodes, flat, player, points, node, mass, line, numbers, works, residual, putts_from)


@kernel
def mark_changes(table, changed, marks):
    """Write how a changed golfer's shots differ, ``marks[row, height, distance]``: not at all, only in how often they
    are poor strikes (``POOR_ALONE``), or in more (``OTHERWISE``).
    """
    rows, heights, distances = marks.shape
    for row in range(rows):
        for height in range(heights):
            for i in range(distances):
                more = False
                for column in range(6):
                    if column != POOR_COLUMN:
                        more |= table[row, height, i, column] != changed[row, height, i, column]
                poor = table[row, height, i, POOR_COLUMN] != changed[row, height, i, POOR_COLUMN]
                marks[row, height, i] = OTHERWISE * more + POOR_ALONE * poor


@uncounted_call
def sums_of_shot(hole, cost, player, points, which, row, height, sx, sy, line, work):
    """``sums_when_struck`` of a golfer's shot; ``line``: direction, and distance aimed at."""
    ux, uy, target = line
    middle, numbers = struck_here(hole, player, row, height, sx, sy, ux, uy, target)
    return sums_when_struck(
        hole, cost, player, points, which, row, sx, sy, ux, uy, target, middle, numbers, work
    )


@kernel_with(inline="always")
def of_changed(player, changes, change):
    """The golfer with another table of shots."""
    return Player(
        changes[change], player.longest, player.correlation, player.putts, player.cumulative, player.putt_step
    )


@kernel_with(inline="always")
def aim_moved(line, longest, longer, turn, sx, sy):
    """The target of a golfer who aims ``longer`` and turned, knowing of a change."""
    ux, uy, target = line
    if target >= AT_LONGEST * longest:
        longer = 0.0  # a target held back by the longest shot was never moved for the bias
    cos, sin = math.cos(turn), math.sin(turn)
    far = target + longer
    return sx + far * (ux * cos + uy * sin), sy + far * (uy * cos - ux * sin)


@kernel
def savings(
    hole, nodes, policy, player, cost, inflow, changes, marks, shifts,
    few, near, far, near_rings, seldom, least, saved,
):  # fmt: skip
    """Strokes saved on the hole by each of several changes of skill, added to ``saved``.

    ``changes[change]`` is the table of the changed golfer, ``marks[row, height, distance, change]`` where it differs
    (see ``mark_changes``); ``shifts[change, row, distance]`` what the golfer, knowing of the change, adds to the
    target (metres, radians). Every visited node's shot is revalued with the unchanged cost of what follows: by the
    performance-difference identity that is the whole saving to first order in how the visits move. Fewer poor strikes
    only weigh the same balls anew. Nodes visited less than ``seldom`` use ``few`` points, those visited less than
    ``least`` are passed over; the tee uses every set of its points.
    """
    work = new_work()
    n_nodes = inflow.shape[0]
    sums, before = np.empty((far.solid.shape[0], 4)), np.empty(far.solid.shape[0])
    for k in range(n_nodes):
        if inflow[k] < least:
            continue
        points = far if k >= nodes.ring_start[near_rings] else near
        if inflow[k] < seldom:
            points = few
        n_sets = points.solid.shape[0]
        first, last = k % n_sets, k % n_sets + 1
        if k == n_nodes - 1:
            first, last = 0, n_sets
        sx, sy, row, reach, height = nodes.x[k], nodes.y[k], nodes.row[k], nodes.reach[k], policy.height[k]
        longest = longest_toward(hole, player, reach, sx, sy, policy.x[k], policy.y[k])
        line = aim_line(hole, row, sx, sy, policy.x[k], policy.y[k], longest)
        played, _, _, _, _, _ = calm_shot(hole, driver_of(player), sy, line[0], line[1], line[2])
        i = min(int(played), player.table.shape[2] - 2)
        poor = shot_row(player, row, height, played)[POOR_COLUMN]
        known = False
        for change in range(changes.shape[0]):
            mark = marks[row, height, i, change] | marks[row, height, i + 1, change]
            if mark == 0:
                continue
            if not known:
                known = True
                for which in range(first, last):
                    set_sums = sums_of_shot(
                        hole, cost, player, points, which, row, height, sx, sy, line, work
                    )
                    each = which - first
                    sums[each, 0], sums[each, 1], sums[each, 2], sums[each, 3] = set_sums
                    before[each] = weighed(points, row, poor, set_sums)
            other = of_changed(player, changes, change)
            longer, turn = shifts[change, row, i, 0], shifts[change, row, i, 1]
            gain = 0.0
            if mark == POOR_ALONE and longer == 0.0 and turn == 0.0:
                fewer = shot_row(other, row, height, played)[POOR_COLUMN]
                for each in range(last - first):
                    set_sums = (sums[each, 0], sums[each, 1], sums[each, 2], sums[each, 3])
                    gain += before[each] - weighed(points, row, fewer, set_sums)
            else:
                ax, ay = aim_moved(line, longest, longer, turn, sx, sy)
                for which in range(first, last):
                    gain += before[which - first] - expected_cost(
                        hole, cost, other, points, which, row, reach, sx, sy, ax, ay, height, work
                    )
            saved[change] += inflow[k] * gain / (last - first)
