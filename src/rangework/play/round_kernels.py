"""Whole rounds, many in step."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with
from rangework.play.air_kernels import carry_on_all, driver_of, lengthen_all, play_for_air, widen_all
from rangework.play.flight_kernels import (
    aim_line,
    cell_at,
    drop_place,
    interpolate,
    locate_all,
    new_work,
    run_all,
    walk_listed,
)
from rangework.play.kernel_arrays import (
    AFTER,
    BIAS,
    BIAS_DEPTH,
    CARRY,
    CELL,
    DELTA,
    DEPTH,
    DIRECTION,
    END_X,
    END_Y,
    FAIRWAY,
    GREEN,
    GROUP,
    IN_WATER,
    KIND,
    LIE_RECOVERY,
    LIE_SAND,
    LIE_TEE,
    LINE_X,
    LINE_Y,
    LIST,
    LONGEST,
    NEXT,
    NORMAL_1,
    NORMAL_2,
    ON_GREEN,
    OUT_OF_BOUNDS,
    PLAY,
    POOR,
    POOR_LENGTH,
    POOR_SPREAD,
    ROUND,
    ROW,
    RUN,
    TALLY,
    TARGET,
    TARGET_X,
    TARGET_Y,
    TROUBLE,
    UNIFORM,
    WALK_BELOW_M,
    WAVE,
    WORTH,
    X,
    Y,
)
from rangework.play.luck_kernels import (
    luck_counter,
    luck_key,
    normal_pair,
    single_bits,
    single_of_bits,
    uniform,
)
from rangework.play.stroke_kernels import shot_group

#: A hole is given up after this many strokes (a guard; never met by a golfer of any handicap).
MOST_STROKES = 30
TALLY_BITS = 8
#: ``KIND`` is the entry of a play in the skill table (row * 3 + height) and these.
KIND_TEE, KIND_SAND, KIND_RECOVERY, KIND_ENTRY = 32, 64, 128, 31
FLAG_FAIRWAY, FLAG_GREEN = 1, 2
N_GROUPS = 9


@kernel
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


@kernel
def draw_luck(keys, n, stroke, w):
    """The luck of one stroke: two normal numbers and a uniform one."""
    c0, c1, c2 = luck_counter(stroke, 0), luck_counter(stroke, 1), luck_counter(stroke, 2)
    for k in range(n):
        key = keys[k]
        z1, z2 = normal_pair(uniform(key, c0), uniform(key, c1))
        w[NORMAL_1 + k] = z1
        w[NORMAL_2 + k] = z2
        w[UNIFORM + k] = uniform(key, c2)


@kernel
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


@kernel
def aim_all(n, w):
    """Lines and distances aimed at, as ``aim_line`` has them except from among trees."""
    for k in range(n):
        dx, dy = w[TARGET_X + k] - w[X + k], w[TARGET_Y + k] - w[Y + k]
        far = max(math.sqrt(dx * dx + dy * dy), 1e-6)
        w[LINE_X + k] = dx / far
        w[LINE_Y + k] = dy / far
        w[TARGET + k] = max(min(far, w[LONGEST + k]), 1.0)


@kernel
def aim_from_trees(hole, count, w, j):
    """Shorten the aim of the listed balls, which play from among trees."""
    for item in range(count):
        k = j[LIST + item]
        _, _, target = aim_line(
            hole, LIE_RECOVERY, w[X + k], w[Y + k], w[TARGET_X + k], w[TARGET_Y + k], w[LONGEST + k]
        )
        w[TARGET + k] = target


@kernel
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


@kernel
def copy_first(n, w, j):
    """Give every ball the first one's shot: all start on the tee."""
    for row in range(LINE_X, CARRY + ROW, ROW):
        w[row : row + n] = w[row]
    j[KIND : KIND + n] = j[KIND]


@kernel
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


@kernel
def stay_in_trees(count, w, j):
    """Put the listed balls, which play from among trees, back to where they were when the strike was poor."""
    for item in range(count):
        k = j[LIST + item]
        if w[UNIFORM + k] < w[POOR + k]:
            w[END_X + k], w[END_Y + k], w[RUN + k] = w[X + k], w[Y + k], 0.0


@kernel
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


@kernel
def join_cells(cost, cell_play, look):
    """Put each cell's play and the bits of its cost side by side, so that both come with one look at memory."""
    for cell in range(look.shape[0]):
        look[cell] = (np.int64(single_bits(cost[cell])) << 32) | (np.int64(cell_play[cell]) & 0xFFFFFFFF)


@kernel
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


@kernel
def note_fairways(hole, n, j):
    """Flag the tee shots that found the fairway or the green."""
    for k in range(n):
        ground = hole.flat[np.uint64(j[CELL + k])]
        if ground == FAIRWAY or ground == GREEN:
            j[TALLY + k] |= FLAG_FAIRWAY << (6 * TALLY_BITS)


@kernel
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


@kernel
def reach_greens(hole, their_putts, their_step, greens, w, j):
    """The listed balls' distances to the pin (over ``RUN``) and the reference golfer's expected putts."""
    for item in range(greens):
        k = j[LIST + item]
        dx, dy = w[END_X + k] - hole.pin_x, w[END_Y + k] - hole.pin_y
        distance = math.sqrt(dx * dx + dy * dy)
        w[RUN + k] = distance
        w[AFTER + k] = interpolate(their_putts, their_step, distance)


@kernel
def count_strokes(n, w, j):
    """Add the stroke to the tallies; its group and the strokes gained by it."""
    for k in range(n):
        kind = j[KIND + k]
        group = shot_group((kind & KIND_TEE) != 0, (kind & KIND_SAND) != 0, w[TARGET + k])
        approach = 1 << TALLY_BITS if group < 5 else 1 << (2 * TALLY_BITS)
        j[TALLY + k] += (1 << (5 * TALLY_BITS)) + (1 if group == 0 else approach)
        j[GROUP + k] = group
        w[DELTA + k] = w[WORTH + k] - w[AFTER + k] - 1.0


@kernel
def add_gains(n, w, j, gained):
    """Sum strokes gained by group."""
    for group in range(N_GROUPS - 1):
        total = 0.0
        for k in range(n):
            total += w[DELTA + k] if j[GROUP + k] == group else 0.0
        gained[group] += total


@kernel_with(inline="always")
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


@kernel
def putt_out(hole, player, keys, greens, stroke, par, w, j, tallies, gained):
    """Putt the listed balls, on the green or its fringe, and write their holes.

    From the fringe the first putt counts as a stroke of the short game, as golfers count; its gains are putting's.
    """
    counter = luck_counter(stroke, 3)
    total = 0.0
    for item in range(greens):
        k = j[LIST + item]
        putts = putts_taken(player.cumulative, player.putt_step, w[RUN + k], uniform(keys[k], counter))
        total += w[AFTER + k] - putts
        tally = j[TALLY + k]
        off_green = np.int64(hole.flat[np.uint64(j[CELL + k])] != GREEN)
        if ((tally >> (5 * TALLY_BITS)) & 255) + off_green <= par - 2:
            tally |= FLAG_GREEN << (6 * TALLY_BITS)
        tally += ((putts - off_green) << (3 * TALLY_BITS)) + (putts << (5 * TALLY_BITS))
        tally += off_green << (2 * TALLY_BITS)
        tallies[j[ROUND + k]] = tally
    gained[N_GROUPS - 1] += total


@kernel
def move_on(n, w, j):
    """Make where the balls ended where the next stroke starts."""
    for k in range(n):
        w[X + k] = w[END_X + k]
        w[Y + k] = w[END_Y + k]
        w[WORTH + k] = w[AFTER + k]
        j[PLAY + k] = j[NEXT + k]


@kernel
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


@kernel
def play_wave(hole, nodes, plays, player, table, against, par, keys, n, w, j, tallies, gained):
    """Play the ``n`` holes whose keys are in ``keys`` to the end, all in step."""
    places, kinds = plays
    their_cost, their_putts, their_step, look = against
    playing = np.int64(n)
    neutral, driver = hole.air.neutral, driver_of(player)
    # from a tee all play the same shot; a hole started among trees is played ball by ball, as those may stay there
    in_trees_first = kinds[j[PLAY]] & KIND_RECOVERY != 0
    for stroke in range(MOST_STROKES):
        n = playing
        draw_luck(keys, n, stroke, w)
        different = n if stroke > 0 or in_trees_first else 1
        in_trees = fetch_plays(places, kinds, different, w, j)
        if not neutral:
            lengthen_all(hole, driver, different, w)
        aim_all(different, w)
        aim_from_trees(hole, in_trees, w, j)
        if not neutral:
            play_for_air(hole, driver, different, w)
        fetch_shots(table, player.table.shape[2], different, w, j)
        if not neutral:
            widen_all(hole.air.stretch, different, w)
        if different == 1:
            copy_first(n, w, j)
        land_all(hole, player.correlation, n, w, j)
        if not neutral:
            carry_on_all(hole, n, w, j)
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
        putt_out(hole, player, keys, greens, stroke + 1, par, w, j, tallies, gained)
        move_on(n, w, j)
        playing = drop_finished(keys, n, greens, w, j)
        if playing == 0:
            break
    for k in range(playing):
        tallies[j[ROUND + k]] = j[TALLY + k]


@kernel
def unpack(tallies, strokes, fairway, green):
    """Strokes taken and the two flags of every tally."""
    for i in range(tallies.shape[0]):
        strokes[i] = (tallies[i] >> (5 * TALLY_BITS)) & 255
        fairway[i] = (tallies[i] >> (6 * TALLY_BITS)) & FLAG_FAIRWAY != 0
        green[i] = (tallies[i] >> (6 * TALLY_BITS)) & FLAG_GREEN != 0


@kernel
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
