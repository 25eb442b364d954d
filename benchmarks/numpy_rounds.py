"""The same rounds as ``rangework.play.rounds`` with NumPy alone: all rounds of a hole at once, stroke by stroke."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Ground, Lie
from rangework.play.kernels import (
    IN_WATER,
    ON_GREEN,
    POOR_LENGTH,
    POOR_SPREAD,
    RECOVERY_SHORT_M,
    WALK_BELOW_M,
    HoleArrays,
    Player,
)
from rangework.play.strategy import Strategy

Array = NDArray[Any]
FAMILY_OF_GROUP = np.array([0, 1, 1, 1, 1, 2, 2, 2])
ON_OR_ROUND_GREEN = (Ground.GREEN, Ground.FRINGE)
APPROACH_FROM_M = np.array([91.44, 137.16, 182.88])


class NumpyHole:
    """One hole, one golfer, ready to be played many times."""

    def __init__(self, strategy: Strategy, player: Player) -> None:
        layout, policy = strategy.layout, strategy.policy
        nodes, hole, longest = layout.nodes, layout.hole, player.longest
        lies = np.arange(1, 5)
        self.hole, self.player, self.par = hole, player, layout.par
        self.cell_play, self.cost, self.tee = nodes.cell_play, strategy.cost.ravel(), layout.tee_node
        self.tee_value = strategy.expected_strokes
        self.start = nodes.x[self.tee], nodes.y[self.tee]
        self.x = np.append(policy.x, np.full(4, hole.pin_x))
        self.y = np.append(policy.y, np.full(4, hole.pin_y))
        self.row = np.append(nodes.row, lies)
        self.reach = np.append(nodes.reach, lies)
        self.longest = longest[self.reach]
        heights = np.append(policy.height, np.ones(4, dtype=np.int64))
        self.entry = (self.row * 3 + heights) * player.table.shape[2]
        self.table = np.ascontiguousarray(player.table.reshape(-1, 6).T)

    def play(self, rounds: int, rng: np.random.Generator) -> tuple[Array, Array, Array]:
        """Strokes by family (tee, approach, short game, putts, penalties), flags and strokes gained by group."""
        family, flags, gained = np.zeros((5, rounds), np.uint8), np.zeros(rounds, np.uint8), np.zeros(9)
        who = np.arange(rounds)
        x, y = np.full(rounds, self.start[0]), np.full(rounds, self.start[1])
        play, worth = np.full(rounds, self.tee), np.full(rounds, self.tee_value)
        first = True
        while who.size:
            group, ex, ey, after, following, penalty = self._stroke(x, y, play, worth, rng)
            family[FAMILY_OF_GROUP[group], who] += 1
            family[4, who] += penalty
            if first and self.par > 3:
                ground = self.hole.flat[self._cell(ex, ey)]
                hit = ((ground == Ground.FAIRWAY) | (ground == Ground.GREEN)) & ~penalty
                flags[who] |= hit
            first = False
            green = np.flatnonzero(following == ON_GREEN)
            if green.size:
                self._putt(green, who, ex, ey, after, family, flags, gained, rng)
            gained[:8] += np.bincount(group, worth - after - 1.0 - penalty, 8)
            left = np.flatnonzero(following >= 0)
            who, x, y, play, worth = who[left], ex[left], ey[left], following[left], after[left]
        return family, flags, gained

    def _cell(self, x: Array, y: Array) -> Array:
        ny, nx = self.hole.ground.shape
        ix = np.clip((x - self.hole.x0) * self.hole.per_cell, 0.0, nx - 1.0).astype(np.int32)
        iy = np.clip((y - self.hole.y0) * self.hole.per_cell, 0.0, ny - 1.0).astype(np.int32)
        cell: Array = iy * nx + ix
        return cell

    def _stroke(self, x: Array, y: Array, play: Array, worth: Array, rng: np.random.Generator) -> Any:
        hole, player = self.hole, self.player
        dx, dy = self.x[play] - x, self.y[play] - y
        far = np.maximum(np.sqrt(dx * dx + dy * dy), 1e-6)
        ux, uy = dx / far, dy / far
        target = np.minimum(far, self.longest[play])
        row = self.row[play]
        trees = np.flatnonzero(row == Lie.RECOVERY)
        if trees.size:
            target[trees] = _out_of_trees(hole, target[trees], x[trees], y[trees], ux[trees], uy[trees])
        target = np.maximum(target, 1.0)
        step = np.minimum(target.astype(np.int64), player.table.shape[2] - 2)
        part, entry = np.minimum(target - step, 1.0), self.entry[play] + step
        depth, direction, bias_depth, bias, poor_share, carry = (
            column[entry] * (1.0 - part) + column[entry + 1] * part for column in self.table
        )
        z1, z2 = rng.standard_normal((2, x.size))
        poor = rng.random(x.size) < poor_share
        stretch = np.where(poor, POOR_SPREAD, 1.0)
        total = np.where(poor, POOR_LENGTH * target, target + bias_depth) + depth * stretch * z1
        total = np.maximum(total, 0.3)
        stuck = trees[poor[trees]]
        total[stuck] = 0.0
        rho = player.correlation
        angle = bias + direction * stretch * (rho * z1 + np.sqrt(1.0 - rho * rho) * z2)
        sin, cos = np.sin(angle), np.cos(angle)
        dx, dy = ux * cos + uy * sin, uy * cos - ux * sin
        flown = carry * total
        ex, ey, run = x + dx * flown, y + dy * flown, (total - flown) * hole.firmness
        walks = np.flatnonzero(target < WALK_BELOW_M)
        share = hole.run_share[hole.flat[self._cell(ex, ey)]]
        share[walks] = 0.0
        ex += dx * run * share
        ey += dy * run * share
        if walks.size:
            ex[walks], ey[walks] = self._roll(ex[walks], ey[walks], dx[walks], dy[walks], run[walks])
        ny, nx = hole.ground.shape
        np.clip(ex, hole.x0, hole.x0 + nx * hole.cell, out=ex)
        np.clip(ey, hole.y0, hole.y0 + ny * hole.cell, out=ey)
        cell = self._cell(ex, ey)
        following, after = self.cell_play[cell], self.cost[cell].astype(np.float64)
        penalty = (following < 0) & (following != ON_GREEN)
        trouble = np.flatnonzero(penalty)
        if trouble.size:
            self._relieve(trouble, x, y, ex, ey, play, worth, following, after)
        short = np.where(row == Lie.SAND, 7, 5 + (target >= 18.288))
        group = np.where(target >= 45.72, 1 + np.searchsorted(APPROACH_FROM_M, target, side="right"), short)
        group[self.reach[play] == Lie.TEE] = 0
        return group, ex, ey, after, following, penalty

    def _roll(self, x: Array, y: Array, dx: Array, dy: Array, budget: Array) -> tuple[Array, Array]:
        hole, rolling = self.hole, np.arange(x.size)
        while rolling.size:
            px, py, ux, uy, left = x[rolling], y[rolling], dx[rolling], dy[rolling], budget[rolling]
            cell = self._cell(px, py)
            ground = hole.flat[cell]
            price = hole.roll_price[ground]
            whole = left / price
            step = np.minimum(np.maximum(1.0, hole.surface[cell] >> 3), whole)
            ends = hole.flat[self._cell(px + ux * whole, py + uy * whole)]
            step = np.where((ground == Ground.GREEN) & (ends == Ground.GREEN), whole, step)
            x[rolling], y[rolling], budget[rolling] = px + ux * step, py + uy * step, left - step * price
            rolling = rolling[step < whole]
        return x, y

    def _relieve(
        self, trouble: Array, x: Array, y: Array, ex: Array, ey: Array, play: Array, worth: Array,
        following: Array, after: Array,
    ) -> None:  # fmt: skip
        wet = trouble[following[trouble] == IN_WATER]
        px, py, found = _drop(self, ex[wet], ey[wet], x[wet], y[wet])
        dropped = wet[found]
        replayed = np.setdiff1d(trouble, dropped, assume_unique=True)
        ex[dropped], ey[dropped] = px[found], py[found]
        cell = self._cell(px[found], py[found])
        following[dropped], after[dropped] = self.cell_play[cell], self.cost[cell]
        ex[replayed], ey[replayed] = x[replayed], y[replayed]
        following[replayed], after[replayed] = play[replayed], worth[replayed]

    def _putt(
        self, green: Array, who: Array, ex: Array, ey: Array, after: Array, family: Array, flags: Array,
        gained: Array, rng: np.random.Generator,
    ) -> None:  # fmt: skip
        player, them = self.player, who[green]
        distance = np.hypot(ex[green] - self.hole.pin_x, ey[green] - self.hole.pin_y)
        position = distance / player.putt_step
        step = np.minimum(position.astype(np.int64), player.putts.size - 2)
        part = np.minimum(position - step, 1.0)
        after[green] = player.putts[step] * (1.0 - part) + player.putts[step + 1] * part
        most = player.cumulative[step] * (1.0 - part)[:, None] + player.cumulative[step + 1] * part[:, None]
        putts = 1 + (rng.random(green.size)[:, None] >= most[:, :4]).sum(axis=1)
        off_green = self.hole.flat[self._cell(ex[green], ey[green])] != Ground.GREEN
        flags[them] |= 2 * (family[:, them].sum(axis=0) + off_green <= self.par - 2).astype(np.uint8)
        family[3, them] = putts - off_green
        family[2, them] += off_green
        gained[8] += (after[green] - putts).sum()


def _out_of_trees(hole: HoleArrays, target: Array, x: Array, y: Array, ux: Array, uy: Array) -> Array:
    px, py = hole.pin_x - x, hole.pin_y - y
    along, across = px * ux + py * uy, px * uy - py * ux
    short = np.minimum(RECOVERY_SHORT_M, 0.5 * np.hypot(px, py))
    inside = short * short - across * across
    closed = (inside > 0.0) & (along > 0.0)
    shortened: Array = np.where(closed, np.minimum(target, along - np.sqrt(np.maximum(inside, 0.0))), target)
    return shortened


def _drop(hole: NumpyHole, x: Array, y: Array, sx: Array, sy: Array) -> tuple[Array, Array, Array]:
    """The second dry metre on the way back to the start."""
    dx, dy = sx - x, sy - y
    far = np.hypot(dx, dy)
    dx, dy = dx / far, dy / far
    dry, found, going = np.zeros(x.size, np.int64), np.zeros(x.size, np.bool_), far > 1.0
    gone = 0.0
    while going.any():
        gone += 1.0
        x, y = np.where(going, x + dx, x), np.where(going, y + dy, y)
        ground = hole.hole.flat[hole._cell(x, y)]
        dry = np.where((ground < Ground.WATER) & ~np.isin(ground, ON_OR_ROUND_GREEN), dry + 1, 0)
        found |= going & (dry == 2)
        going &= ~found & (gone < far - 1.0)
    return x, y, found
