"""The places on a hole whose value is solved for: two lattices of nodes, by lie, in order of distance."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.conditions import NEUTRAL, Conditions
from rangework.course.ground_grid import GroundGrid
from rangework.lie import LIE_ON_GROUND, Ground, Lie
from rangework.play.air import air_on
from rangework.play.kernels import (
    HoleArrays,
    Lattices,
    Nodes,
    count_fills,
    list_fills,
    map_cells,
    map_plays,
    map_surface,
)

#: Half the side of the box around the pin with the fine lattice.
BOX_M = 56.0
#: Nodes are solved in rings this wide.
RING_M = 6.0
#: Rings within this distance of the pin are swept several times, because short shots may end farther away.
NEAR_M = 60.0
#: Ground farther from the pin than the tee by more than this needs no values of its own.
BEHIND_TEE_M = 20.0
#: Share of a full shot's run by the ground it lands on, in the order of ``Ground`` (common practice, no source).
RUN_SHARE = np.array([0.5, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0])
#: Green-metres of roll that a metre over each ground uses up; a ball ends where it meets water or the bounds.
ROLL_PRICE = np.array([10.0, 2.0, 1.0, 1.0 / 0.6, 10.0, 10.0, 1e9, 1e9])
#: Entry of a par-3 tee in ``SkillTables.longest_m``.
PAR_THREE_TEE = 5

_LIES = (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY)


@dataclass(frozen=True, slots=True)
class Layout:
    """A hole prepared for the kernels. The last node is the tee."""

    grid: GroundGrid
    hole: HoleArrays
    lattices: Lattices
    nodes: Nodes
    near_rings: int
    tee_node: int
    par: int
    number: int
    conditions: Conditions = NEUTRAL


def lay_out(
    grid: GroundGrid,
    *,
    coarse_step_m: float = 10.0,
    fine_step_m: float = 4.0,
    conditions: Conditions = NEUTRAL,
    hole: HoleArrays | None = None,
) -> Layout:
    """Lay the lattices over a hole's ground.

    ``coarse_step_m`` and ``fine_step_m`` are the node spacings away from and around the pin; ``conditions`` those
    that it is played in; ``hole``: the ground from another layout of the same, where there is one. A wind by the
    compass needs a grid of known bearing (ValueError).
    """
    hole = hole or _hole_arrays(grid, conditions)
    cells = _Cells.of(grid)
    box = (hole.pin_x - BOX_M, hole.pin_y - BOX_M, hole.pin_x + BOX_M, hole.pin_y + BOX_M)
    fine_part = (cells.x >= box[0]) & (cells.x < box[2]) & (cells.y >= box[1]) & (cells.y < box[3])
    needed = cells.distance <= math.dist(grid.tee_m, grid.pin_m) + BEHIND_TEE_M
    coarse = _LatticeNodes.over(cells, ~fine_part & needed, hole.x0, hole.y0, coarse_step_m)
    fine = _LatticeNodes.over(cells, fine_part, box[0], box[1], fine_step_m)
    places, coarse_id, fine_id = _in_order(coarse, fine, grid)
    lattices = Lattices(
        coarse_id, hole.x0, hole.y0, coarse_step_m, fine_id, box[0], box[1], fine_step_m, *box
    )
    cell_maps = _cell_maps(hole, lattices, cells, n_rings=len(places[-1]) - 1)
    cell_play = np.empty(grid.ground.size, dtype=np.int32)
    cell_order, cell_ring_start, cell_node, cell_weight = cell_maps
    map_plays(hole, cell_node, cell_weight, len(places[0]), cell_play)
    fills = fills_by_ring(cell_order, cell_ring_start, places[-1], cell_node, cell_weight)
    nodes = Nodes(*(*places, *cell_maps, cell_play, *fills))
    near_rings = min(int(NEAR_M / RING_M), len(nodes.ring_start) - 1)
    return Layout(
        grid, hole, lattices, nodes, near_rings, len(nodes.x) - 1, grid.par, grid.number, conditions
    )


def _hole_arrays(grid: GroundGrid, conditions: Conditions) -> HoleArrays:
    roll_price = ROLL_PRICE.copy()
    roll_price[[Ground.GREEN, Ground.FRINGE]] /= conditions.green_speed_share
    hole = HoleArrays(
        np.ascontiguousarray(grid.ground),
        np.ascontiguousarray(grid.ground).ravel(),
        float(grid.origin_m[0]),
        float(grid.origin_m[1]),
        float(grid.cell_m),
        1.0 / float(grid.cell_m),
        float(grid.pin_m[0]),
        float(grid.pin_m[1]),
        conditions.run,
        conditions.short_run,
        RUN_SHARE,
        roll_price,
        np.zeros(grid.ground.size, dtype=np.uint8),
        air_on(grid, conditions),
    )
    map_surface(hole)
    return hole


@dataclass(frozen=True, slots=True)
class _Cells:
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    lie: NDArray[np.int8]
    distance: NDArray[np.float64]

    @classmethod
    def of(cls, grid: GroundGrid) -> _Cells:
        x_m, y_m = grid.cell_centres()
        lie_of = np.array([LIE_ON_GROUND[ground] for ground in Ground], dtype=np.int8)
        distance = np.hypot(x_m[None, :] - grid.pin_m[0], y_m[:, None] - grid.pin_m[1])
        x = np.broadcast_to(x_m[None, :], distance.shape)
        y = np.broadcast_to(y_m[:, None], distance.shape)
        return cls(x.ravel(), y.ravel(), lie_of[grid.ground].ravel(), distance.ravel())


@dataclass(frozen=True, slots=True)
class _LatticeNodes:
    shape: tuple[int, int, int]
    index: NDArray[np.int64]  #: flat places [layer, iy, ix] that hold a node
    x: NDArray[np.float64]
    y: NDArray[np.float64]

    @classmethod
    def over(
        cls, cells: _Cells, chosen: NDArray[np.bool_], x0: float, y0: float, step: float
    ) -> _LatticeNodes:
        """Nodes at the corners of every lattice square that holds a chosen cell of the lie."""
        columns = int((cells.x.max() - x0) / step) + 2
        rows = int((cells.y.max() - y0) / step) + 2
        wanted = np.zeros((len(_LIES), rows, columns), dtype=np.bool_)
        for layer, lie in enumerate(_LIES):
            held = chosen & (cells.lie == lie)
            ix = ((cells.x[held] - x0) / step).astype(np.int64)
            iy = ((cells.y[held] - y0) / step).astype(np.int64)
            square = np.zeros((rows, columns), dtype=np.bool_)
            square[iy, ix] = True
            wanted[layer] |= square
            wanted[layer, :, 1:] |= square[:, :-1]
            wanted[layer, 1:, :] |= square[:-1, :]
            wanted[layer, 1:, 1:] |= square[:-1, :-1]
        index = np.flatnonzero(wanted)
        _, iy, ix = np.unravel_index(index, wanted.shape)
        x_m, y_m = np.asarray(x0 + ix * step, np.float64), np.asarray(y0 + iy * step, np.float64)
        return cls(wanted.shape, index, x_m, y_m)

    def lies(self) -> NDArray[np.int8]:
        return (self.index // (self.shape[1] * self.shape[2]) + 1).astype(np.int8)

    def ids(self, numbers: NDArray[np.int64]) -> NDArray[np.int32]:
        table = np.full(int(np.prod(self.shape)), -1, dtype=np.int32)
        table[self.index] = numbers
        return table.reshape(self.shape)


def _in_order(
    coarse: _LatticeNodes, fine: _LatticeNodes, grid: GroundGrid
) -> tuple[tuple[NDArray[Any], ...], NDArray[np.int32], NDArray[np.int32]]:
    """All nodes by ring, the tee last; and the number of each lattice place's node."""
    x, y = np.concatenate([coarse.x, fine.x]), np.concatenate([coarse.y, fine.y])
    lies = np.concatenate([coarse.lies(), fine.lies()])
    ring = (np.hypot(x - grid.pin_m[0], y - grid.pin_m[1]) / RING_M).astype(np.int64)
    order = np.argsort(ring, kind="stable")
    number = np.empty(len(order), dtype=np.int64)
    number[order] = np.arange(len(order))
    tee_row = Lie.FAIRWAY if grid.par <= 3 else Lie.TEE
    rows = np.append(lies[order], np.int8(tee_row))
    reach = rows.astype(np.int64)
    reach[-1] = PAR_THREE_TEE if grid.par <= 3 else Lie.TEE
    n_rings = int(max(ring.max(), 0)) + 1
    starts = np.searchsorted(ring[order], np.arange(n_rings + 1))
    starts[-1] += 1  # the tee is solved last
    places = (
        np.append(x[order], grid.tee_m[0]),
        np.append(y[order], grid.tee_m[1]),
        rows.astype(np.int64),
        reach,
        starts.astype(np.int64),
    )
    split = len(coarse.index)
    return places, coarse.ids(number[:split]), fine.ids(number[split:])


def _cell_maps(hole: HoleArrays, lattices: Lattices, cells: _Cells, n_rings: int) -> tuple[NDArray[Any], ...]:
    """Cells that are interpolated, in order of distance, where their rings start, their nodes and weights."""
    node = np.zeros((cells.distance.size, 4), dtype=np.int32)
    weight = np.zeros((cells.distance.size, 4), dtype=np.float32)
    map_cells(hole, lattices, node, weight)
    filled = np.flatnonzero(weight.any(axis=1))
    ring = (cells.distance[filled] / RING_M).astype(np.uint16)
    order = np.argsort(ring, kind="stable")
    starts = np.searchsorted(ring[order], np.arange(n_rings + 1))
    return filled[order].astype(np.int64), starts.astype(np.int64), node, weight


def fills_by_ring(
    cell_order: NDArray[np.int64],
    cell_ring_start: NDArray[np.int64],
    ring_start: NDArray[np.int64],
    cell_node: NDArray[np.int32],
    cell_weight: NDArray[np.float32],
    active: NDArray[np.bool_] | None = None,
) -> tuple[NDArray[Any], ...]:
    """The four ``fill`` arrays of ``Nodes``: for ``active`` nodes to be valued many times, or for all now and then.

    A cell whose nodes all keep the value that it was written with need not be written again.
    """
    rings = np.arange(len(ring_start) - 1, dtype=np.int16)
    ring_of_node = np.repeat(rings, np.diff(ring_start))
    if active is not None:
        ring_of_node[~active] = -1
    starts = np.zeros(len(ring_start), dtype=np.int64)
    count_fills(cell_order, cell_ring_start, cell_node, cell_weight, ring_of_node, starts)
    order = np.empty(starts[-1], dtype=np.int32)
    list_fills(cell_order, cell_ring_start, cell_node, cell_weight, ring_of_node, starts.copy(), order)
    copied = (
        order[:0] if active is None else order
    )  # what is read in order is read twice as fast, but takes room
    return starts, order, cell_node[copied], cell_weight[copied]
