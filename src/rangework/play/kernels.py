"""The compiled heart: where a shot comes to rest, what it is expected to cost, and the best target everywhere.

Kernels that call one another share this file, because numba's cache does not notice an edit in another one.
They see arrays only; meanings, shapes and units are documented at the public functions of this folder and here
at the tuples:

- ``HoleArrays``: ground codes of ``rangework.lie.Ground`` in square cells, frame as ``GroundGrid``.
- ``Lattices``: places whose value is solved for, a coarse lattice everywhere and a fine one in a box around
  the pin; ``*_id[lie - 1, iy, ix]`` is the node's number or -1.
- ``Nodes``: per node its place, the row of the skill table it plays from and its entry in ``longest_m``.
- ``Policy``: per node the target's place and the height played.
- ``Points``: standard normal pairs standing for solid and poor strikes.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numba import njit

from rangework.lie import Ground, Lie

ROUGH, FAIRWAY, GREEN, FRINGE = int(Ground.ROUGH), int(Ground.FAIRWAY), int(Ground.GREEN), int(Ground.FRINGE)
SAND, TREES, WATER, OUT = int(Ground.SAND), int(Ground.TREES), int(Ground.WATER), int(Ground.OUT)
LIE_FAIRWAY, LIE_ROUGH, LIE_SAND = int(Lie.FAIRWAY), int(Lie.ROUGH), int(Lie.SAND)
LIE_RECOVERY, LIE_GREEN, LIE_TEE = int(Lie.RECOVERY), int(Lie.GREEN), int(Lie.TEE)

#: How a stroke ended: at rest in play; dropped with one penalty stroke; stroke and distance; still in trouble.
IN_PLAY, DROPPED, REPLAYED, STUCK = 0, 1, 2, 3
#: Costs that mark cells where the place in the cell, or where the ball came from, decides.
MARK_WATER, MARK_OUT, MARK_GREEN = -1.0, -2.0, -3.0
ROLL_STEP_M = 1.0
#: Most sweeps over the rings nearest the pin, and the change of value (strokes) at which they end.
SETTLE_SWEEPS, SETTLED = 10, 0.004
#: Targets from this share of the longest on count as the longest.
AT_LONGEST = 0.97
#: A recovery is aimed at least this far (30 yd) short of the pin, and when it fails it stays where it was.
RECOVERY_SHORT_M = 27.432
#: Shots aimed shorter than this (60 yd) roll out step by step over whatever ground they meet.
WALK_BELOW_M = 54.864
POOR_LENGTH, POOR_SPREAD = 0.65, 2.2

_FLAGS: dict[str, Any] = {
    "cache": True,
    "nogil": True,
    "error_model": "numpy",
    "fastmath": {"reassoc", "contract", "nsz", "arcp"},
}


class HoleArrays(NamedTuple):
    """Ground of a hole for the kernels."""

    ground: Any
    flat: Any  # the same cells in one row
    x0: float
    y0: float
    cell: float
    per_cell: float
    pin_x: float
    pin_y: float
    firmness: float  # multiplies every run; 1 is normal ground
    run_share: Any  # by ground: the share of a full shot's run that it allows where the ball lands


class Lattices(NamedTuple):
    """Numbers of the nodes on the coarse and the fine lattice."""

    coarse_id: Any
    coarse_x0: float
    coarse_y0: float
    coarse_step: float
    fine_id: Any
    fine_x0: float
    fine_y0: float
    fine_step: float
    box_x0: float
    box_y0: float
    box_x1: float
    box_y1: float


class Nodes(NamedTuple):
    """Places whose value is solved for, by growing distance from the pin; and the cells that read from them.

    ``cell_order`` lists the flat numbers of cells by ring; ``cell_node[cell]`` and ``cell_weight[cell]`` are the
    four nodes that a cell's cost is interpolated from.
    """

    x: Any
    y: Any
    row: Any
    reach: Any
    ring_start: Any
    cell_order: Any
    cell_ring_start: Any
    cell_node: Any
    cell_weight: Any


class Policy(NamedTuple):
    """Where each node aims and how high it plays."""

    x: Any
    y: Any
    height: Any


class Points(NamedTuple):
    """Standard normal pairs for solid and for poor strikes, [set, 2, number].

    Nodes take the sets in turn, so that the sets' own errors cancel over the nodes that a shot may reach.
    """

    solid: Any
    poor: Any


class Player(NamedTuple):
    """A golfer's tables: shots, longest targets, correlation, expected putts, chances of at most 1-4 putts."""

    table: Any
    longest: Any
    correlation: float
    putts: Any
    cumulative: Any
    putt_step: float


@njit(inline="always", **_FLAGS)
def cell_at(hole, x, y):
    """Flat number of the cell under a place; beyond the grid its border rules."""
    ny, nx = hole.ground.shape
    ix = int(min(max((x - hole.x0) * hole.per_cell, 0.0), nx - 1.0))
    iy = int(min(max((y - hole.y0) * hole.per_cell, 0.0), ny - 1.0))
    return np.uint64(iy * nx + ix)


@njit(inline="always", **_FLAGS)
def ground_at(hole, x, y):
    """Ground code at a place."""
    return hole.flat[cell_at(hole, x, y)]


@njit(inline="always", **_FLAGS)
def interpolate(values, step, distance):
    """Linear interpolation in a table that starts at 0; flat beyond its end."""
    position = distance / step
    i = min(int(position), values.shape[0] - 2)
    f = min(position - i, 1.0)
    return values[i] * (1.0 - f) + values[i + 1] * f


@njit(inline="always", **_FLAGS)
def lie_on(ground):
    """The lie of a ball at rest on a kind of ground that is in play."""
    if ground == ROUGH:
        return LIE_ROUGH
    if ground == SAND:
        return LIE_SAND
    if ground == TREES:
        return LIE_RECOVERY
    if ground == GREEN:
        return LIE_GREEN
    return LIE_FAIRWAY


@njit(inline="always", **_FLAGS)
def roll_price(ground):
    """Green-metres of roll that a metre over this ground uses up."""
    if ground == GREEN:
        return 1.0
    if ground == FRINGE:
        return 1.0 / 0.6
    if ground == FAIRWAY:
        return 2.0
    return 10.0


@njit(**_FLAGS)
def roll_out(hole, x, y, dx, dy, budget):
    """Roll a landed ball along (dx, dy) until its budget of green-metres is used up."""
    ground = ground_at(hole, x, y)
    if ground == GREEN and ground_at(hole, x + dx * budget, y + dy * budget) == GREEN:
        return x + dx * budget, y + dy * budget
    while budget > 0.0:
        if ground >= WATER:
            break
        price = roll_price(ground)
        step = min(ROLL_STEP_M, budget / price)
        x += dx * step
        y += dy * step
        budget -= step * price
        ground = ground_at(hole, x, y)
    return x, y


@njit(**_FLAGS)
def drop_place(hole, x, y, sx, sy):
    """Where to drop: on the line back to the start, two steps short of where it last entered.

    Returns the place and whether there is one short of the start. The first dry step is the edge itself; the
    second is within the two club-lengths that relief from a red penalty area gives (Rule 17.1d).
    """
    dx, dy = sx - x, sy - y
    far = math.sqrt(dx * dx + dy * dy)
    if far < 1e-9:
        return x, y, False
    dx /= far
    dy /= far
    gone, dry = 0.0, 0
    while gone < far - 1.0:
        gone += 1.0
        x += dx
        y += dy
        ground = ground_at(hole, x, y)
        if ground < WATER and ground != GREEN:
            dry += 1
            if dry == 2:
                return x, y, True
        else:
            dry = 0
    return x, y, False


@njit(inline="always", **_FLAGS)
def shot_row(player, row, height, target):
    """Interpolated columns of the skill table, with the index and fraction they were read at."""
    i = min(int(target), player.table.shape[2] - 2)
    f = min(target - i, 1.0)
    low = player.table[row, height, i]
    high = player.table[row, height, i + 1]
    g = 1.0 - f
    return (
        low[0] * g + high[0] * f,
        low[1] * g + high[1] * f,
        low[2] * g + high[2] * f,
        low[3] * g + high[3] * f,
        low[4] * g + high[4] * f,
        low[5] * g + high[5] * f,
    )


@njit(inline="always", **_FLAGS)
def aim_line(hole, row, sx, sy, tx, ty, longest):
    """Unit direction to the target and the distance aimed at, no longer than the longest.

    From among trees the green is not open: the target stays ``RECOVERY_SHORT_M`` short of the pin.
    """
    dx, dy = tx - sx, ty - sy
    far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
    ux, uy = dx / far, dy / far
    far = min(far, longest)
    if row == LIE_RECOVERY:
        px, py = hole.pin_x - sx, hole.pin_y - sy
        along, across = px * ux + py * uy, px * uy - py * ux
        inside = RECOVERY_SHORT_M**2 - across * across
        if inside > 0.0 and along > 0.0:
            far = min(far, along - math.sqrt(inside))
    return ux, uy, max(far, 1.0)


@njit(**_FLAGS)
def land_points(hole, pairs, stretch, shot, sx, sy, ux, uy, work):
    """Where the balls of a table of errors stop, as ``work[0]`` (x) and ``work[1]`` (y).

    ``shot``: mean total, depth sd, direction bias, direction sd, correlation, carry share, whether it walks.
    Plain loops over plain arrays, so that the compiler can use the processor's vector units.
    """
    total, depth, bias, direction, rho, carry, walks = shot
    depth *= stretch
    along_part = direction * stretch * rho
    across_part = direction * stretch * math.sqrt(1.0 - rho * rho)
    n = pairs.shape[1]
    x, y, ex, ey, run = work[0], work[1], work[2], work[3], work[4]
    for k in range(n):
        along = max(total + depth * pairs[0, k], 0.3)
        angle = bias + along_part * pairs[0, k] + across_part * pairs[1, k]
        a2 = angle * angle
        sin = angle * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0))
        cos = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0)
        ex[k] = ux * cos + uy * sin
        ey[k] = uy * cos - ux * sin
        x[k] = sx + ex[k] * carry * along
        y[k] = sy + ey[k] * carry * along
        run[k] = (1.0 - carry) * along * hole.firmness
    if walks:
        for k in range(n):
            x[k], y[k] = roll_out(hole, x[k], y[k], ex[k], ey[k], run[k])
    else:
        for k in range(n):
            share = hole.run_share[hole.flat[cell_at(hole, x[k], y[k])]]
            x[k] += ex[k] * run[k] * share
            y[k] += ey[k] * run[k] * share


@njit(**_FLAGS)
def sum_costs(hole, cost, player, n, sx, sy, work):
    """Summed cost of the balls in ``work`` and how many of them must be replayed.

    Negative costs mark cells that need a closer look: a putt from where exactly, a drop, or a replay.
    """
    x, y, found = work[0], work[1], work[5]
    flat = cost.ravel()
    for k in range(n):
        found[k] = flat[cell_at(hole, x[k], y[k])]
    total, replayed = 0.0, 0.0
    for k in range(n):
        if found[k] >= 0.0:
            total += found[k]
        elif found[k] == MARK_GREEN:
            dx, dy = x[k] - hole.pin_x, y[k] - hole.pin_y
            total += interpolate(player.putts, player.putt_step, math.sqrt(dx * dx + dy * dy))
        else:
            dropped = False
            if found[k] == MARK_WATER:
                px, py, dropped = drop_place(hole, x[k], y[k], sx, sy)
            if dropped:
                total += 1.0 + flat[cell_at(hole, px, py)]
            else:
                replayed += 1.0
    return total, replayed


@njit(**_FLAGS)
def expected_cost(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work):
    """Expected strokes to hole out by aiming at (tx, ty), this stroke included, over set ``which``.

    A stroke that is replayed from where it was played adds the same expectation again, which is solved for;
    so does a failed recovery, without the penalty.
    """
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    walks = target < WALK_BELOW_M
    rho = player.correlation
    n = points.solid.shape[2]
    shot = (target + bias_depth, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.solid[which], 1.0, shot, sx, sy, ux, uy, work)
    total, replayed = sum_costs(hole, cost, player, n, sx, sy, work)
    total *= (1.0 - poor) / n
    replayed *= (1.0 - poor) / n
    if row == LIE_RECOVERY:
        return (1.0 + total + replayed) / (1.0 - min(replayed + poor, 0.95))
    n = points.poor.shape[2]
    shot = (POOR_LENGTH * target, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.poor[which], POOR_SPREAD, shot, sx, sy, ux, uy, work)
    bad_total, bad_replayed = sum_costs(hole, cost, player, n, sx, sy, work)
    total += bad_total * poor / n
    replayed = min(replayed + bad_replayed * poor / n, 0.95)
    return (1.0 + total + replayed) / (1.0 - replayed)


@njit(inline="always", **_FLAGS)
def surrounding(lattices, lie, x, y):
    """Numbers and weights of the four nodes around a place, for its lie."""
    fine = lattices.box_x0 <= x < lattices.box_x1 and lattices.box_y0 <= y < lattices.box_y1
    if fine:
        ids = lattices.fine_id
        u = (x - lattices.fine_x0) / lattices.fine_step
        v = (y - lattices.fine_y0) / lattices.fine_step
    else:
        ids = lattices.coarse_id
        u = (x - lattices.coarse_x0) / lattices.coarse_step
        v = (y - lattices.coarse_y0) / lattices.coarse_step
    layer = lie - 1
    ix = min(max(int(math.floor(u)), 0), ids.shape[2] - 2)
    iy = min(max(int(math.floor(v)), 0), ids.shape[1] - 2)
    fx = min(max(u - ix, 0.0), 1.0)
    fy = min(max(v - iy, 0.0), 1.0)
    return (
        ids[layer, iy, ix],
        ids[layer, iy, ix + 1],
        ids[layer, iy + 1, ix],
        ids[layer, iy + 1, ix + 1],
        (1.0 - fx) * (1.0 - fy),
        fx * (1.0 - fy),
        (1.0 - fx) * fy,
        fx * fy,
    )


@njit(**_FLAGS)
def place_value(lattices, value, lie, x, y):
    """Bilinear value of a lie at a place, from those of the surrounding nodes that exist; nan if none does."""
    a, b, c, d, wa, wb, wc, wd = surrounding(lattices, lie, x, y)
    total, weight = 0.0, 0.0
    if a >= 0:
        total += wa * value[a]
        weight += wa
    if b >= 0:
        total += wb * value[b]
        weight += wb
    if c >= 0:
        total += wc * value[c]
        weight += wc
    if d >= 0:
        total += wd * value[d]
        weight += wd
    if weight > 1e-9:
        return total / weight
    return math.nan


@njit(**_FLAGS)
def nearest_node(lattices, lie, x, y):
    """The node whose target a ball at a place uses; -1 if none surrounds it."""
    a, b, c, d, wa, wb, wc, wd = surrounding(lattices, lie, x, y)
    best, weight = -1, -1.0
    if a >= 0 and wa > weight:
        best, weight = a, wa
    if b >= 0 and wb > weight:
        best, weight = b, wb
    if c >= 0 and wc > weight:
        best, weight = c, wc
    if d >= 0 and wd > weight:
        best, weight = d, wd
    return best


@njit(**_FLAGS)
def map_cells(hole, lattices, cell_node, cell_weight):
    """Write, for every cell whose cost is interpolated, the nodes it is read from and their weights.

    Weights sum to 1; they stay 0 on greens, where the ball may not be played, and where no node is near.
    """
    nx = hole.ground.shape[1]
    for cell in range(hole.flat.shape[0]):
        ground = hole.flat[cell]
        if ground >= WATER or ground == GREEN:
            continue
        x = hole.x0 + (cell % nx + 0.5) * hole.cell
        y = hole.y0 + (cell // nx + 0.5) * hole.cell
        a, b, c, d, wa, wb, wc, wd = surrounding(lattices, lie_on(ground), x, y)
        near, weights, total = (a, b, c, d), (wa, wb, wc, wd), 0.0
        for k in range(4):
            if near[k] >= 0:
                cell_node[cell, k] = near[k]
                cell_weight[cell, k] = weights[k]
                total += weights[k]
        for k in range(4):
            cell_weight[cell, k] = cell_weight[cell, k] / total if total > 1e-9 else 0.0


@njit(**_FLAGS)
def fill_cells(nodes, value, first, last, cost):
    """Write the cost of cells ``first`` to ``last`` (in order of distance) from the nodes' values."""
    flat_cost = cost.ravel()
    for k in range(first, last):
        cell = nodes.cell_order[k]
        total = 0.0
        for corner in range(4):
            total += nodes.cell_weight[cell, corner] * value[nodes.cell_node[cell, corner]]
        flat_cost[cell] = total


@njit(inline="always", **_FLAGS)
def guessed_cost(player, distance):
    """Expected strokes from off the green, roughly: a short shot and its putts, and full shots before it."""
    left = min(distance, WALK_BELOW_M)
    putts = interpolate(player.putts, player.putt_step, 1.0 + 0.3 * left)
    return 1.1 + putts + 1.2 * (distance - left) / player.longest[LIE_TEE]


@njit(**_FLAGS)
def first_guess(hole, player, nodes, value, cost):
    """Rough starting values, so that the few shots that end farther from the pin have something to read."""
    ny, nx = hole.ground.shape
    for iy in range(ny):
        for ix in range(nx):
            dx = hole.x0 + (ix + 0.5) * hole.cell - hole.pin_x
            dy = hole.y0 + (iy + 0.5) * hole.cell - hole.pin_y
            cost[iy, ix] = guessed_cost(player, math.sqrt(dx * dx + dy * dy))
            ground = hole.ground[iy, ix]
            if ground == GREEN:
                cost[iy, ix] = MARK_GREEN
            elif ground == WATER:
                cost[iy, ix] = MARK_WATER
            elif ground == OUT:
                cost[iy, ix] = MARK_OUT
    for k in range(value.shape[0]):
        value[k] = guessed_cost(player, math.hypot(nodes.x[k] - hole.pin_x, nodes.y[k] - hole.pin_y))


@njit(**_FLAGS)
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


@njit(**_FLAGS)
def remember(kept, count, value, tx, ty, height):
    """Keep a candidate among the best few, sorted by value; returns how many are kept."""
    size = kept.shape[0]
    if count == size and value >= kept[size - 1, 0]:
        return count
    slot = min(count, size - 1)
    while slot > 0 and kept[slot - 1, 0] > value:
        kept[slot] = kept[slot - 1]
        slot -= 1
    kept[slot, 0] = value
    kept[slot, 1] = tx
    kept[slot, 2] = ty
    kept[slot, 3] = height
    return min(count + 1, size)


@njit(**_FLAGS)
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


@njit(**_FLAGS)
def long_fan(hole, cost, player, points, row, reach, sx, sy, kept, few, work):
    """Try a fan of lines and lengths; ``few`` thins it where neighbours' targets are tried as well."""
    dx, dy = hole.pin_x - sx, hole.pin_y - sy
    far = math.sqrt(dx * dx + dy * dy)
    heading = math.atan2(dx, dy)
    longest = player.longest[reach]
    count = 0
    n_lines = 5 if few else 9
    for i in range(n_lines):
        bend = 2.0 * i / (n_lines - 1) - 1.0
        offset = 0.42 * bend * abs(bend)  # denser near the line to the pin
        for j in range(5):
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


@njit(**_FLAGS)
def best_target(hole, cost, player, coarse, middle, row, reach, sx, sy, guess, n_guess, kept, work):
    """The best target from a place: a fan, the neighbours' targets, then a pattern search from the best."""
    short = math.hypot(hole.pin_x - sx, hole.pin_y - sy) < WALK_BELOW_M
    if short:
        count = short_fan(hole, cost, player, coarse, row, reach, sx, sy, kept, work)
    else:
        count = long_fan(hole, cost, player, coarse, row, reach, sx, sy, kept, n_guess > 0, work)
    for k in range(n_guess):
        tx, ty, height = guess[k, 0], guess[k, 1], int(guess[k, 2])
        value = expected_cost(hole, cost, player, coarse, 0, row, reach, sx, sy, tx, ty, height, work)
        count = remember(kept, count, value, tx, ty, height)
    best, bx, by, bh = 1e9, sx, sy, 1
    for k in range(count):
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


@njit(**_FLAGS)
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


@njit(**_FLAGS)
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


@njit(**_FLAGS)
def evaluate(hole, nodes, active, policy, player, near, far, near_rings, last_ring, value, cost):
    """Value of given targets for a golfer, ring by ring up to ``last_ring``; returns the largest change.

    ``value`` and ``cost`` start from a neighbouring solution: what is read before it is rewritten is only
    shots that end farther from the pin than they began. Nodes that are not ``active`` keep their value.
    """
    work = np.empty((6, max(near.solid.shape[2], far.solid.shape[2], near.poor.shape[2], far.poor.shape[2])))
    change = 0.0
    for ring in range(last_ring):
        points = near if ring < near_rings else far
        for k in range(nodes.ring_start[ring], nodes.ring_start[ring + 1]):
            if not active[k]:
                continue
            before = value[k]
            value[k] = node_value(hole, cost, player, points, nodes, policy, k, work)
            change = max(change, abs(value[k] - before))
        first = nodes.cell_ring_start[max(ring - 2, 0)]
        fill_cells(nodes, value, first, nodes.cell_ring_start[ring + 1], cost)
    return change


@njit(**_FLAGS)
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


@njit(**_FLAGS)
def solve(hole, lattices, nodes, player, effort, near_rings, starts, value, policy, cost):
    """Choose and value a target at every node, from near to far; writes ``value``, ``policy`` and ``cost``.

    ``effort``: points that screen the fan, choose and value, far from the pin and then near it; ``starts``:
    how many of the fan's best a pattern search goes on from.
    """
    first_guess(hole, player, nodes, value, cost)
    kept = np.empty((starts, 4))
    guess = np.empty((4, 3))
    far_coarse, far_middle, far_fine, coarse, middle, fine = effort
    longest = 0
    for points in effort:
        longest = max(longest, points.solid.shape[2], points.poor.shape[2])
    work = np.empty((6, longest))
    solved = np.zeros(value.shape[0], np.bool_)
    for ring in range(nodes.ring_start.shape[0] - 1):
        if ring == near_rings:
            settle(hole, nodes, solved, policy, player, fine, near_rings, SETTLE_SWEEPS, value, cost)
            coarse, middle, fine = far_coarse, far_middle, far_fine
        for k in range(nodes.ring_start[ring], nodes.ring_start[ring + 1]):
            n_guess = neighbour_targets(lattices, nodes, policy, solved, k, guess)
            sx, sy, row, reach = nodes.x[k], nodes.y[k], nodes.row[k], nodes.reach[k]
            if k == nodes.x.shape[0] - 1:  # the tee is played every time: choose its target with most care
                coarse, middle, kept = far_middle, far_fine, np.empty((4, 4))
            tx, ty, height = best_target(
                hole, cost, player, coarse, middle, row, reach, sx, sy, guess, n_guess, kept, work
            )
            policy.x[k], policy.y[k], policy.height[k] = tx, ty, height
            value[k] = node_value(hole, cost, player, fine, nodes, policy, k, work)
            solved[k] = True
        first = nodes.cell_ring_start[max(ring - 2, 0)]
        fill_cells(nodes, value, first, nodes.cell_ring_start[ring + 1], cost)
    last = nodes.ring_start.shape[0] - 1
    evaluate(hole, nodes, solved, policy, player, effort[5], far_fine, near_rings, last, value, cost)


@njit(**_FLAGS)
def best_values(hole, cost, player, coarse, middle, fine, row, reach, x, y, values):
    """Value of the best target from each of several places, written to ``values``."""
    kept, guess = np.empty((3, 4)), np.empty((1, 3))
    longest = 0
    for points in (coarse, middle, fine):
        longest = max(longest, points.solid.shape[2], points.poor.shape[2])
    work = np.empty((6, longest))
    for k in range(values.shape[0]):
        tx, ty, height = best_target(
            hole, cost, player, coarse, middle, row[k], reach[k], x[k], y[k], guess, 0, kept, work
        )
        values[k] = expected_cost(
            hole, cost, player, fine, 0, row[k], reach[k], x[k], y[k], tx, ty, height, work
        )


# --- visits and what a change of skill saves -----------------------------------------------------------------


@njit(inline="always", **_FLAGS)
def scatter(nodes, cell, mass, residual):
    """Hand the mass that came to rest in a cell to the nodes its cost is interpolated from."""
    for corner in range(4):
        residual[nodes.cell_node[cell, corner]] += mass * nodes.cell_weight[cell, corner]


@njit(**_FLAGS)
def spread_mass(hole, nodes, cost, player, n, sx, sy, mass, work, residual, putts_from):
    """Send ``mass`` with every ball in ``work`` to the nodes and, on the green, to ``putts_from`` by distance."""
    x, y = work[0], work[1]
    flat = cost.ravel()
    for k in range(n):
        cell = cell_at(hole, x[k], y[k])
        ground = hole.flat[cell]
        if ground == GREEN:
            dx, dy = x[k] - hole.pin_x, y[k] - hole.pin_y
            position = math.sqrt(dx * dx + dy * dy) / player.putt_step
            i = min(int(position), putts_from.shape[0] - 2)
            f = min(position - i, 1.0)
            putts_from[i] += mass * (1.0 - f)
            putts_from[i + 1] += mass * f
        elif ground < WATER:
            scatter(nodes, cell, mass, residual)
        elif flat[cell] == MARK_WATER:
            px, py, dropped = drop_place(hole, x[k], y[k], sx, sy)
            if dropped:
                scatter(nodes, cell_at(hole, px, py), mass, residual)


@njit(**_FLAGS)
def count_replayed(hole, cost, n, sx, sy, work):
    """How many balls of ``work`` must be replayed."""
    flat = cost.ravel()
    replayed = 0.0
    for k in range(n):
        mark = flat[cell_at(hole, work[0, k], work[1, k])]
        if mark == MARK_OUT:
            replayed += 1.0
        elif mark == MARK_WATER:
            _, _, dropped = drop_place(hole, work[0, k], work[1, k], sx, sy)
            if not dropped:
                replayed += 1.0
    return replayed


@njit(**_FLAGS)
def visits(hole, nodes, policy, player, few, near, far, near_rings, seldom, least, cost, inflow, putts_from):
    """How often a round comes to each node (``inflow``) and putts first from each distance (``putts_from``).

    The adjoint of ``evaluate``: mass starts on the tee and is pushed from far to near, four times over for
    the little of it that moves away from the pin. Nodes that less than ``seldom`` comes to at a time use
    ``few`` points, and less than ``least`` is not followed after the first push.
    """
    longest = 0
    for points in (few, near, far):
        longest = max(longest, points.solid.shape[2], points.poor.shape[2])
    solid_work, poor_work = np.empty((6, longest)), np.empty((6, longest))
    n_nodes = inflow.shape[0]
    residual = np.zeros(n_nodes)
    residual[n_nodes - 1] = 1.0
    first_far = nodes.ring_start[near_rings]
    for push in range(4):
        for k in range(n_nodes - 1, -1, -1):
            mass = residual[k]
            if mass < (1e-7 if push == 0 else least):
                continue
            residual[k] = 0.0
            inflow[k] += mass
            points = near if k < first_far else far
            if mass < seldom:
                points = few
            sx, sy, row = nodes.x[k], nodes.y[k], nodes.row[k]
            ux, uy, target = aim_line(hole, row, sx, sy, policy.x[k], policy.y[k], player.longest[nodes.reach[k]])
            depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, policy.height[k], target)
            walks = target < WALK_BELOW_M
            rho = player.correlation
            n_sets = points.solid.shape[0]
            first, last = k % n_sets, k % n_sets + 1
            if k == n_nodes - 1:
                first, last = 0, n_sets
            for which in range(first, last):
                share = mass / (last - first)
                n, m = points.solid.shape[2], points.poor.shape[2]
                shot = (target + bias_depth, depth, bias, direction, rho, carry, walks)
                land_points(hole, points.solid[which], 1.0, shot, sx, sy, ux, uy, solid_work)
                shot = (POOR_LENGTH * target, depth, bias, direction, rho, carry, walks)
                land_points(hole, points.poor[which], POOR_SPREAD, shot, sx, sy, ux, uy, poor_work)
                good, bad = (1.0 - poor) / n, poor / m
                replayed = good * count_replayed(hole, cost, n, sx, sy, solid_work)
                if row == LIE_RECOVERY:
                    replayed += poor
                else:
                    replayed += bad * count_replayed(hole, cost, m, sx, sy, poor_work)
                share /= 1.0 - min(replayed, 0.95)
                spread_mass(
                    hole, nodes, cost, player, n, sx, sy, share * good, solid_work, residual, putts_from
                )
                if row == LIE_RECOVERY:
                    continue
                spread_mass(
                    hole, nodes, cost, player, m, sx, sy, share * bad, poor_work, residual, putts_from
                )


@njit(inline="always", **_FLAGS)
def same_shot(player, changed, row, height, i):
    """Whether a shot from table position ``i`` is untouched by a change."""
    for column in range(6):
        if player.table[row, height, i, column] != changed[row, height, i, column]:
            return False
        if player.table[row, height, i + 1, column] != changed[row, height, i + 1, column]:
            return False
    return True


@njit(**_FLAGS)
def savings(
    hole, nodes, policy, player, cost, inflow, changes, shifts,
    few, near, far, near_rings, seldom, least, saved,
):  # fmt: skip
    """Strokes saved on the hole by each of several changes of skill, added to ``saved``.

    ``changes[change]`` is the table of the changed golfer; ``shifts[change, row, distance]`` what the golfer,
    knowing of the change, adds to the target (metres, radians). Every visited node's shot is revalued with
    the unchanged cost of what follows: by the performance-difference identity that is the whole saving to
    first order in how the visits move. Nodes visited less than ``seldom`` use ``few`` points, those
    visited less than ``least`` are passed over; the tee uses every set of its points.
    """
    work = np.empty((6, max(few.solid.shape[2], near.solid.shape[2], far.solid.shape[2])))
    n_nodes = inflow.shape[0]
    before = np.empty(far.solid.shape[0])
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
        ux, uy, target = aim_line(hole, row, sx, sy, policy.x[k], policy.y[k], player.longest[reach])
        i = min(int(target), player.table.shape[2] - 2)
        tx, ty = sx + ux * target, sy + uy * target
        known = False
        for change in range(changes.shape[0]):
            if same_shot(player, changes[change], row, height, i):
                continue
            if not known:
                known = True
                for which in range(first, last):
                    before[which - first] = expected_cost(
                        hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work
                    )
            longer, turn = shifts[change, row, i, 0], shifts[change, row, i, 1]
            if target >= AT_LONGEST * player.longest[reach]:
                longer = 0.0  # a target held back by the longest shot was never moved for the bias
            cos, sin = math.cos(turn), math.sin(turn)
            far_aimed = target + longer
            ax = sx + far_aimed * (ux * cos + uy * sin)
            ay = sy + far_aimed * (uy * cos - ux * sin)
            other = Player(
                changes[change], player.longest, player.correlation,
                player.putts, player.cumulative, player.putt_step,
            )  # fmt: skip
            gain = 0.0
            for which in range(first, last):
                after = expected_cost(
                    hole, cost, other, points, which, row, reach, sx, sy, ax, ay, height, work
                )
                gain += before[which - first] - after
            saved[change] += inflow[k] * gain / (last - first)


# --- rounds, stroke by stroke --------------------------------------------------------------------------------


@njit(inline="always", **_FLAGS)
def mix(value):
    """The finaliser of splitmix64: every input bit moves every output bit."""
    value = (value ^ (value >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    value = (value ^ (value >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return value ^ (value >> np.uint64(31))


@njit(inline="always", **_FLAGS)
def luck_key(seed, round_number, hole_number):
    """Key of the luck of one hole in one round."""
    golden = np.uint64(0x9E3779B97F4A7C15)
    key = mix(np.uint64(seed) + golden)
    key = mix(key + golden * (np.uint64(round_number) + np.uint64(1)))
    return mix(key + golden * (np.uint64(hole_number) + np.uint64(1)))


@njit(inline="always", **_FLAGS)
def uniform(key, stroke, use):
    """The uniform number in (0, 1) that belongs to a stroke and a use of luck."""
    counter = np.uint64(stroke) * np.uint64(4) + np.uint64(use) + np.uint64(1)
    bits = mix(key + counter * np.uint64(0x9E3779B97F4A7C15))
    return (np.float64(bits >> np.uint64(11)) + 0.5) * (1.0 / 9007199254740992.0)


@njit(inline="always", **_FLAGS)
def normal_from(u):
    """Standard normal quantile, relative error below 1.2e-9 (Acklam's rational approximation)."""
    if u < 0.02425 or u > 0.97575:
        p = min(u, 1.0 - u)
        q = math.sqrt(-2.0 * math.log(p))
        z = (
            ((((-7.784894002430293e-03 * q - 3.223964580411365e-01) * q - 2.400758277161838) * q
              - 2.549732539343734) * q + 4.374664141464968) * q + 2.938163982698783
        ) / ((((7.784695709041462e-03 * q + 3.224671290700398e-01) * q + 2.445134137142996) * q
              + 3.754408661907416) * q + 1.0)  # fmt: skip
        return z if u < 0.5 else -z
    q = u - 0.5
    r = q * q
    return (
        (((((-3.969683028665376e01 * r + 2.209460984245205e02) * r - 2.759285104469687e02) * r
           + 1.383577518672690e02) * r - 3.066479806614716e01) * r + 2.506628277459239) * q
    ) / (((((-5.447609879822406e01 * r + 1.615858368580409e02) * r - 1.556989798598866e02) * r
           + 6.680131188771972e01) * r - 1.328068155288572e01) * r + 1.0)  # fmt: skip


@njit(inline="always", **_FLAGS)
def shot_group(row, reach, target):
    """0 tee, 1-4 approach bands, 5 chip, 6 pitch, 7 greenside bunker (8 is putting)."""
    if reach == LIE_TEE:
        return 0
    if target >= 45.72:
        if target < 91.44:
            return 1
        if target < 137.16:
            return 2
        return 3 if target < 182.88 else 4
    if row == LIE_SAND:
        return 7
    return 5 if target < 18.288 else 6


@njit(inline="always", **_FLAGS)
def play_stroke(hole, player, key, stroke, row, reach, sx, sy, tx, ty, height):
    """Play one stroke: where it ends, how (IN_PLAY, DROPPED, REPLAYED, STUCK), its luck and the distance aimed at."""
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    z1, z2 = normal_from(uniform(key, stroke, 0)), normal_from(uniform(key, stroke, 1))
    is_poor = uniform(key, stroke, 2) < poor
    total, stretch = target + bias_depth, 1.0
    if is_poor:
        if row == LIE_RECOVERY:
            return sx, sy, STUCK, z1, z2, is_poor, target
        total, stretch = POOR_LENGTH * target, POOR_SPREAD
    rho = player.correlation
    along = max(total + depth * stretch * z1, 0.3)
    angle = bias + direction * stretch * (rho * z1 + math.sqrt(1.0 - rho * rho) * z2)
    a2 = angle * angle
    sin = angle * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0))
    cos = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0)
    dx, dy = ux * cos + uy * sin, uy * cos - ux * sin
    x, y = sx + dx * carry * along, sy + dy * carry * along
    run = (1.0 - carry) * along * hole.firmness
    if target < WALK_BELOW_M:
        x, y = roll_out(hole, x, y, dx, dy, run)
    else:
        run *= hole.run_share[ground_at(hole, x, y)]
        x, y = x + dx * run, y + dy * run
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


@njit(inline="always", **_FLAGS)
def putts_taken(cumulative, putt_step, distance, u):
    """Number of putts from a distance, for a uniform number; five at most."""
    position = distance / putt_step
    i = min(int(position), cumulative.shape[0] - 2)
    f = min(position - i, 1.0)
    for count in range(4):
        if u < cumulative[i, count] * (1.0 - f) + cumulative[i + 1, count] * f:
            return count + 1
    return 5


@njit(inline="always", **_FLAGS)
def next_target(hole, lattices, policy, lie, x, y):
    """Target and height from a place: those of the nearest node, or straight at the pin where there is none."""
    node = nearest_node(lattices, lie, x, y)
    if node < 0:
        return hole.pin_x, hole.pin_y, 1
    return policy.x[node], policy.y[node], policy.height[node]


#: A hole is given up after this many strokes (a guard; never met by a golfer of any handicap).
MOST_STROKES = 30


@njit(**_FLAGS)
def play_hole(
    hole, lattices, nodes, policy, player, against, against_tee, seed, first_round, number, par,
    strokes, by_family, flags, gained,
):  # fmt: skip
    """Play one hole in as many rounds as ``strokes`` has entries, the first of them number ``first_round``.

    ``against``: a reference golfer's cost raster, with expected putts and their step; ``against_tee`` its value
    on the tee. Writes per round ``strokes``, ``by_family`` (tee, approach, short game, putts, penalty) and
    ``flags`` (bit 0 fairway hit, bit 1 green in regulation), and adds strokes gained by group to ``gained``.
    """
    their_cost, their_putts, their_step = against
    tee = nodes.x.shape[0] - 1
    for i in range(strokes.shape[0]):
        key = luck_key(seed, first_round + i, number)
        x, y, row, reach = nodes.x[tee], nodes.y[tee], nodes.row[tee], nodes.reach[tee]
        tx, ty, height = policy.x[tee], policy.y[tee], policy.height[tee]
        worth, taken, played = against_tee, 0, 0
        for family in range(5):
            by_family[i, family] = 0
        flags[i] = 0
        while taken < MOST_STROKES:
            x, y, ending, _, _, _, target = play_stroke(
                hole, player, key, played, row, reach, x, y, tx, ty, height
            )
            group = shot_group(row, reach, target)
            played += 1
            cost_of_stroke = 1 if ending == IN_PLAY or ending == STUCK else 2
            taken += cost_of_stroke
            by_family[i, 0 if group == 0 else (1 if group < 5 else 2)] += 1
            by_family[i, 4] += cost_of_stroke - 1
            if ending == REPLAYED or ending == STUCK:
                gained[group] -= cost_of_stroke
                continue
            cell = cell_at(hole, x, y)
            ground = hole.flat[cell]
            if reach == LIE_TEE and played == 1 and (ground == FAIRWAY or ground == GREEN):
                flags[i] |= 1
            if ground == GREEN:
                distance = math.hypot(x - hole.pin_x, y - hole.pin_y)
                after = interpolate(their_putts, their_step, distance)
                gained[group] += worth - after - cost_of_stroke
                putts = putts_taken(player.cumulative, player.putt_step, distance, uniform(key, played, 3))
                gained[8] += after - putts
                if taken <= par - 2:
                    flags[i] |= 2
                by_family[i, 3] = putts
                taken += putts
                break
            after = their_cost.ravel()[cell]
            gained[group] += worth - after - cost_of_stroke
            worth = after
            row = lie_on(ground)
            reach = row
            tx, ty, height = next_target(hole, lattices, policy, row, x, y)
        strokes[i] = taken
