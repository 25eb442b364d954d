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
from numba import njit, types
from numba.extending import intrinsic

from rangework.lie import Ground, Lie

ROUGH, FAIRWAY, GREEN, FRINGE = int(Ground.ROUGH), int(Ground.FAIRWAY), int(Ground.GREEN), int(Ground.FRINGE)
SAND, TREES, WATER, OUT = int(Ground.SAND), int(Ground.TREES), int(Ground.WATER), int(Ground.OUT)
LIE_FAIRWAY, LIE_ROUGH, LIE_SAND = int(Lie.FAIRWAY), int(Lie.ROUGH), int(Lie.SAND)
LIE_RECOVERY, LIE_GREEN, LIE_TEE = int(Lie.RECOVERY), int(Lie.GREEN), int(Lie.TEE)

#: How a stroke ended: at rest in play; dropped with one penalty stroke; stroke and distance; still in trouble.
IN_PLAY, DROPPED, REPLAYED, STUCK = 0, 1, 2, 3
#: Costs that mark cells where the place in the cell, or where the ball came from, decides.
MARK_WATER, MARK_OUT, MARK_GREEN = -1.0, -2.0, -3.0
#: How the hole goes on from a cell without a shot from it, where other cells have the number of a play.
IN_WATER, OUT_OF_BOUNDS, ON_GREEN = -1, -2, -3
ROLL_STEP_M = 1.0
#: Candidates for a target that are looked at more closely.
KEPT = 4
#: Most sweeps over the rings nearest the pin, and the change of value (strokes) at which they end.
SETTLE_SWEEPS, SETTLED = 10, 0.004
#: Targets from this share of the longest on count as the longest.
AT_LONGEST = 0.97
#: A recovery is aimed at least this far (30 yd) short of the pin, or half way to it where that is nearer; when it
#: fails it stays where it was.
RECOVERY_SHORT_M = 27.432
#: Shots aimed shorter than this (60 yd) roll out step by step over whatever ground they meet.
WALK_BELOW_M = 54.864
POOR_LENGTH, POOR_SPREAD = 0.65, 2.2

#: Rounds played in step. Every phase of a stroke runs over all of them before the next one starts.
WAVE = 512
#: Most error points in a set.
MOST_POINTS = 4096
#: Length of a row of the work arrays. Not a power of two: such rows would fight for the same places of the cache.
ROW = MOST_POINTS + 8
#: Rows of the work array of numbers: at fixed distances in one array, so that the compiler
#: sees that they don't overlap and can use the processor's vector units.
(
    X, Y, WORTH, TARGET_X, TARGET_Y, LONGEST, NORMAL_1, NORMAL_2, UNIFORM, LINE_X, LINE_Y, TARGET, FRACTION,
    DEPTH, DIRECTION, BIAS_DEPTH, BIAS, POOR, CARRY, END_X, END_Y, RUN, AFTER, DELTA, N_NUMBERS,
) = (ROW * row for row in range(25))  # fmt: skip
#: Rows of the work array of whole numbers. ``TALLY`` packs bytes: tee, approach, short game, putts, penalties,
#: strokes taken, flags.
ROUND, PLAY, KIND, TALLY, ENTRY, CELL, NEXT, GROUP, LIST, TROUBLE, N_COUNTS = (ROW * row for row in range(11))

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
    roll_price: Any  # by ground: green-metres of roll that a metre uses up
    surface: Any  # by cell: ground + 8 * metres in any direction over which the roll's price is the same, 31 at most


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
    four nodes that a cell's cost is interpolated from. ``cell_play[cell]`` is the number of the play (a node's
    target, see ``play_hole``) that a ball in the cell uses, or how its hole goes on without one.
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
    cell_play: Any


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


@njit(**_FLAGS)
def roll_out(hole, x, y, dx, dy, budget):
    """Roll a landed ball along (dx, dy) until its budget of green-metres is used up.

    The ground is looked at every ``ROLL_STEP_M``, or after as many metres as cannot leave its kind; a ball on
    the green stays there if the place where its roll would end is on the green.
    """
    while budget > 0.0:
        surface = hole.surface[cell_at(hole, x, y)]
        ground = surface & 7
        if ground >= WATER:
            break
        price = hole.roll_price[np.uint64(ground)]
        whole = budget / price
        step = min(max(ROLL_STEP_M, float(surface >> 3)), whole)
        if ground == GREEN and ground_at(hole, x + dx * whole, y + dy * whole) == GREEN:
            step = whole
        x += dx * step
        y += dy * step
        if step == whole:
            break
        budget -= step * price
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
    gone, dry, step = 0.0, 0, 1.0
    while gone < far - step:
        gone += step
        x += dx * step
        y += dy * step
        surface = hole.surface[cell_at(hole, x, y)]
        ground = surface & 7
        step = max(float(surface >> 3), 1.0) if ground >= WATER else 1.0
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

    From among trees the green is not open: the target stays ``RECOVERY_SHORT_M`` short of the pin, or half way
    to it where that is nearer.
    """
    dx, dy = tx - sx, ty - sy
    far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
    ux, uy = dx / far, dy / far
    far = min(far, longest)
    if row == LIE_RECOVERY:
        px, py = hole.pin_x - sx, hole.pin_y - sy
        along, across = px * ux + py * uy, px * uy - py * ux
        short = min(RECOVERY_SHORT_M, 0.5 * math.sqrt(px * px + py * py))
        inside = short * short - across * across
        if inside > 0.0 and along > 0.0:
            far = min(far, along - math.sqrt(inside))
    return ux, uy, max(far, 1.0)


@njit(inline="always", **_FLAGS)
def new_work():
    """Work arrays of numbers and of whole numbers, see ``ROW``."""
    return np.empty(N_NUMBERS), np.empty(N_COUNTS, np.int64)


@njit(forceinline=True, **_FLAGS)
def run_all(n, w):
    """Let the full shots run."""
    for k in range(n):
        run = w[RUN + k] * w[DELTA + k]
        w[END_X + k] += w[LINE_X + k] * run
        w[END_Y + k] += w[LINE_Y + k] * run


@njit(inline="always", **_FLAGS)
def walk_step(hole, count, w, j):
    """One step of ``roll_out`` for each listed ball, without a branch; keeps and counts those still rolling."""
    surfaces, prices = hole.surface, hole.roll_price
    rolling = np.int64(0)
    for item in range(count):
        k = j[LIST + item]
        x, y, dx, dy, budget = w[END_X + k], w[END_Y + k], w[LINE_X + k], w[LINE_Y + k], w[RUN + k]
        surface = surfaces[np.uint64(j[CELL + k])]
        ground = surface & 7
        price = prices[np.uint64(ground)]
        whole = budget / price
        step = min(max(ROLL_STEP_M, np.float64(surface >> 3)), whole)
        stays = surfaces[cell_at(hole, x + dx * whole, y + dy * whole)] & 7
        step = whole if (ground == GREEN) & (stays == GREEN) else step
        x += dx * step
        y += dy * step
        w[END_X + k] = x
        w[END_Y + k] = y
        w[RUN + k] = budget - step * price
        j[CELL + k] = np.int64(cell_at(hole, x, y))
        j[LIST + rolling] = k
        rolling += np.int64(step < whole)
    return rolling


@njit(forceinline=True, **_FLAGS)
def walk_listed(hole, count, w, j):
    """Roll the listed balls out over whatever ground they meet, as ``roll_out`` does."""
    while count > 0:
        count = walk_step(hole, count, w, j)


@njit(forceinline=True, **_FLAGS)
def locate_all(hole, n, w, j):
    """The cells in which the balls lie; one beyond the grid is put on its border, whose cost is the one known."""
    ny, nx = hole.ground.shape
    x0, y0, per_cell, right, top = hole.x0, hole.y0, hole.per_cell, nx - 1.0, ny - 1.0
    last_x, last_y = x0 + nx * hole.cell, y0 + ny * hole.cell
    for k in range(n):
        w[END_X + k] = min(max(w[END_X + k], x0), last_x)
        w[END_Y + k] = min(max(w[END_Y + k], y0), last_y)
        ix = np.int64(min((w[END_X + k] - x0) * per_cell, right))
        iy = np.int64(min((w[END_Y + k] - y0) * per_cell, top))
        j[CELL + k] = iy * nx + ix


@njit(forceinline=True, **_FLAGS)
def land_pairs(hole, pairs, stretch, shot, sx, sy, ux, uy, w, j):
    """Where the balls of a table of errors land, their lines and the run they still have."""
    total, depth, bias, direction, rho, carry, _ = shot
    ny, nx = hole.ground.shape
    x0, y0, per_cell, right, top = hole.x0, hole.y0, hole.per_cell, nx - 1.0, ny - 1.0
    depth *= stretch
    along_part = direction * stretch * rho
    across_part = direction * stretch * math.sqrt(1.0 - rho * rho)
    run_share = (1.0 - carry) * hole.firmness
    for k in range(pairs.shape[1]):
        along = max(total + depth * pairs[0, k], 0.3)
        angle = bias + along_part * pairs[0, k] + across_part * pairs[1, k]
        a2 = angle * angle
        sin = angle * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0))
        cos = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0)
        dx, dy = ux * cos + uy * sin, uy * cos - ux * sin
        x, y = sx + dx * carry * along, sy + dy * carry * along
        w[LINE_X + k] = dx
        w[LINE_Y + k] = dy
        w[END_X + k] = x
        w[END_Y + k] = y
        w[RUN + k] = run_share * along
        ix = np.int64(min(max((x - x0) * per_cell, 0.0), right))
        iy = np.int64(min(max((y - y0) * per_cell, 0.0), top))
        j[CELL + k] = iy * nx + ix


@njit(forceinline=True, **_FLAGS)
def land_points(hole, pairs, stretch, shot, sx, sy, ux, uy, work):
    """Where the balls of a table of errors stop: rows ``END_X``, ``END_Y`` and ``CELL`` of ``work``.

    ``shot``: mean total, depth sd, direction bias, direction sd, correlation, carry share, whether it walks.
    Plain loops over plain arrays, so that the compiler can use the processor's vector units.
    """
    w, j = work
    n = pairs.shape[1]
    land_pairs(hole, pairs, stretch, shot, sx, sy, ux, uy, w, j)
    surfaces, share = hole.surface, hole.run_share
    if shot[6]:
        for k in range(n):
            j[LIST + k] = k
        walk_listed(hole, n, w, j)
    else:
        for k in range(n):
            w[DELTA + k] = share[np.uint64(surfaces[np.uint64(j[CELL + k])] & 7)]
        run_all(n, w)
    locate_all(hole, n, w, j)


@njit(forceinline=True, **_FLAGS)
def sum_costs(hole, cost, player, n, sx, sy, work):
    """Summed cost of the balls in ``work`` and how many of them must be replayed.

    Negative costs mark cells that need a closer look: a putt from where exactly, a drop, or a replay.
    """
    w, j = work
    flat = cost.ravel()
    greens, troubled = np.int64(0), np.int64(0)
    for k in range(n):
        found = np.float64(flat[np.uint64(j[CELL + k])])
        w[AFTER + k] = found
        j[LIST + greens] = k
        greens += np.int64(found == MARK_GREEN)
        j[TROUBLE + troubled] = k
        troubled += np.int64((found == MARK_WATER) | (found == MARK_OUT))
    total, replayed = 0.0, 0.0
    for k in range(n):
        total += max(w[AFTER + k], 0.0)
        dx, dy = w[END_X + k] - hole.pin_x, w[END_Y + k] - hole.pin_y
        w[RUN + k] = math.sqrt(dx * dx + dy * dy)
    for item in range(greens):
        total += interpolate(player.putts, player.putt_step, w[RUN + j[LIST + item]])
    for item in range(troubled):
        k = j[TROUBLE + item]
        dropped = False
        if w[AFTER + k] == MARK_WATER:
            px, py, dropped = drop_place(hole, w[END_X + k], w[END_Y + k], sx, sy)
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
def map_plays(hole, cell_node, cell_weight, n_nodes, cell_play):
    """Write, for every cell, whose target a ball in it uses: that of the node nearest its middle.

    Where no node is near, numbers from ``n_nodes`` on stand for a shot straight at the pin from each lie.
    """
    for cell in range(hole.flat.shape[0]):
        ground = hole.flat[cell]
        if ground == GREEN:
            cell_play[cell] = ON_GREEN
        elif ground >= WATER:
            cell_play[cell] = IN_WATER if ground == WATER else OUT_OF_BOUNDS
        else:
            best = 0
            for corner in range(1, 4):
                if cell_weight[cell, corner] > cell_weight[cell, best]:
                    best = corner
            near = cell_weight[cell, best] > 0.0
            cell_play[cell] = cell_node[cell, best] if near else n_nodes + lie_on(ground) - 1


@njit(**_FLAGS)
def measure_clearance(hole, clearance):
    """Write how many cells around each cell, in every direction, cost a rolling ball the same."""
    ny, nx = hole.ground.shape
    for iy in range(ny):
        for ix in range(nx):
            clearance[iy, ix] = 255
            for jy in range(max(iy - 1, 0), min(iy + 2, ny)):
                for jx in range(max(ix - 1, 0), min(ix + 2, nx)):
                    if hole.roll_price[hole.ground[iy, ix]] != hole.roll_price[hole.ground[jy, jx]]:
                        clearance[iy, ix] = 0
    for turn in range(2):
        for k in range(ny * nx):
            cell = k if turn == 0 else ny * nx - 1 - k
            iy, ix = cell // nx, cell % nx
            nearest = clearance[iy, ix]
            for jy in range(max(iy - 1, 0), min(iy + 2, ny)):
                for jx in range(max(ix - 1, 0), min(ix + 2, nx)):
                    nearest = min(nearest, clearance[jy, jx] + 1)
            clearance[iy, ix] = min(nearest, 255)


@njit(**_FLAGS)
def map_surface(hole):
    """Write ``hole.surface``."""
    clearance = np.empty(hole.ground.shape, np.uint8)
    measure_clearance(hole, clearance)
    for cell in range(hole.flat.shape[0]):
        clear = min(int(clearance.ravel()[cell] * hole.cell), 31)
        hole.surface[cell] = hole.flat[cell] + 8 * clear


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


@njit(**_FLAGS)
def compare_closer(hole, cost, player, points, row, reach, sx, sy, kept, count, work):
    """Value the kept candidates on more points and sort them by it."""
    for k in range(count):
        tx, ty, height = kept[k, 1], kept[k, 2], int(kept[k, 3])
        value = expected_cost(hole, cost, player, points, 0, row, reach, sx, sy, tx, ty, height, work)
        remember(kept, k, value, tx, ty, height)


@njit(**_FLAGS)
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
        first = nodes.cell_ring_start[max(ring - 2, 0)]
        fill_cells(nodes, value, first, nodes.cell_ring_start[ring + 1], cost)
    last = nodes.ring_start.shape[0] - 1
    evaluate(hole, nodes, solved, policy, player, effort[5], far_fine, near_rings, last, value, cost)


@njit(**_FLAGS)
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


# --- visits and what a change of skill saves -----------------------------------------------------------------


@njit(inline="always", **_FLAGS)
def scatter(nodes, cell, mass, residual):
    """Hand the mass that came to rest in a cell to the nodes its cost is interpolated from."""
    for corner in range(4):
        residual[nodes.cell_node[cell, corner]] += mass * nodes.cell_weight[cell, corner]


@njit(**_FLAGS)
def spread_mass(hole, nodes, cost, player, n, sx, sy, mass, work, residual, putts_from):
    """Send ``mass`` with every ball in ``work`` to the nodes and, on the green, to ``putts_from`` by distance."""
    w, j = work
    flat = cost.ravel()
    for k in range(n):
        cell = np.uint64(j[CELL + k])
        ground = hole.flat[cell]
        if ground == GREEN:
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


@njit(**_FLAGS)
def count_replayed(hole, cost, n, sx, sy, work):
    """How many balls of ``work`` must be replayed."""
    w, j = work
    flat = cost.ravel()
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


@njit(**_FLAGS)
def visits(hole, nodes, policy, player, few, near, far, near_rings, seldom, least, cost, inflow, putts_from):
    """How often a round comes to each node (``inflow``) and putts first from each distance (``putts_from``).

    The adjoint of ``evaluate``: mass starts on the tee and is pushed from far to near, four times over for
    the little of it that moves away from the pin. Nodes that less than ``seldom`` comes to at a time use
    ``few`` points, and less than ``least`` is not followed after the first push.
    """
    solid_work, poor_work = new_work(), new_work()
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
            ux, uy, target = aim_line(
                hole, row, sx, sy, policy.x[k], policy.y[k], player.longest[nodes.reach[k]]
            )
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
    work = new_work()
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


# --- rounds, many in step ------------------------------------------------------------------------------------

#: A hole is given up after this many strokes (a guard; never met by a golfer of any handicap).
MOST_STROKES = 30
TALLY_BITS = 8
#: ``KIND`` is the entry of a play in the skill table (row * 3 + height) and these.
KIND_TEE, KIND_SAND, KIND_RECOVERY, KIND_ENTRY = 32, 64, 128, 31
FLAG_FAIRWAY, FLAG_GREEN = 1, 2
N_GROUPS = 9
GOLDEN = np.uint64(0x9E3779B97F4A7C15)


def _reinterpretation(source: Any, result: Any) -> Any:
    """A compiled function that takes the bits of one type for the other; 64 bits both."""

    def reinterpret(typing_context: Any, value: Any) -> Any:  # noqa: ARG001
        def build(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:  # noqa: ARG001
            return builder.bitcast(arguments[0], context.get_value_type(result))

        return result(source), build

    return intrinsic(reinterpret)


float_bits = _reinterpretation(types.float64, types.int64)
float_of_bits = _reinterpretation(types.int64, types.float64)
single_of_bits = _reinterpretation(types.int32, types.float32)
single_bits = _reinterpretation(types.float32, types.int32)


@njit(inline="always", **_FLAGS)
def mix(value):
    """The finaliser of splitmix64: every input bit moves every output bit."""
    value = (value ^ (value >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    value = (value ^ (value >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return value ^ (value >> np.uint64(31))


@njit(inline="always", **_FLAGS)
def luck_key(seed, round_number, hole_number):
    """Key of the luck of one hole in one round."""
    key = mix(np.uint64(seed) + GOLDEN)
    key = mix(key + GOLDEN * (np.uint64(round_number) + np.uint64(1)))
    return mix(key + GOLDEN * (np.uint64(hole_number) + np.uint64(1)))


@njit(inline="always", **_FLAGS)
def luck_counter(stroke, use):
    """What tells the uses of luck of one hole apart: 0 and 1 a shot's errors, 2 its strike, 3 the putts."""
    return GOLDEN * (np.uint64(stroke) * np.uint64(4) + np.uint64(use) + np.uint64(1))


@njit(inline="always", **_FLAGS)
def uniform(key, counter):
    """The uniform number in (0, 1] that belongs to a key and a counter."""
    return (np.float64(mix(key + counter) >> np.uint64(11)) + 0.5) * (1.0 / 9007199254740992.0)


@njit(inline="always", **_FLAGS)
def natural_log(u):
    """Natural logarithm of a positive normal number, relative error below 1e-11, without a branch."""
    bits = float_bits(u)
    exponent = np.float64((bits >> 52) - 1023)
    part = float_of_bits((bits & 0xFFFFFFFFFFFFF) | 0x3FF0000000000000)
    large = part > 1.4142135623730951
    part = part * 0.5 if large else part
    exponent = exponent + 1.0 if large else exponent
    f = (part - 1.0) / (part + 1.0)
    g = f * f
    series = g * (1 / 3 + g * (1 / 5 + g * (1 / 7 + g * (1 / 9 + g * (1 / 11 + g * (1 / 13))))))
    return exponent * 0.6931471805599453 + 2.0 * (f + f * series)


@njit(inline="always", **_FLAGS)
def normal_pair(u, v):
    """Two independent standard normal numbers from two uniform ones (Box and Muller 1958), without a branch."""
    radius = math.sqrt(max(-2.0 * natural_log(u), 0.0))
    quarter = np.int64(v * 4.0 + 0.5)
    angle = (v * 4.0 - np.float64(quarter)) * (0.5 * math.pi)
    g = angle * angle
    sin = angle * (1 + g * (-1 / 6 + g * (1 / 120 + g * (-1 / 5040 + g * (1 / 362880 - g / 39916800)))))
    cos = 1 + g * (
        -1 / 2 + g * (1 / 24 + g * (-1 / 720 + g * (1 / 40320 + g * (-1 / 3628800 + g / 479001600))))
    )
    odd = (quarter & 1) == 1
    first = -sin if odd else cos
    second = cos if odd else sin
    radius = -radius if (quarter & 2) == 2 else radius
    return radius * first, radius * second


@njit(inline="always", **_FLAGS)
def shot_group(is_tee, is_sand, target):
    """0 tee, 1-4 approach bands, 5 chip, 6 pitch, 7 greenside bunker (8 is putting)."""
    full = 1 + np.int64(target >= 91.44) + np.int64(target >= 137.16) + np.int64(target >= 182.88)
    short = 7 if is_sand else 5 + np.int64(target >= 18.288)
    group = full if target >= 45.72 else short
    return 0 if is_tee else group


@njit(inline="always", **_FLAGS)
def play_stroke(hole, player, key, stroke, row, reach, sx, sy, tx, ty, height):
    """Play one stroke: where it ends, how (IN_PLAY, DROPPED, REPLAYED, STUCK), its luck and the distance aimed at."""
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    z1, z2 = normal_pair(uniform(key, luck_counter(stroke, 0)), uniform(key, luck_counter(stroke, 1)))
    is_poor = uniform(key, luck_counter(stroke, 2)) < poor
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


@njit(inline="always", **_FLAGS)
def next_target(hole, lattices, policy, lie, x, y):
    """Target and height from a place: those of the node nearest the middle of its cell, or straight at the pin."""
    nx = hole.ground.shape[1]
    cell = np.int64(cell_at(hole, x, y))
    x, y = hole.x0 + (cell % nx + 0.5) * hole.cell, hole.y0 + (cell // nx + 0.5) * hole.cell
    node = nearest_node(lattices, lie, x, y)
    if node < 0:
        return hole.pin_x, hole.pin_y, 1
    return policy.x[node], policy.y[node], policy.height[node]


@njit(**_FLAGS)
def list_plays(hole, nodes, policy, player, places, kinds):
    """Write the plays of a hole: a node's target each, then straight at the pin from each lie.

    ``places[play]``: the target's place and the longest target; ``kinds[play]``: see ``KIND_ENTRY``.
    """
    n_nodes = nodes.x.shape[0]
    for k in range(n_nodes + 4):
        if k < n_nodes:
            row, reach, height = nodes.row[k], nodes.reach[k], policy.height[k]
            places[k, 0], places[k, 1] = policy.x[k], policy.y[k]
        else:
            row, reach, height = k - n_nodes + 1, k - n_nodes + 1, 1
            places[k, 0], places[k, 1] = hole.pin_x, hole.pin_y
        places[k, 2] = player.longest[reach]
        kinds[k] = row * 3 + height
        if reach == LIE_TEE:
            kinds[k] += KIND_TEE
        if row == LIE_SAND:
            kinds[k] += KIND_SAND
        if row == LIE_RECOVERY:
            kinds[k] += KIND_RECOVERY


@njit(**_FLAGS)
def draw_luck(keys, n, stroke, w):
    """The luck of one stroke: two normal numbers and a uniform one."""
    c0, c1, c2 = luck_counter(stroke, 0), luck_counter(stroke, 1), luck_counter(stroke, 2)
    for k in range(n):
        key = keys[k]
        z1, z2 = normal_pair(uniform(key, c0), uniform(key, c1))
        w[NORMAL_1 + k] = z1
        w[NORMAL_2 + k] = z2
        w[UNIFORM + k] = uniform(key, c2)


@njit(**_FLAGS)
def fetch_plays(places, kinds, n, w, j):
    """Each ball's target, longest target and kind of shot; returns how many play from among trees."""
    count = np.int64(0)
    for k in range(n):
        play = np.uint64(j[PLAY + k])
        w[TARGET_X + k] = places[play, 0]
        w[TARGET_Y + k] = places[play, 1]
        w[LONGEST + k] = places[play, 2]
        kind = kinds[play]
        j[KIND + k] = kind
        j[LIST + count] = k
        count += (kind & KIND_RECOVERY) >> 7
    return count


@njit(**_FLAGS)
def aim_all(n, w):
    """Lines and distances aimed at, as ``aim_line`` has them except from among trees."""
    for k in range(n):
        dx, dy = w[TARGET_X + k] - w[X + k], w[TARGET_Y + k] - w[Y + k]
        far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
        w[LINE_X + k] = dx / far
        w[LINE_Y + k] = dy / far
        w[TARGET + k] = max(min(far, w[LONGEST + k]), 1.0)


@njit(**_FLAGS)
def aim_from_trees(hole, count, w, j):
    """Shorten the aim of the listed balls, which play from among trees."""
    for item in range(count):
        k = j[LIST + item]
        _, _, target = aim_line(
            hole, LIE_RECOVERY, w[X + k], w[Y + k], w[TARGET_X + k], w[TARGET_Y + k], w[LONGEST + k]
        )
        w[TARGET + k] = target


@njit(**_FLAGS)
def fetch_shots(table, length, n, w, j):
    """Interpolated columns of the skill table (its numbers in one row) for every ball."""
    for k in range(n):
        target = w[TARGET + k]
        i = min(int(target), length - 2)
        f = min(target - i, 1.0)
        g = 1.0 - f
        at = np.uint64(((j[KIND + k] & KIND_ENTRY) * length + i) * 6)
        w[DEPTH + k] = table[at] * g + table[at + np.uint64(6)] * f
        w[DIRECTION + k] = table[at + np.uint64(1)] * g + table[at + np.uint64(7)] * f
        w[BIAS_DEPTH + k] = table[at + np.uint64(2)] * g + table[at + np.uint64(8)] * f
        w[BIAS + k] = table[at + np.uint64(3)] * g + table[at + np.uint64(9)] * f
        w[POOR + k] = table[at + np.uint64(4)] * g + table[at + np.uint64(10)] * f
        w[CARRY + k] = table[at + np.uint64(5)] * g + table[at + np.uint64(11)] * f


@njit(**_FLAGS)
def copy_first(n, w, j):
    """Give every ball the first one's shot: all start on the tee."""
    for row in range(LINE_X, CARRY + ROW, ROW):
        w[row : row + n] = w[row]
    j[KIND : KIND + n] = j[KIND]


@njit(**_FLAGS)
def land_all(hole, rho, n, w, j):
    """Where the balls land, their lines and the run they still have."""
    ny, nx = hole.ground.shape
    x0, y0, per_cell, right, top = hole.x0, hole.y0, hole.per_cell, nx - 1.0, ny - 1.0
    across = math.sqrt(1.0 - rho * rho)
    firmness = hole.firmness
    for k in range(n):
        target, z1 = w[TARGET + k], w[NORMAL_1 + k]
        poor = w[UNIFORM + k] < w[POOR + k]
        stretch = POOR_SPREAD if poor else 1.0
        middle = POOR_LENGTH * target if poor else target + w[BIAS_DEPTH + k]
        total = max(middle + w[DEPTH + k] * stretch * z1, 0.3)
        angle = w[BIAS + k] + w[DIRECTION + k] * stretch * (rho * z1 + across * w[NORMAL_2 + k])
        a2 = angle * angle
        sin = angle * (1.0 - a2 / 6.0 * (1.0 - a2 / 20.0))
        cos = 1.0 - a2 / 2.0 * (1.0 - a2 / 12.0)
        dx = w[LINE_X + k] * cos + w[LINE_Y + k] * sin
        dy = w[LINE_Y + k] * cos - w[LINE_X + k] * sin
        flown = w[CARRY + k] * total
        x, y = w[X + k] + dx * flown, w[Y + k] + dy * flown
        w[END_X + k] = x
        w[END_Y + k] = y
        w[LINE_X + k] = dx
        w[LINE_Y + k] = dy
        w[RUN + k] = (total - flown) * firmness
        ix = np.int64(min(max((x - x0) * per_cell, 0.0), right))
        iy = np.int64(min(max((y - y0) * per_cell, 0.0), top))
        j[CELL + k] = iy * nx + ix


@njit(**_FLAGS)
def stay_in_trees(count, w, j):
    """Put the listed balls, which play from among trees, back to where they were when the strike was poor."""
    for item in range(count):
        k = j[LIST + item]
        if w[UNIFORM + k] < w[POOR + k]:
            w[END_X + k], w[END_Y + k], w[RUN + k] = w[X + k], w[Y + k], 0.0


@njit(**_FLAGS)
def allow_run(hole, n, w, j):
    """Scale full shots' run by the ground they land on; returns how many of the others must be walked."""
    surfaces, share = hole.surface, hole.run_share
    count = np.int64(0)
    for k in range(n):
        walks = w[TARGET + k] < WALK_BELOW_M
        j[LIST + count] = k
        count += np.int64(walks)
        allowed = share[np.uint64(surfaces[np.uint64(j[CELL + k])] & 7)]
        w[DELTA + k] = 0.0 if walks else allowed
    return count


@njit(**_FLAGS)
def join_cells(cost, cell_play, look):
    """Put each cell's play and the bits of its cost side by side, so that both come with one look at memory."""
    for cell in range(look.shape[0]):
        look[cell] = (np.int64(single_bits(cost[cell])) << 32) | (np.int64(cell_play[cell]) & 0xFFFFFFFF)


@njit(**_FLAGS)
def look_up_all(look, n, w, j):
    """What the balls play next and the reference golfer's cost; returns how many hit a green or found trouble."""
    greens, troubled = np.int64(0), np.int64(0)
    for k in range(n):
        cell = np.uint64(j[CELL + k])
        record = look[cell]
        play = np.int64(np.int32(record))
        j[NEXT + k] = play
        w[AFTER + k] = single_of_bits(np.int32(record >> 32))
        j[LIST + greens] = k
        greens += np.int64(play == ON_GREEN)
        j[TROUBLE + troubled] = k
        troubled += np.int64((play == IN_WATER) | (play == OUT_OF_BOUNDS))
    return greens, troubled


@njit(**_FLAGS)
def note_fairways(hole, n, j):
    """Flag the tee shots that found the fairway or the green."""
    for k in range(n):
        ground = hole.flat[np.uint64(j[CELL + k])]
        if ground == FAIRWAY or ground == GREEN:
            j[TALLY + k] |= FLAG_FAIRWAY << (6 * TALLY_BITS)


@njit(**_FLAGS)
def take_relief(hole, cell_play, their_cost, troubled, w, j):
    """Drop or replay the balls listed as in trouble, with a penalty stroke."""
    for item in range(troubled):
        k = j[TROUBLE + item]
        found = False
        if j[NEXT + k] == IN_WATER:
            x, y, found = drop_place(hole, w[END_X + k], w[END_Y + k], w[X + k], w[Y + k])
        if found:
            cell = cell_at(hole, x, y)
            w[END_X + k], w[END_Y + k] = x, y
            w[AFTER + k] = their_cost[cell]
            j[NEXT + k] = cell_play[cell]
        else:
            w[END_X + k], w[END_Y + k] = w[X + k], w[Y + k]
            w[AFTER + k] = w[WORTH + k]
            j[NEXT + k] = j[PLAY + k]
        j[TALLY + k] += (1 << (4 * TALLY_BITS)) + (1 << (5 * TALLY_BITS))
        w[WORTH + k] -= 1.0


@njit(**_FLAGS)
def reach_greens(hole, their_putts, their_step, greens, w, j):
    """The listed balls' distances to the pin (over ``RUN``) and the reference golfer's expected putts."""
    for item in range(greens):
        k = j[LIST + item]
        dx, dy = w[END_X + k] - hole.pin_x, w[END_Y + k] - hole.pin_y
        distance = math.sqrt(dx * dx + dy * dy)
        w[RUN + k] = distance
        w[AFTER + k] = interpolate(their_putts, their_step, distance)


@njit(**_FLAGS)
def count_strokes(n, w, j):
    """Add the stroke to the tallies; its group and the strokes gained by it."""
    for k in range(n):
        kind = j[KIND + k]
        group = shot_group((kind & KIND_TEE) != 0, (kind & KIND_SAND) != 0, w[TARGET + k])
        approach = 1 << TALLY_BITS if group < 5 else 1 << (2 * TALLY_BITS)
        j[TALLY + k] += (1 << (5 * TALLY_BITS)) + (1 if group == 0 else approach)
        j[GROUP + k] = group
        w[DELTA + k] = w[WORTH + k] - w[AFTER + k] - 1.0


@njit(**_FLAGS)
def add_gains(n, w, j, gained):
    """Sum strokes gained by group."""
    for group in range(N_GROUPS - 1):
        total = 0.0
        for k in range(n):
            total += w[DELTA + k] if j[GROUP + k] == group else 0.0
        gained[group] += total


@njit(inline="always", **_FLAGS)
def putts_taken(cumulative, putt_step, distance, u):
    """Number of putts from a distance, for a uniform number; five at most."""
    position = distance / putt_step
    i = min(int(position), cumulative.shape[0] - 2)
    f = min(position - i, 1.0)
    g = 1.0 - f
    count = np.int64(1)
    for most in range(4):
        count += np.int64(u >= cumulative[i, most] * g + cumulative[i + 1, most] * f)
    return count


@njit(**_FLAGS)
def putt_out(player, keys, greens, stroke, par, w, j, tallies, gained):
    """Putt the listed balls and write their holes."""
    counter = luck_counter(stroke, 3)
    total = 0.0
    for item in range(greens):
        k = j[LIST + item]
        putts = putts_taken(player.cumulative, player.putt_step, w[RUN + k], uniform(keys[k], counter))
        total += w[AFTER + k] - putts
        tally = j[TALLY + k]
        if (tally >> (5 * TALLY_BITS)) & 255 <= par - 2:
            tally |= FLAG_GREEN << (6 * TALLY_BITS)
        tally += (putts << (3 * TALLY_BITS)) + (putts << (5 * TALLY_BITS))
        tallies[j[ROUND + k]] = tally
    gained[N_GROUPS - 1] += total


@njit(**_FLAGS)
def move_on(n, w, j):
    """Make where the balls ended where the next stroke starts."""
    for k in range(n):
        w[X + k] = w[END_X + k]
        w[Y + k] = w[END_Y + k]
        w[WORTH + k] = w[AFTER + k]
        j[PLAY + k] = j[NEXT + k]


@njit(**_FLAGS)
def drop_finished(keys, n, greens, w, j):
    """Fill the places of the listed balls, which are holed, with the last ones; returns how many are left."""
    left = n - greens
    last = n - 1
    for item in range(greens):
        k = j[LIST + item]
        if k >= left:
            break
        while j[PLAY + last] == ON_GREEN:
            last -= 1
        keys[k] = keys[last]
        w[X + k] = w[X + last]
        w[Y + k] = w[Y + last]
        w[WORTH + k] = w[WORTH + last]
        j[PLAY + k] = j[PLAY + last]
        j[ROUND + k] = j[ROUND + last]
        j[TALLY + k] = j[TALLY + last]
        last -= 1
    return left


@njit(**_FLAGS)
def play_wave(hole, nodes, plays, player, table, against, par, keys, n, w, j, tallies, gained):
    """Play the ``n`` holes whose keys are in ``keys`` to the end, all in step."""
    places, kinds = plays
    their_cost, their_putts, their_step, look = against
    playing = np.int64(n)
    for stroke in range(MOST_STROKES):
        n = playing
        draw_luck(keys, n, stroke, w)
        different = 1 if stroke == 0 else n
        in_trees = fetch_plays(places, kinds, different, w, j)
        aim_all(different, w)
        aim_from_trees(hole, in_trees, w, j)
        fetch_shots(table, player.table.shape[2], different, w, j)
        if stroke == 0:
            copy_first(n, w, j)
        land_all(hole, player.correlation, n, w, j)
        stay_in_trees(in_trees, w, j)
        walking = allow_run(hole, n, w, j)
        run_all(n, w)
        walk_listed(hole, walking, w, j)
        locate_all(hole, n, w, j)
        greens, troubled = look_up_all(look, n, w, j)
        if stroke == 0 and par > 3:
            note_fairways(hole, n, j)
        take_relief(hole, nodes.cell_play, their_cost, troubled, w, j)
        reach_greens(hole, their_putts, their_step, greens, w, j)
        count_strokes(n, w, j)
        add_gains(n, w, j, gained)
        putt_out(player, keys, greens, stroke + 1, par, w, j, tallies, gained)
        move_on(n, w, j)
        playing = drop_finished(keys, n, greens, w, j)
        if playing == 0:
            break
    for k in range(playing):
        tallies[j[ROUND + k]] = j[TALLY + k]


@njit(**_FLAGS)
def unpack(tallies, strokes, fairway, green):
    """Strokes taken and the two flags of every tally."""
    for i in range(tallies.shape[0]):
        strokes[i] = (tallies[i] >> (5 * TALLY_BITS)) & 255
        fairway[i] = (tallies[i] >> (6 * TALLY_BITS)) & FLAG_FAIRWAY != 0
        green[i] = (tallies[i] >> (6 * TALLY_BITS)) & FLAG_GREEN != 0


@njit(**_FLAGS)
def play_hole(
    hole, nodes, policy, player, against, against_tee, seed, first_round, number, par,
    tallies, strokes, fairway, green, gained,
):  # fmt: skip
    """Play one hole in as many rounds as ``tallies`` has entries, the first of them number ``first_round``.

    ``against``: a reference golfer's cost raster, with expected putts and their step; ``against_tee`` its value
    on the tee. Writes per round the ``tallies`` (see ``TALLY``) and what they say of ``strokes``, ``fairway`` hit
    and ``green`` in regulation; adds strokes gained by group to ``gained``.
    """
    tee = nodes.x.shape[0] - 1
    places, kinds = np.empty((tee + 5, 4)), np.empty(tee + 5, np.int64)
    list_plays(hole, nodes, policy, player, places, kinds)
    w, j = new_work()
    keys = np.empty(WAVE, np.uint64)
    table = player.table.ravel()
    look = np.empty(hole.flat.shape[0], np.int64)
    join_cells(against[0].ravel(), nodes.cell_play, look)
    their = (against[0].ravel(), against[1], against[2], look)
    rounds = tallies.shape[0]
    for start in range(0, rounds, WAVE):
        n = min(WAVE, rounds - start)
        for k in range(n):
            keys[k] = luck_key(seed, first_round + start + k, number)
            w[X + k] = nodes.x[tee]
            w[Y + k] = nodes.y[tee]
            w[WORTH + k] = against_tee
            j[ROUND + k] = start + k
            j[PLAY + k] = tee
            j[TALLY + k] = 0
        play_wave(
            hole, nodes, (places, kinds), player, table, their, par, keys, n, w, j,
            tallies, gained,
        )  # fmt: skip
    unpack(tallies, strokes, fairway, green)
