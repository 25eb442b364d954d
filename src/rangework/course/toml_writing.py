"""A course as a TOML file of outlines, which reads back as the same ground."""

from __future__ import annotations

import json
import math
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from rangework.course.geometry import Area, Course, Hole, Point, TeeSet
from rangework.course.pin_words import LEAST_EDGE_M
from rangework.course.written_areas import lasting_assumptions, written_areas
from rangework.lie import Ground

WIDTH = 110
#: Keys of the lists of outlines; the green has a table of its own.
KEYS = {
    Ground.FRINGE: "fringe",
    Ground.FAIRWAY: "fairway",
    Ground.SAND: "bunkers",
    Ground.WATER: "water",
    Ground.TREES: "trees",
    Ground.OUT: "out",
}

HEAD = """\
# Points are metres [right, forward] of the longest tee, seen along the first leg of the line of play.
# docs/reference/course.md has every word, also to add what a map leaves out: ratings, pins, fairways.
"""


def toml_text(course: Course) -> str:
    """The course as TOML text."""
    lines = [HEAD, f"name = {_text(course.name)}"]
    if course.attribution:
        lines.append(f"attribution = {_text(course.attribution)}")
    if assumed := lasting_assumptions(course):
        lines.append("# take out what you have put right below")
        lines += ["assumed = [", *(f"    {_text(each)}," for each in assumed), "]"]
    for tee in course.tees:
        lines += ["", *_tee_lines(tee)]
    for hole in course.holes:
        lines += ["", *_hole_lines(hole)]
    return "\n".join(lines) + "\n"


def _tee_lines(tee: TeeSet) -> Iterator[str]:
    yield f"[tees.{_key(tee.name)}]"
    for who, rating in (("men", tee.men), ("women", tee.women)):
        if rating:
            yield f"{who} = {{ rating = {rating.course_rating}, slope = {rating.slope} }}"


def _hole_lines(hole: Hole) -> Iterator[str]:
    yield f"# {hole.number}"
    yield from ("[[holes]]", f"par = {hole.par}", f"stroke_index = {hole.stroke_index}")
    if hole.placement:
        place, bearing_deg = hole.placement, math.degrees(hole.placement.bearing_rad)
        yield (
            f"position = {{ longitude = {place.longitude_deg:.8f}, latitude = {place.latitude_deg:.8f}, "
            f"bearing_deg = {bearing_deg:.4f} }}"
        )
    elif hole.stated_bearing_rad is not None:
        yield f"bearing_deg = {math.degrees(hole.stated_bearing_rad):.4f}"
    if hole.climb_m:
        yield f"climb_m = {_metres(hole.climb_m)}"
    yield f"line_m = {_points(hole.line.tolist())}"
    yield f"tees_m = {_named(hole.tees)}"
    by_ground: dict[Ground, list[Area]] = {ground: [] for ground in (Ground.GREEN, *KEYS)}
    for area in written_areas(hole):
        by_ground[area.ground].append(area)
    green = min((area.polygon for area in by_ground[Ground.GREEN]), key=ShapelyPoint(hole.line[-1]).distance)
    yield f"green = {{ {_outline(green)}, fringe_m = 0 }}"
    for ground, key in KEYS.items():
        outlines = [f"    {{ {_outline(area.polygon)} }}," for area in by_ground[ground]]
        if outlines:
            yield from (f"{key} = [", *outlines, "]")
        elif ground is Ground.FAIRWAY:
            yield "fairway = false"
    yield from _pin_lines(hole, green)


def _pin_lines(hole: Hole, green: Polygon) -> Iterator[str]:
    """The pins as a table, which must come last; one near the edge says so, as it is no slip of the pen."""
    yield "[holes.pins]"
    for name, (x, y) in hole.pins.items():
        near = green.exterior.distance(ShapelyPoint(x, y)) < LEAST_EDGE_M
        yield f"{_key(name)} = {{ point_m = {_pair((x, y))}{', near_edge = true' if near else ''} }}"


def _outline(polygon: Polygon) -> str:
    inner = [_points(np.asarray(ring.coords)[:-1].tolist()) for ring in polygon.interiors]
    without = f", without_m = [{', '.join(inner)}]" if inner else ""
    return f"outline_m = {_points(np.asarray(polygon.exterior.coords)[:-1].tolist())}{without}"


def _points(points: Iterable[Sequence[float]]) -> str:
    """A list of points, on as many lines as it takes."""
    text = ", ".join(map(_pair, points))
    if len(text) < WIDTH - 30:
        return f"[{text}]"
    # a pair is kept on one line
    wrapped = textwrap.wrap(text.replace(", ", ",\u00a0").replace("],\u00a0[", "], ["), WIDTH - 8)
    return "[\n" + "\n".join(f"        {line}" for line in wrapped).replace("\u00a0", " ") + ",\n    ]"


def _pair(point: Sequence[float] | Point) -> str:
    return f"[{_metres(point[0])}, {_metres(point[1])}]"


def _metres(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _named(places: Mapping[str, Point]) -> str:
    return "{ " + ", ".join(f"{_key(name)} = {_pair(place)}" for name, place in places.items()) + " }"


def _key(name: str) -> str:
    """A key, in quotes where it is more than letters, digits, - and _."""
    bare = name.isascii() and name.replace("-", "").replace("_", "").isalnum()
    return name if bare else _text(name)


def _text(text: str) -> str:
    """A text in quotes: JSON's escapes are TOML's too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
