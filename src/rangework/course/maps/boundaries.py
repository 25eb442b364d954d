"""What lies beyond lines on a map: out of bounds, and the sea."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from rangework.course.outlines import pieces

#: Boundaries are followed in steps of this length, out to this distance.
STEP_M, REACH_M = 5.0, 600.0


def beyond(boundary: BaseGeometry, path: LineString) -> BaseGeometry:
    """The ground that a boundary hides from a line of play which does not cross it.

    A place is hidden where the way to it, from the nearest place of the line of play, crosses the boundary.
    """
    ahead = [hidden for line in shapely.get_parts(boundary).tolist() for hidden in _strips(line, path)]
    # nothing nearer than the boundary itself is beyond it
    nearer = path.buffer(0.999 * boundary.distance(path))
    return shapely.union_all(ahead).difference(nearer) if ahead else Polygon()


def _strips(line: BaseGeometry, path: LineString) -> list[BaseGeometry]:
    """The hidden ground behind every step of the boundary."""
    points = shapely.get_coordinates(shapely.segmentize(line, STEP_M))
    along = shapely.line_locate_point(path, shapely.points(points))
    nearest = shapely.get_coordinates(shapely.line_interpolate_point(path, along))
    outward = points - nearest
    far = points + REACH_M * outward / np.maximum(np.hypot(*outward.T), 1e-9)[:, None]
    corners = np.stack([points[:-1], points[1:], far[1:], far[:-1]], axis=1)
    strips = shapely.make_valid(shapely.polygons(corners))
    return [piece for strip in strips.tolist() for piece in pieces(strip)]


def sea(coast: Sequence[NDArray[np.float64]], around: BaseGeometry) -> MultiPolygon:
    """The water on the right of coastlines (natural=coastline) within the bounds of ``around``.

    Empty where the coastlines do not part these bounds in two.
    """
    lines = [shapely.segmentize(LineString(line), STEP_M) for line in coast if len(line) > 1]
    if not lines:
        return MultiPolygon()
    bounds = box(*around.bounds)
    faces = pieces(shapely.polygonize(shapely.get_parts(shapely.union_all([*lines, bounds.boundary]))))
    steps = np.concatenate([_steps(line) for line in lines])
    middle, run = steps.mean(axis=1), steps[:, 1] - steps[:, 0]
    right = np.stack([run[:, 1], -run[:, 0]], axis=1) / np.maximum(np.hypot(*run.T), 1e-9)[:, None]
    tree = shapely.STRtree(faces)
    votes: Counter[int] = Counter()
    for side in (1, -1):
        _, hit = tree.query(shapely.points(middle + 0.5 * side * right), predicate="within")
        for face in hit.tolist():
            votes[face] += side
    return MultiPolygon([face for index, face in enumerate(faces) if votes[index] > 0])


def _steps(line: LineString) -> NDArray[np.float64]:
    """Both ends of every step of a line (n, 2, 2)."""
    points = shapely.get_coordinates(line)
    return np.stack([points[:-1], points[1:]], axis=1)
