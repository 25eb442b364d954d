"""The plane of a hole on the plane that it was drawn on."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.course.geometry import Point
from rangework.course.local_plane import turned

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HolePlane:
    """Where the hole's origin lies on the drawn plane, and its +y, clockwise from that plane's."""

    origin: Point = (0.0, 0.0)
    turn_rad: float = 0.0

    def to_hole(self, points: Points) -> Points:
        """Points (..., 2) of the drawn plane on the hole's."""
        return turned(np.asarray(points) - np.asarray(self.origin), self.turn_rad)

    def to_drawn(self, points: Points) -> Points:
        """Points (..., 2) of the hole's plane on the drawn one."""
        return np.add(turned(np.asarray(points), -self.turn_rad), self.origin, dtype=np.float64)

    def point(self, place: Point) -> Point:
        """One point of the drawn plane on the hole's."""
        x, y = self.to_hole(np.asarray(place)).tolist()
        return (x, y)


#: A drawing on the hole's own plane.
SAME_PLANE = HolePlane()


def plane_of(line: Points) -> HolePlane:
    """The plane of the hole with this line of play (n, 2): its origin and first leg."""
    (x, y), (ahead_x, ahead_y) = line[:2].tolist()
    return HolePlane((x, y), math.atan2(ahead_x - x, ahead_y - y))
