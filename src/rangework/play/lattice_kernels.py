"""Nodes and cells: which node speaks for a place, and the raster of costs that nodes fill."""

from __future__ import annotations

import math

import numpy as np

from rangework.compiled import kernel, kernel_with
from rangework.play.flight_kernels import lie_on
from rangework.play.kernel_arrays import FRINGE, GREEN, IN_WATER, ON_GREEN, OUT_OF_BOUNDS, WATER


@kernel_with(inline="always")
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


@kernel
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


@kernel
def nearest_nodes(lattices, lie, x, y, found):
    """Write the number of the node nearest each of several places, see ``nearest_node``."""
    for k in range(found.shape[0]):
        found[k] = nearest_node(lattices, lie[k], x[k], y[k])


@kernel
def map_cells(hole, lattices, cell_node, cell_weight):
    """Write, for every cell whose cost is interpolated, the nodes it is read from and their weights.

    Weights sum to 1; they stay 0 on greens, where the ball may not be played, and where no node is near.
    """
    nx = hole.ground.shape[1]
    for cell in range(hole.flat.shape[0]):
        ground = hole.flat[cell]
        if ground >= WATER or ground == GREEN or ground == FRINGE:
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


@kernel_with(inline="always")
def news_for(cell_node, cell_weight, ring_of_node, cell, ring):
    """Whether a cell reads from a node of a ring."""
    news = False
    for corner in range(4):
        read = cell_weight[cell, corner] > 0.0
        news |= read and ring_of_node[cell_node[cell, corner]] == ring
    return news


@kernel
def count_fills(cell_order, cell_ring_start, cell_node, cell_weight, ring_of_node, starts):
    """Write how many fills come before each ring's, see ``Nodes``; ``ring_of_node`` is -1 for nodes without news."""
    rings = starts.shape[0] - 1
    for ring in range(rings):
        for k in range(cell_ring_start[ring], cell_ring_start[ring + 1]):
            starts[ring + 1] += 1
            for later in range(ring + 1, min(ring + 3, rings)):
                starts[later + 1] += news_for(cell_node, cell_weight, ring_of_node, cell_order[k], later)
    for ring in range(rings):
        starts[ring + 1] += starts[ring]


@kernel
def list_fills(cell_order, cell_ring_start, cell_node, cell_weight, ring_of_node, places, fill_order):
    """Write the cells of each ring's fills; ``places``: where each ring's next one stands, at first its start."""
    rings = places.shape[0] - 1
    for ring in range(rings):
        for k in range(cell_ring_start[ring], cell_ring_start[ring + 1]):
            fill_order[places[ring]] = cell_order[k]
            places[ring] += 1
            for later in range(ring + 1, min(ring + 3, rings)):
                if news_for(cell_node, cell_weight, ring_of_node, cell_order[k], later):
                    fill_order[places[later]] = cell_order[k]
                    places[later] += 1


@kernel
def map_plays(hole, cell_node, cell_weight, n_nodes, cell_play):
    """Write, for every cell, whose target a ball in it uses: that of the node nearest its middle.

    Where no node is near, numbers from ``n_nodes`` on stand for a shot straight at the pin from each lie.
    """
    for cell in range(hole.flat.shape[0]):
        ground = hole.flat[cell]
        if ground == GREEN or ground == FRINGE:
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


@kernel
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


@kernel
def map_surface(hole):
    """Write ``hole.surface``."""
    clearance = np.empty(hole.ground.shape, np.uint8)
    measure_clearance(hole, clearance)
    for cell in range(hole.flat.shape[0]):
        clear = min(int(clearance.ravel()[cell] * hole.cell), 31)
        hole.surface[cell] = hole.flat[cell] + 8 * clear


@kernel_with(inline="always")
def interpolated(node, weight, k, value):
    """The value that nodes ``node[k]`` make with weights ``weight[k]``."""
    total = 0.0
    for corner in range(4):
        total += weight[k, corner] * value[node[k, corner]]
    return total


@kernel
def fill_cells(nodes, value, first, last, cost):
    """Write the cost of cells ``first`` to ``last`` (in order of distance) from the nodes' values."""
    flat_cost = cost.ravel()
    for k in range(first, last):
        cell = nodes.cell_order[k]
        flat_cost[cell] = interpolated(nodes.cell_node, nodes.cell_weight, cell, value)


@kernel
def fill_ring(nodes, value, ring, cost):
    """Write the cost of the cells that the values of a ring's nodes are news for."""
    flat_cost = cost.ravel()
    first, last = nodes.fill_start[ring], nodes.fill_start[ring + 1]
    if nodes.fill_node.shape[0] > 0:
        for k in range(first, last):
            flat_cost[nodes.fill_order[k]] = interpolated(nodes.fill_node, nodes.fill_weight, k, value)
    else:
        for k in range(first, last):
            cell = nodes.fill_order[k]
            flat_cost[cell] = interpolated(nodes.cell_node, nodes.cell_weight, cell, value)
