"""The line of play: how a hole runs from its longest tee to the middle of its green.

Places are told by two lengths: how far along the line, and how far to the right of it. Behind the tee and
beyond the green the line runs straight on.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon, box
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import split, substring

from rangework.course.geometry import Point

Side = Literal["left", "right", "both"]

#: Straight run added at both ends so that areas may reach past tee and green.
RUN_ON_M = 1000.0

#: How far from the line its left and right are told apart; RUN_ON_M must exceed sqrt(2) times this.
REACH_M = 450.0

#: Chords that stand for a gradual bend.
BEND_CHORDS = 8


@dataclass(frozen=True, slots=True)
class Bend:
    """A change of heading, clockwise positive, at once or evenly between two lengths along the line."""

    from_m: float
    to_m: float
    turn_rad: float


@dataclass(frozen=True, slots=True, eq=False)
class LineOfPlay:
    """The line's corners (n, 2), from tee to green, and the same line run on at both ends."""

    points: NDArray[np.float64]
    length_m: float
    extended: LineString = field(repr=False)

    def place(self, along_m: float, right_m: float = 0.0) -> Point:
        """The point so far along the line and so far to its right."""
        heading_rad = self.heading_rad(along_m)
        on_line = self.extended.interpolate(along_m + RUN_ON_M)
        return offset_point((on_line.x, on_line.y), heading_rad, right_m, 0.0)

    def heading_rad(self, along_m: float) -> float:
        """The line's direction there, clockwise from the first leg's; at a corner that of the leg ahead."""
        legs = np.diff(self.points, axis=0)
        ends_m = np.cumsum(np.hypot(legs[:, 0], legs[:, 1]))
        leg = min(int(np.searchsorted(ends_m, along_m, side="right")), len(legs) - 1)
        return math.atan2(legs[leg, 0], legs[leg, 1])

    def band(self, from_m: float, to_m: float, width_m: float) -> Polygon:
        """Ground on both sides of the line, ``width_m`` across in all, with square ends."""
        piece = substring(self.extended, from_m + RUN_ON_M, to_m + RUN_ON_M)
        return piece.buffer(width_m / 2, cap_style="flat")

    def strip(self, from_m: float, to_m: float, offset_m: float, width_m: float, side: Side) -> BaseGeometry:
        """Ground from ``offset_m`` to ``offset_m + width_m`` off the line, on one side or both."""
        outer = self.band(from_m, to_m, 2 * (offset_m + width_m))
        beside = outer.difference(self.extended.buffer(offset_m)) if offset_m > 0 else outer
        return beside if side == "both" else beside.intersection(self._side(side))

    def crosses_itself(self) -> bool:
        """Whether the line, run on, meets itself."""
        return not self.extended.is_simple

    def _side(self, side: Side) -> Polygon:
        left, near, right, far = LineString(self.points).bounds
        around = box(left - REACH_M, near - REACH_M, right + REACH_M, far + REACH_M)
        beside_tee = ShapelyPoint(1.0, 1.0 - REACH_M)
        halves = split(around, self.extended).geoms
        return next(half for half in halves if half.contains(beside_tee) == (side == "right"))


def line_of_play(length_m: float, bends: Sequence[Bend] = ()) -> LineOfPlay:
    """The line of a hole of this length with these bends, which must lie in order within it."""
    points = [(0.0, 0.0)]
    along_m = heading_rad = 0.0
    for heading_rad, to_m in _legs(length_m, bends):
        if to_m > along_m:
            points.append(offset_point(points[-1], heading_rad, 0.0, to_m - along_m))
            along_m = to_m
    return line_through(np.array(points))


def line_through(points_m: NDArray[np.float64]) -> LineOfPlay:
    """The line through corners (n, 2), neighbours apart, on a plane on which it starts at (0, 0) towards +y."""
    legs = np.diff(points_m, axis=0)
    lengths_m = np.hypot(*legs.T)
    beyond = points_m[-1] + legs[-1] / lengths_m[-1] * RUN_ON_M
    return LineOfPlay(
        points_m, float(lengths_m.sum()), LineString([(0.0, -RUN_ON_M), *points_m.tolist(), beyond.tolist()])
    )


def length_from(line_m: NDArray[np.float64], place: Point) -> float:
    """How far it is from a place near the beginning of a line (n, 2) to its end, by the corners ahead."""
    along_m = np.array([0.0, *np.cumsum(np.hypot(*np.diff(line_m, axis=0).T))])
    ahead = along_m > LineString(line_m).project(ShapelyPoint(place)) + 1.0
    following = int(np.argmax(ahead)) if ahead.any() else len(line_m) - 1
    to_corner = float(np.hypot(*(line_m[following] - np.asarray(place))))
    return to_corner + float(along_m[-1] - along_m[following])


def _legs(length_m: float, bends: Sequence[Bend]) -> Iterator[tuple[float, float]]:
    """Heading of every straight piece, and where along the line it ends."""
    heading_rad = 0.0
    for bend in bends:
        yield heading_rad, bend.from_m
        for chord in range(BEND_CHORDS if bend.to_m > bend.from_m else 0):
            turned = bend.turn_rad * (chord + 0.5) / BEND_CHORDS
            yield heading_rad + turned, bend.from_m + (bend.to_m - bend.from_m) * (chord + 1) / BEND_CHORDS
        heading_rad += bend.turn_rad
    yield heading_rad, length_m


def offset_point(start: Point, heading_rad: float, right_m: float, forward_m: float) -> Point:
    """A point so far right and forward of ``start``, for someone facing ``heading_rad``."""
    cos, sin = math.cos(heading_rad), math.sin(heading_rad)
    return (start[0] + right_m * cos + forward_m * sin, start[1] - right_m * sin + forward_m * cos)
