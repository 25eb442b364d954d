"""A course as plain data: every hole on a plane of its own, in metres.

The plane's origin is the hole's longest tee; +y points along the first leg of the line of play, +x to
the right of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from rangework.conditions import NEUTRAL, Conditions
from rangework.course.local_plane import Placement
from rangework.errors import Problem
from rangework.lie import Ground

#: x (right) and y (forward) on a hole's plane, metres.
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Area:
    """A piece of ground and its outline on the hole's plane, metres."""

    ground: Ground
    polygon: Polygon


@dataclass(frozen=True, slots=True)
class Rating:
    """Course rating (strokes) and slope rating of a tee set, as the rating body published them."""

    course_rating: float
    slope: int


@dataclass(frozen=True, slots=True)
class TeeSet:
    """A set of tees, with its ratings where they are known."""

    name: str
    men: Rating | None = None
    women: Rating | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Hole:
    """A hole on its own plane.

    ``line`` is the line of play as an (n, 2) array of points from the longest tee to the middle of the
    green; ``tees`` and ``pins`` give places by name. Where areas overlap, ``ground_grid`` says which
    one shows. ``placement`` is where on Earth the plane lies, None where the file does not say;
    ``stated_bearing_rad`` the bearing of its +y, clockwise from north, where only that is said. ``climb_m`` is how
    much higher than the tees the green lies.
    """

    number: int
    par: int
    stroke_index: int
    tees: dict[str, Point]
    pins: dict[str, Point]
    line: NDArray[np.float64]
    areas: tuple[Area, ...]
    placement: Placement | None = None
    stated_bearing_rad: float | None = None
    climb_m: float = 0.0

    @property
    def bearing_rad(self) -> float | None:
        """The bearing of the plane's +y, clockwise from north; None where it is not known."""
        return self.placement.bearing_rad if self.placement else self.stated_bearing_rad


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A course of 9 or 18 holes.

    ``assumptions`` tells in words what the file left open and how it was filled; ``warnings`` holds what
    looks odd and was used all the same. ``attribution`` says whose data it is, to be shown with what is
    made from them; empty where nobody need be named. ``conditions`` are those that it is played in (``on_a_day``).
    """

    name: str
    holes: tuple[Hole, ...]
    tees: tuple[TeeSet, ...]
    assumptions: tuple[str, ...] = ()
    warnings: tuple[Problem, ...] = ()
    attribution: str = ""
    conditions: Conditions = NEUTRAL
