"""Lines on which a raster has one level: closed polygons around the places above it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
_Edge = tuple[int, int, int]

#: For each pattern of corners above the level (bits: this, right, diagonal, next row), the edges that a line goes from
#: and to, the places above on its left. Edges: 0 this row, 1 right, 2 next row, 3 left.
_PIECES: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),), 2: ((1, 0),), 3: ((1, 3),), 4: ((2, 1),), 5: ((0, 3), (2, 1)), 6: ((2, 0),), 7: ((2, 3),),
    8: ((3, 2),), 9: ((0, 2),), 10: ((1, 0), (3, 2)), 11: ((1, 2),), 12: ((3, 1),), 13: ((0, 1),), 14: ((3, 0),),
}  # fmt: skip


def level_lines(values: FloatArray, level: float) -> list[FloatArray]:
    """Closed lines (n, 2) of (column, row) where ``values[row, column]``, read in between, passes ``level``.

    The last point is the first again. Ground beyond the raster counts as below the level, so that every line closes.
    """
    padded = np.full(np.add(values.shape, 2), -np.inf)
    padded[1:-1, 1:-1] = values
    following = dict(_pieces(padded > level))
    lines = []
    while following:
        start, edge = following.popitem()
        line = [start, edge]
        while edge != start:
            edge = following.pop(edge)
            line.append(edge)
        lines.append(np.array([_crossing(padded, level, each) for each in line]) - 1.0)
    return sorted(lines, key=len, reverse=True)


def _pieces(above: NDArray[np.bool_]) -> Iterator[tuple[_Edge, _Edge]]:
    """Every piece of a line within a square of four places, from one edge of it to another."""
    bits = above.astype(np.int64)
    pattern = bits[:-1, :-1] + 2 * bits[:-1, 1:] + 4 * bits[1:, 1:] + 8 * bits[1:, :-1]
    for row, column in np.argwhere((pattern > 0) & (pattern < 15)).tolist():
        for first, last in _PIECES[int(pattern[row, column])]:
            yield _edge(row, column, first), _edge(row, column, last)


def _edge(row: int, column: int, side: int) -> _Edge:
    """An edge by the place it starts from and whether it runs along a row (0) or a column (1)."""
    return (row + (side == 2), column + (side == 1), side % 2)


def _crossing(values: FloatArray, level: float, edge: _Edge) -> tuple[float, float]:
    """Where the level lies on an edge: (column, row)."""
    row, column, along = edge
    first, last = values[row, column], values[row + (along == 1), column + (along == 0)]
    share = 0.5 if not np.isfinite(first + last) else float((level - first) / (last - first))
    return (column + share * (along == 0), row + share * (along == 1))
