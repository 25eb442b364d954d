"""A hole of a map while it is put together, on the plane of its course."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.ops import substring

from rangework.course.findings import Findings
from rangework.course.geometry import Point
from rangework.course.line_of_play import length_from
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.chosen_course import ChosenHole
from rangework.course.maps.features import MapFeature
from rangework.course.maps.tags import tee_names
from rangework.units import YARD_M

#: Shortest and longest line of play, as for courses written by hand.
SHORTEST_M, LONGEST_M = 40 * YARD_M, 900 * YARD_M
#: Corners of a line of play that change it by less than this are left out.
SMOOTH_M = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class TeePlace:
    """A tee of a hole: the names it goes by, if any, where it is, and its height in metres, nan where not known."""

    names: tuple[str, ...]
    place: Point
    height_m: float = math.nan


@dataclass(frozen=True, slots=True, eq=False)
class HoleSketch:
    """What is known of a hole so far.

    ``line`` (n, 2) runs from a tee to the green. ``green`` is the polygon it ends on (None where none is mapped),
    ``pin_ground`` that part of it which is this hole's, where a green serves two. ``starts`` are tees that other
    lines to the same green begin at.
    """

    number: int
    feature: MapFeature
    line: NDArray[np.float64]
    starts: tuple[TeePlace, ...] = ()
    green: Polygon | None = None
    pin_ground: Polygon | None = None
    tees: tuple[TeePlace, ...] = ()
    pins: Mapping[str, Point] = field(default_factory=dict)

    @property
    def place(self) -> str:
        """How the hole is named in messages, with its place in the file."""
        return f"hole {self.number} ({self.feature.place})"

    @property
    def path(self) -> LineString:
        """The line of play as a shape."""
        return LineString(self.line)

    @property
    def end(self) -> ShapelyPoint:
        """Where the line of play ends."""
        return ShapelyPoint(self.line[-1])

    def length_from(self, place: Point) -> float:
        """How far it is from a place near the beginning to the end, by the corners ahead."""
        return length_from(self.line, place)


def sketch_hole(hole: ChosenHole, plane: LocalPlane, findings: Findings) -> HoleSketch:
    """The hole with its line of play; one of an impossible length is a problem."""
    line = _corners(plane, hole)
    length_m = float(np.hypot(*np.diff(line, axis=0).T).sum()) if len(line) > 1 else 0.0
    feature = hole.line.feature
    if not SHORTEST_M <= length_m <= LONGEST_M:
        expected = f"a line of play of {SHORTEST_M:.0f} to {LONGEST_M:.0f} m"
        remedy = "Redraw it on the map, from tee to green."
        findings.problem(f"hole {hole.number} ({feature.place})", f"{length_m:.0f} m", expected, remedy)
        line = np.array([[0.0, 0.0], [0.0, 300.0]])
    starts = [
        TeePlace(tee_names(other.feature.tags), _point(plane.to_plane(other.positions[0])))
        for other in hole.others
    ]
    return HoleSketch(hole.number, feature, line, tuple(starts))


def cut_at(line: NDArray[np.float64], green: Polygon) -> NDArray[np.float64]:
    """The line up to where it first meets a green, without its last corner where it never does."""
    path = LineString(line)
    met = path.intersection(green)
    if met.is_empty:
        return line[:-1]
    entry_m = min(path.project(ShapelyPoint(corner)) for corner in shapely.get_coordinates(met))
    kept = np.array(substring(path, 0.0, max(entry_m, 0.0)).coords)
    # the edge of the green is no corner of the line of play
    return kept[:-1] if len(kept) > 1 else kept[:1]


def _corners(plane: LocalPlane, hole: ChosenHole) -> NDArray[np.float64]:
    points = plane.to_plane(hole.line.positions)
    return np.array(LineString(points).simplify(SMOOTH_M).coords) if len(points) > 1 else points


def _point(point: NDArray[np.float64]) -> Point:
    return (float(point[0]), float(point[1]))
