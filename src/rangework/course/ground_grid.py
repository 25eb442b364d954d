"""A hole as a grid of ground, ready for numerical kernels.

Areas are painted over rough in this order, a later kind over an earlier one::

    trees, fairway, fringe, sand, water, green, out of bounds

so a mown strip between trees is fairway, a bunker cut into the fringe is sand, an island green stands in
its water, and out of bounds rules over all. Within one kind the order does not matter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from difflib import get_close_matches

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import MultiPoint, Polygon

from rangework.course.geometry import Hole, Point
from rangework.course.local_plane import turned
from rangework.course.pin_places import pin_place
from rangework.errors import InputError, Problem
from rangework.lie import Ground

#: Later kinds cover earlier ones; everything else is rough.
PAINTING_ORDER = (
    Ground.TREES,
    Ground.FAIRWAY,
    Ground.FRINGE,
    Ground.SAND,
    Ground.WATER,
    Ground.GREEN,
    Ground.OUT,
)

#: Ground kept around the hole: behind the tee and beyond the green, and on either side. Ground farther
#: away is taken to be that of the nearest cell of the border.
END_MARGIN_M = 40.0
SIDE_MARGIN_M = 60.0
#: What is cut to a grid's extent keeps this much more, so that no border cell is cut.
SPARE_M = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class GroundGrid:
    """The ground of a hole in square cells, seen from one tee towards one pin.

    The grid's plane has the tee at (0, 0), +y towards the pin and +x to the right. ``ground[iy, ix]``
    (uint8, values of ``Ground``) covers ``x0 + ix * cell_m`` to ``x0 + (ix + 1) * cell_m`` with
    ``(x0, y0) = origin_m``, likewise in y, and is what lies under the cell's centre. Beyond the grid the
    nearest cell of its border rules. ``hole_tee_m`` and ``turn_rad`` place the grid on the hole's plane.
    ``bearing_rad`` is the pin's from the tee, clockwise from north, None where it is not known; ``climb_m`` how
    much higher than the tee the green lies.
    """

    ground: NDArray[np.uint8]
    origin_m: Point
    cell_m: float
    tee_m: Point
    pin_m: Point
    number: int
    par: int
    hole_tee_m: Point = (0.0, 0.0)
    turn_rad: float = 0.0
    bearing_rad: float | None = None
    climb_m: float = 0.0

    def from_hole(self, points_m: ArrayLike) -> NDArray[np.float64]:
        """Points (..., 2) of the hole's plane on the grid's plane."""
        moved = np.asarray(points_m, dtype=np.float64) - np.asarray(self.hole_tee_m)
        return turned(moved, self.turn_rad)

    def to_hole(self, points_m: ArrayLike) -> NDArray[np.float64]:
        """Points (..., 2) of the grid's plane on the hole's plane."""
        about_tee = turned(np.asarray(points_m, dtype=np.float64), -self.turn_rad)
        return np.add(about_tee, self.hole_tee_m, dtype=np.float64)

    def ground_at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.uint8]:
        """The ground at points of the grid's plane, the border's beyond the grid."""
        rows, columns = self.ground.shape
        ix = np.floor((np.asarray(x_m) - self.origin_m[0]) / self.cell_m).astype(np.int64)
        iy = np.floor((np.asarray(y_m) - self.origin_m[1]) / self.cell_m).astype(np.int64)
        found: NDArray[np.uint8] = self.ground[np.clip(iy, 0, rows - 1), np.clip(ix, 0, columns - 1)]
        return found

    def cell_centres(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """x of every column and y of every row, at the middle of the cells."""
        rows, columns = self.ground.shape
        x_m = self.origin_m[0] + self.cell_m * (np.arange(columns, dtype=np.float64) + 0.5)
        y_m = self.origin_m[1] + self.cell_m * (np.arange(rows, dtype=np.float64) + 0.5)
        return x_m, y_m


def ground_grid(hole: Hole, tee: str, pin: str, *, cell_m: float = 1.0) -> GroundGrid:
    """The hole's ground as seen from ``tee`` towards ``pin``.

    A pin is told as ``course.pin_places`` says: a name of the hole's own, a place that any green has, paces, or
    coordinates. Raises InputError when the hole has no such tee or pin.
    """
    tee_at = _tee_place(hole, tee)
    empty = _empty_grid(hole, tee_at, pin_place(hole, pin), cell_m)
    _paint(empty, hole)
    return empty


def _tee_place(hole: Hole, name: str) -> Point:
    if name in hole.tees:
        return hole.tees[name]
    near = get_close_matches(name, hole.tees, n=1)
    remedy = f"Did you mean {near[0]!r}?" if near else ""
    expected = "one of " + ", ".join(hole.tees)
    raise InputError(Problem("course", f"tee of hole {hole.number}", name, expected, remedy))


def shown_region(hole: Hole) -> Polygon:
    """The part of the hole's plane that the grid from any of its tees to any of its pins can show."""
    corners = [_corners(hole, tee, pin) for tee in hole.tees.values() for pin in hole.pins.values()]
    return MultiPoint(np.concatenate(corners)).convex_hull


def _corners(hole: Hole, tee: Point, pin: Point) -> NDArray[np.float64]:
    """Corners (4, 2), on the hole's plane, around what the grid from this tee to this pin keeps."""
    turn_rad = _heading_rad(tee, pin)
    low, high = _extent(hole, tee, turn_rad)
    (left, near), (right, far) = low - SPARE_M, high + SPARE_M
    corners = np.array([[left, near], [right, near], [right, far], [left, far]])
    return np.add(turned(corners, -turn_rad), tee, dtype=np.float64)


def _empty_grid(hole: Hole, tee: Point, pin: Point, cell_m: float) -> GroundGrid:
    """All rough, turned so that the pin lies straight ahead, with its margins."""
    turn_rad = _heading_rad(tee, pin)
    low, high = _extent(hole, tee, turn_rad)
    low, high = np.floor(low / cell_m), np.ceil(high / cell_m)
    columns, rows = (high - low).astype(int)
    return GroundGrid(
        ground=np.zeros((rows, columns), dtype=np.uint8),
        origin_m=(float(low[0] * cell_m), float(low[1] * cell_m)),
        cell_m=cell_m,
        tee_m=(0.0, 0.0),
        pin_m=(0.0, math.dist(tee, pin)),
        number=hole.number,
        par=hole.par,
        hole_tee_m=tee,
        turn_rad=turn_rad,
        bearing_rad=None if hole.bearing_rad is None else hole.bearing_rad + turn_rad,
        climb_m=hole.climb_m,
    )


def _heading_rad(tee: Point, pin: Point) -> float:
    return math.atan2(pin[0] - tee[0], pin[1] - tee[1])


def _extent(hole: Hole, tee: Point, turn_rad: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest x and y, from the tee on axes turned to the pin, of what the grid keeps."""
    kept = turned(_played_points(hole, tee) - np.asarray(tee), turn_rad)
    margin = np.array([SIDE_MARGIN_M, END_MARGIN_M])
    return kept.min(axis=0) - margin, kept.max(axis=0) + margin


def _played_points(hole: Hole, tee: Point) -> NDArray[np.float64]:
    """What the margins surround: the tee, the corners of the line ahead of it, and the green."""
    nearest = int(np.argmin(np.hypot(*(hole.line - np.asarray(tee)).T)))
    ahead = hole.line[nearest:]
    greens = [shapely.get_coordinates(area.polygon) for area in hole.areas if area.ground is Ground.GREEN]
    return np.vstack([np.asarray([tee]), ahead, *greens])


def _paint(grid: GroundGrid, hole: Hole) -> None:
    x_m, y_m = grid.cell_centres()
    for ground in PAINTING_ORDER:
        for area in hole.areas:
            if area.ground is ground:
                outline = shapely.transform(area.polygon, grid.from_hole)
                _fill(grid.ground, x_m, y_m, outline, ground)


def _fill(
    cells: NDArray[np.uint8],
    x_m: NDArray[np.float64],
    y_m: NDArray[np.float64],
    outline: Polygon,
    ground: Ground,
) -> None:
    """Set the cells whose centres lie inside the outline; only its bounding box is looked at."""
    left, near, right, far = outline.bounds
    columns = slice(*np.searchsorted(x_m, [left, right]))
    rows = slice(*np.searchsorted(y_m, [near, far]))
    shapely.prepare(outline)
    inside = shapely.contains_xy(outline, x_m[None, columns], y_m[rows, None])
    cells[rows, columns][inside] = ground
