"""Outlines of greens and of what lies about them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from rangework.course.geometry import Point
from rangework.course.line_of_play import offset_point

#: Where things lie on or around a green, as the player arrives: degrees clockwise from straight behind it.
POSITIONS_DEG = {
    "back": 0.0,
    "back-right": 45.0,
    "right": 90.0,
    "front-right": 135.0,
    "front": 180.0,
    "front-left": 225.0,
    "left": 270.0,
    "back-left": 315.0,
}

_OVAL_POINTS = 96


@dataclass(frozen=True, slots=True)
class OvalGreen:
    """An oval green: its middle, the heading of the player who arrives, and its turn against it.

    Without a turn, width lies across the line of play and depth along it; angles are clockwise.
    """

    middle: Point
    arrival_rad: float
    turn_rad: float
    width_m: float
    depth_m: float
    fringe_m: float

    @property
    def room_m(self) -> float:
        """Half the shorter axis."""
        return min(self.width_m, self.depth_m) / 2

    def outline(self) -> Polygon:
        """The putting surface."""
        return oval(self.middle, self.arrival_rad + self.turn_rad, self.width_m, self.depth_m)

    def edge(self, position: str, beyond_m: float) -> tuple[Point, float]:
        """Where the green's edge faces ``position``, moved ``beyond_m`` outwards, and the way it faces.

        For an ellipse with half axes a, b the edge with outward normal n is at
        (a^2 n_x, b^2 n_y) / sqrt(a^2 n_x^2 + b^2 n_y^2).
        """
        facing_rad = math.radians(POSITIONS_DEG[position]) - self.turn_rad
        right, forward = math.sin(facing_rad), math.cos(facing_rad)
        a, b = self.width_m / 2, self.depth_m / 2
        reach = math.hypot(a * right, b * forward)
        own_right = a * a * right / reach + beyond_m * right
        own_forward = b * b * forward / reach + beyond_m * forward
        heading_rad = self.arrival_rad + self.turn_rad
        place = offset_point(self.middle, heading_rad, own_right, own_forward)
        return place, heading_rad + facing_rad


def oval(middle: Point, heading_rad: float, width_m: float, length_m: float) -> Polygon:
    """An ellipse, ``length_m`` along its heading and ``width_m`` across it."""
    angles = [2.0 * math.pi * k / _OVAL_POINTS for k in range(_OVAL_POINTS)]
    return Polygon(
        offset_point(middle, heading_rad, width_m / 2 * math.sin(t), length_m / 2 * math.cos(t))
        for t in angles
    )


def ring(inside: Polygon, gap_m: float, width_m: float) -> Polygon:
    """Ground around an outline, from ``gap_m`` to ``gap_m + width_m`` off it."""
    return inside.buffer(gap_m + width_m).difference(inside.buffer(gap_m))


def rounded(shape: BaseGeometry, radius_m: float) -> BaseGeometry:
    """The shape with its outward corners rounded; the shape itself where it is too thin for that."""
    opened = shape.buffer(-radius_m).buffer(radius_m)
    return shape if opened.is_empty else opened


#: An outline that crosses itself is used where the loops that this cuts off are smaller than this share.
SMALL_LOOP = 0.02


def mended(outline: Polygon) -> tuple[list[Polygon], float]:
    """The polygons of an outline that may cross itself, and the share of their area that its loops distort.

    A ring that crosses itself turns round part of its ground the wrong way: the area by its corners is less.
    """
    if outline.is_valid:
        return pieces(outline), 0.0
    sound = pieces(shapely.make_valid(outline))
    area = sum(piece.area for piece in sound)
    return sound, abs(area - outline.area) / max(area, 1e-9)


def pieces(shape: BaseGeometry) -> list[Polygon]:
    """The polygons that a shape consists of."""
    parts = shapely.get_parts(shapely.get_parts(shape)).tolist()
    return [part for part in parts if isinstance(part, Polygon) and part.area > 0]
