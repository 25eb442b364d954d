"""A green of any outline, as mapped or drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from rangework.course.geometry import Hole, Point
from rangework.course.outlines import POSITIONS_DEG, OvalGreen, pieces
from rangework.lie import Ground

#: Corners this near to the farthest one are taken as one straight edge.
_LEVEL_M = 0.05


@dataclass(frozen=True)
class DrawnGreen:
    """A green by its outline, and the heading of the player who arrives.

    The middle is the outline's centre of area, or, where that lies near an edge or off the green, the place
    farthest from every edge.
    """

    polygon: Polygon
    arrival_rad: float
    fringe_m: float = 0.0

    @cached_property
    def middle(self) -> Point:
        """The middle of the green."""
        centre = self.polygon.centroid
        central = self.polygon.contains(centre) and self._edge_m(centre) >= 0.5 * self.room_m
        return (centre.x, centre.y) if central else (self._roomiest.x, self._roomiest.y)

    @property
    def room_m(self) -> float:
        """Distance from the edge of the place that is farthest from every edge."""
        return self._edge_m(self._roomiest)

    @property
    def width_m(self) -> float:
        """Extent across the player who arrives."""
        return self._extent_m(self.arrival_rad + math.pi / 2)

    @property
    def depth_m(self) -> float:
        """Extent along the player's way."""
        return self._extent_m(self.arrival_rad)

    def outline(self) -> Polygon:
        """The putting surface."""
        return self.polygon

    def edge(self, position: str, beyond_m: float) -> tuple[Point, float]:
        """The part of the edge farthest towards ``position``, moved ``beyond_m`` outwards, and the way it faces.

        Of a green without room for that, its middle.
        """
        facing_rad = self.arrival_rad + math.radians(POSITIONS_DEG[position])
        moved = self.polygon.buffer(beyond_m)
        return (self.middle if moved.is_empty else _farthest(moved, facing_rad)), facing_rad

    @cached_property
    def _roomiest(self) -> ShapelyPoint:
        left, low, right, high = self.polygon.bounds
        return polylabel(self.polygon, max(0.02 * max(right - left, high - low), 1e-6))

    def _edge_m(self, place: ShapelyPoint) -> float:
        return float(self.polygon.boundary.distance(place))

    def _extent_m(self, heading_rad: float) -> float:
        return float(np.ptp(_ahead_m(shapely.get_coordinates(self.polygon), heading_rad)))


#: What lies on and around a green is placed by either.
Green = OvalGreen | DrawnGreen


def green_of(hole: Hole) -> DrawnGreen:
    """The green at the end of a hole's line of play, as the player arrives there."""
    end = ShapelyPoint(hole.line[-1])
    greens = [area.polygon for area in hole.areas if area.ground is Ground.GREEN]
    return DrawnGreen(min(greens, key=end.distance), arrival_rad(hole.line))


def arrival_rad(line: np.ndarray) -> float:
    """The heading of the last leg of a line (n, 2)."""
    east, north = (line[-1] - line[-2]).tolist()
    return math.atan2(east, north)


def _farthest(shape: BaseGeometry, heading_rad: float) -> Point:
    """The place of a shape that lies farthest that way; the middle of the edge where an edge does."""
    polygon = max(
        pieces(shape), key=lambda piece: _ahead_m(shapely.get_coordinates(piece), heading_rad).max()
    )
    corners = shapely.get_coordinates(polygon.exterior)
    ahead_m = _ahead_m(corners, heading_rad)
    level = corners[ahead_m >= ahead_m.max() - _LEVEL_M]
    across_m = _ahead_m(level, heading_rad + math.pi / 2)
    ends = LineString([level[np.argmin(across_m)], level[np.argmax(across_m)]])
    middle = ends.centroid
    if polygon.distance(middle) > _LEVEL_M:  # two lobes reach equally far
        middle = ShapelyPoint(level[0])
    return (float(middle.x), float(middle.y))


def _ahead_m(points: np.ndarray, heading_rad: float) -> np.ndarray:
    ahead: np.ndarray = points @ np.array([math.sin(heading_rad), math.cos(heading_rad)])
    return ahead
