"""Where a shot comes to rest, and what it is expected to cost."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel_with, uncounted, uncounted_call
from rangework.play.kernel_arrays import (
    AFTER,
    CELL,
    DELTA,
    END_X,
    END_Y,
    FRINGE,
    GREEN,
    LIE_FAIRWAY,
    LIE_FRINGE,
    LIE_GREEN,
    LIE_RECOVERY,
    LIE_ROUGH,
    LIE_SAND,
    LINE_X,
    LINE_Y,
    LIST,
    MARK_GREEN,
    MARK_OUT,
    MARK_WATER,
    N_COUNTS,
    N_NUMBERS,
    RECOVERY_SHORT_M,
    ROLL_STEP_M,
    ROUGH,
    RUN,
    SAND,
    TREES,
    TROUBLE,
    WATER,
)


@kernel_with(inline="always")
def cell_at(hole, x, y):
    """Flat number of the cell under a place; beyond the grid its border rules."""
    ny, nx = hole.ground.shape
    ix = int(min(max((x - hole.x0) * hole.per_cell, 0.0), nx - 1.0))
    iy = int(min(max((y - hole.y0) * hole.per_cell, 0.0), ny - 1.0))
    return np.uint64(iy * nx + ix)


@kernel_with(inline="always")
def ground_at(hole, x, y):
    """Ground code at a place."""
    return hole.flat[cell_at(hole, x, y)]


@kernel_with(inline="always")
def interpolate(values, step, distance):
    """Linear interpolation in a table that starts at 0; flat beyond its end."""
    position = distance / step
    i = min(int(position), values.shape[0] - 2)
    f = min(position - i, 1.0)
    return values[i] * (1.0 - f) + values[i + 1] * f


@kernel_with(inline="always")
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
    if ground == FRINGE:
        return LIE_FRINGE
    return LIE_FAIRWAY


@uncounted_call
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


@uncounted_call
def drop_place(hole, x, y, sx, sy):
    """Where to drop: on the line back to the start, two steps short of where it last entered.

    Returns the place and whether there is one short of the start. The first dry step is the edge itself; the
    second is within the two club-lengths that relief from a red penalty area gives (Rule 17.1d). Nothing is dropped
    on a green or its fringe.
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
        if ground < WATER and ground != GREEN and ground != FRINGE:
            dry += 1
            if dry == 2:
                return x, y, True
        else:
            dry = 0
    return x, y, False


@kernel_with(inline="always")
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


@kernel_with(inline="always")
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


@kernel_with(inline="always")
def new_work():
    """Work arrays of numbers and of whole numbers, see ``ROW``."""
    return np.empty(N_NUMBERS), np.empty(N_COUNTS, np.int64)


@uncounted
def run_all(n, w):
    """Let the full shots run."""
    for k in range(n):
        run = w[RUN + k] * w[DELTA + k]
        w[END_X + k] += w[LINE_X + k] * run
        w[END_Y + k] += w[LINE_Y + k] * run


@kernel_with(inline="always")
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


@uncounted
def walk_listed(hole, count, w, j):
    """Roll the listed balls out over whatever ground they meet, as ``roll_out`` does."""
    while count > 0:
        count = walk_step(hole, count, w, j)


@uncounted
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


@uncounted
def land_pairs(hole, pairs, stretch, shot, sx, sy, ux, uy, w, j):
    """Where the balls of a table of errors land, their lines and the run they still have."""
    total, depth, bias, direction, rho, carry, walks = shot
    ny, nx = hole.ground.shape
    x0, y0, per_cell, right, top = hole.x0, hole.y0, hole.per_cell, nx - 1.0, ny - 1.0
    depth *= stretch
    along_part = direction * stretch * rho
    across_part = direction * stretch * math.sqrt(1.0 - rho * rho)
    run_share = (1.0 - carry) * (hole.short_firmness if walks else hole.firmness)
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


@uncounted
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


@kernel_with(forceinline=True, _nrt=True)  # to ravel is to make an array
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
