"""What a drawing of a hole shows: its ground cut to a window, turned the way it is looked at."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from rangework.course.drawn_green import DrawnGreen, green_of
from rangework.course.geometry import Hole, Point
from rangework.course.ground_grid import PAINTING_ORDER
from rangework.course.local_plane import turned
from rangework.course.outlines import pieces
from rangework.lie import Ground

FloatArray = NDArray[np.float64]
#: left, near, right, far: metres on the plane of a view.
Window = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class View:
    """A plane to look at a hole on: ``origin`` (on the hole's plane) is (0, 0), ``up_rad`` points up the page."""

    origin: Point
    up_rad: float

    def seen(self, points_m: ArrayLike) -> FloatArray:
        """Points (..., 2) of the hole's plane on that of the view."""
        return turned(np.asarray(points_m, dtype=np.float64) - np.asarray(self.origin), self.up_rad)

    def point(self, place: Point) -> Point:
        """One point of the hole's plane on that of the view."""
        x, y = self.seen(np.asarray(place)).tolist()
        return x, y


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """Ground of one kind: the outline (n, 2) of a piece and those of the holes in it, metres on a view's plane."""

    ground: Ground
    rings: tuple[FloatArray, ...]


def view_from_tee(hole: Hole, tee: str) -> View:
    """The tee below, the middle of the green straight above it."""
    start, middle = hole.tees[tee], green_of(hole).middle
    return View(start, math.atan2(middle[0] - start[0], middle[1] - start[1]))


def view_of_green(hole: Hole) -> View:
    """The middle of the green at (0, 0), seen as the player arrives."""
    green = green_of(hole)
    return View(green.middle, green.arrival_rad)


def patches(hole: Hole, view: View, window: Window) -> list[Patch]:
    """The ground inside the window, in the order in which it is to be painted over rough."""
    frame = box(*window)
    shown = []
    for ground in PAINTING_ORDER:
        parts = [_seen(area.polygon, view) for area in hole.areas if area.ground is ground]
        whole = shapely.union_all([part.intersection(frame) for part in parts if part.intersects(frame)])
        shown += [Patch(ground, _rings(piece)) for piece in pieces(whole)]
    return shown


def green_outline(hole: Hole, view: View) -> FloatArray:
    """The outline (n, 2) of the hole's green."""
    outline: FloatArray = shapely.get_coordinates(_seen(green_of(hole).polygon, view).exterior)
    return outline


def line_ahead(hole: Hole, tee: str) -> FloatArray:
    """The line of play (n, 2) from a tee to the middle of the green, on the hole's plane."""
    line, start = LineString(hole.line), hole.tees[tee]
    passed_m = line.project(ShapelyPoint(start)) + 1.0
    along_m = np.array([line.project(ShapelyPoint(corner)) for corner in hole.line])
    ahead = hole.line[along_m > passed_m]
    return np.vstack([[start], ahead if len(ahead) else hole.line[-1:]])


@dataclass(frozen=True, slots=True)
class Trouble:
    """Sand or water in play off the tee or on the way.

    ``reach_m`` and ``past_m``: its nearest and its farthest place from the tee, as the crow flies; ``side`` is left,
    right, or across where it meets the line of play; ``place`` is a point of it on the view's plane.
    """

    ground: Ground
    side: str
    reach_m: float
    past_m: float
    place: Point
    area_m2: float


#: Sand and water are in play this near to the line, and belong to the green this near to its edge.
IN_PLAY_M, BY_THE_GREEN_M = 45.0, 27.0


def trouble(hole: Hole, tee: str, view: View) -> list[Trouble]:
    """Sand and water along the way from a tee to a green, nearest first."""
    line = LineString(view.seen(line_ahead(hole, tee)))
    start = ShapelyPoint(view.point(hole.tees[tee]))
    way = line.buffer(IN_PLAY_M, cap_style="flat")
    by_the_green = _seen(green_of(hole).polygon, view).buffer(BY_THE_GREEN_M)
    found = []
    for ground in (Ground.SAND, Ground.WATER):
        areas = [_seen(area.polygon, view) for area in hole.areas if area.ground is ground]
        whole = shapely.union_all(areas).intersection(way).difference(by_the_green)
        found += [_trouble(ground, piece, line, start) for piece in pieces(whole) if piece.area > 12.0]
    return sorted(found, key=lambda each: each.reach_m)


def _trouble(ground: Ground, piece: Polygon, line: LineString, start: ShapelyPoint) -> Trouble:
    corners = shapely.get_coordinates(piece)
    far_m = float(np.hypot(*(corners - shapely.get_coordinates(start)).T).max())
    middle = piece.representative_point()
    return Trouble(
        ground, _side(piece, line, middle), start.distance(piece), far_m, (middle.x, middle.y), piece.area
    )


def _side(piece: Polygon, line: LineString, middle: ShapelyPoint) -> str:
    if piece.intersects(line):
        return "across"
    along_m = line.project(middle)
    before, after = (line.interpolate(max(along_m + step, 0.0)) for step in (-1.0, 1.0))
    turn = (after.x - before.x) * (middle.y - before.y) - (after.y - before.y) * (middle.x - before.x)
    return "left" if turn > 0 else "right"


def on_and_across_m(green: DrawnGreen, place: Point) -> tuple[float, float, str]:
    """How far a place lies on to the green, and how far from the nearer side at that depth: metres, metres, side."""
    view = View(green.middle, green.arrival_rad)
    outline = _seen(green.polygon, view)
    (x, y), (left, front, right, _) = view.point(place), outline.bounds
    across = outline.intersection(LineString([(left - 1.0, y), (right + 1.0, y)]))
    from_left, _, from_right, _ = (left, 0.0, right, 0.0) if across.is_empty else across.bounds
    nearer_left = x - from_left <= from_right - x
    return y - front, (x - from_left if nearer_left else from_right - x), "left" if nearer_left else "right"


def _seen(shape: BaseGeometry, view: View) -> BaseGeometry:
    return shapely.transform(shape, view.seen)


def _rings(piece: Polygon) -> tuple[FloatArray, ...]:
    return tuple(shapely.get_coordinates(ring) for ring in (piece.exterior, *piece.interiors))
