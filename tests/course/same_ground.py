"""How alike the ground of two holes is, cell by cell."""

from __future__ import annotations

import numpy as np

from rangework.course import Hole, ground_grid

#: How far a cell may lie from one of its kind where an outline was rounded on its way through a file.
CELL_M = 1.0


def cells_apart(one: Hole, other: Hole, tee: str, pin: str) -> tuple[int, int]:
    """Cells of one hole's grid whose ground is not the other's, there and nowhere beside it; and all cells."""
    grid, second = ground_grid(one, tee, pin), ground_grid(other, tee, pin)
    x_m, y_m = np.meshgrid(*grid.cell_centres())
    apart = np.ones(grid.ground.shape, dtype=np.bool_)
    for right in (-CELL_M, 0.0, CELL_M):
        for forward in (-CELL_M, 0.0, CELL_M):
            apart &= second.ground_at(x_m + right, y_m + forward) != grid.ground
    return int(apart.sum()), grid.ground.size


def cells_differing(one: Hole, other: Hole, tee: str, pin: str) -> float:
    """The share of one hole's cells whose ground is not the other's."""
    grid, second = ground_grid(one, tee, pin), ground_grid(other, tee, pin)
    there = second.ground_at(*np.meshgrid(*grid.cell_centres()))
    return float(np.mean(there != grid.ground))
