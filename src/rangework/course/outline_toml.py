"""Places and outlines that a course file gives by points, ``[[right, forward], ...]``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from rangework.course.findings import Table
from rangework.course.geometry import Point
from rangework.course.hole_plane import HolePlane
from rangework.course.outlines import SMALL_LOOP, mended, pieces

#: No point of a hole lies farther than this from the origin of its drawing.
FARTHEST_M = 20_000.0

_PAIR = "a point as [right, forward]"
_PAIRS = "points as [[right, forward], [right, forward], ...]"


def read_points(table: Table, key: str, least: int) -> NDArray[np.float64] | None:
    """Points (n, 2) in metres under ``key`` with its unit; None where not given, or not given rightly."""
    found = table.length_key(key)
    if found is None:
        return None
    name, unit_m = found
    points = _points(table.value(name), unit_m, least)
    if points is None:
        table.findings.problem(table.at(name), None, f"{least} or more {_PAIRS}")
    return points


def read_point(table: Table, key: str) -> Point | None:
    """One point in metres under ``key`` with its unit; None where not given, or not given rightly."""
    found = table.length_key(key)
    if found is None:
        return None
    name, unit_m = found
    points = _points([table.value(name)], unit_m, 1)
    if points is None:
        table.findings.problem(table.at(name), None, _PAIR)
        return None
    return (float(points[0, 0]), float(points[0, 1]))


def read_named_points(table: Table, key: str) -> dict[str, Point] | None:
    """Points by name in metres, ``{ back = [0, 0] }``; None where the key is not given."""
    found = table.length_key(key)
    if found is None:
        return None
    name, unit_m = found
    value = table.value(name)
    entries = value if isinstance(value, Mapping) else {}
    places = {}
    for each, given in entries.items():
        points = _points([given], unit_m, 1)
        if points is None:
            table.findings.problem(f"{table.at(name)}.{each}", None, _PAIR)
        else:
            places[each] = (float(points[0, 0]), float(points[0, 1]))
    if not entries:
        table.findings.problem(table.at(name), None, "points by name, { back = [0, 0] }")
    return places


def read_outline(table: Table, plane: HolePlane) -> list[Polygon] | None:
    """The polygons of ``outline`` less those of ``without``, on the hole's plane; None where none is given."""
    outline = read_points(table, "outline", 3)
    if outline is None:
        if table.length_key("outline"):
            return []
        return None
    found = table.length_key("without")
    rings = table.value(found[0]) if found else []
    inner = (
        [_points(each, found[1] if found else 1.0, 3) for each in rings]
        if isinstance(rings, list)
        else [None]
    )
    holes = [each for each in inner if each is not None]
    if len(holes) < len(inner):
        table.findings.problem(table.at("without_m"), None, f"a list of outlines, each of {_PAIRS}")
        return []
    (shape, loop), *without = [mended(Polygon(ring)) for ring in (outline, *holes)]
    if not shape or loop > SMALL_LOOP or any(hole_loop > SMALL_LOOP for _, hole_loop in without):
        table.findings.problem(table.at("outline_m"), None, "an outline that does not cross itself")
        return []
    ground = shapely.union_all(shape).difference(
        shapely.union_all([each for sound, _ in without for each in sound])
    )
    return [shapely.transform(piece, plane.to_hole) for piece in pieces(ground)]


def _points(value: Any, unit_m: float, least: int) -> NDArray[np.float64] | None:
    if not isinstance(value, list) or len(value) < least:
        return None
    sound = all(
        isinstance(pair, list)
        and len(pair) == 2
        and all(type(each) in (int, float) and abs(each) * unit_m <= FARTHEST_M for each in pair)
        for pair in value
    )
    return np.array(value, dtype=np.float64) * unit_m if sound else None
