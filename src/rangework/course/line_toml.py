"""Line of play and tees of a hole, as a course file gives them: by lengths and bends, or by points."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.course.findings import Findings, Table, nearest
from rangework.course.geometry import Point
from rangework.course.hole_plane import SAME_PLANE, HolePlane, plane_of
from rangework.course.line_of_play import Bend, LineOfPlay, length_from, line_of_play, line_through
from rangework.course.outline_toml import read_named_points, read_points
from rangework.units import YARD_M

#: The only tee's name where a course names none.
ONLY_TEE = "main"

SHORTEST_YD, LONGEST_YD = 40.0, 900.0


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLine:
    """A hole's line of play, its tees and their lengths, all on the hole's plane.

    ``plane`` is where that lies on the plane of the file's points; ``by_points`` whether tees are given so.
    """

    line: LineOfPlay
    tees: dict[str, Point]
    lengths_m: dict[str, float]
    plane: HolePlane = SAME_PLANE
    by_points: bool = False


def read_drawn_line(table: Table, tees: Sequence[str], findings: Findings) -> DrawnLine:
    """Line and tees: ``line`` as points with ``tees`` or ``length``; else ``length`` with ``doglegs``."""
    points = read_points(table, "line", 2)
    if points is None:
        lengths_m = _read_lengths(table, tees, findings)
        return _along(_read_line(table, max(lengths_m.values()), findings), lengths_m)
    line, plane = _line_by_points(table, points, findings)
    if table.value("doglegs") is not None:
        findings.problem(table.at("doglegs"), None, "either line or doglegs", "Keep one of them.")
    places = read_named_points(table, "tees")
    if places is None and "length" not in table and len(tees) == 1:
        return _along(line, {tees[0]: line.length_m}, plane)
    if places is None:
        return _along(line, _read_lengths(table, tees, findings), plane)
    return _by_points(table, line, plane, places, tees, findings)


def _along(line: LineOfPlay, lengths_m: dict[str, float], plane: HolePlane = SAME_PLANE) -> DrawnLine:
    """Tees on the line of play, at their lengths from its end."""
    places = {name: line.place(line.length_m - length_m) for name, length_m in lengths_m.items()}
    return DrawnLine(line, places, lengths_m, plane)


def _line_by_points(
    table: Table, points: NDArray[np.float64], findings: Findings
) -> tuple[LineOfPlay, HolePlane]:
    steps_m = np.hypot(*np.diff(points, axis=0).T)
    corners = points[np.append(True, steps_m > 0.01)]
    length_yd = float(steps_m.sum()) / YARD_M
    place = table.at("line_m")
    if not SHORTEST_YD <= length_yd <= LONGEST_YD or len(corners) < 2:
        expected = f"a line of play of {SHORTEST_YD:g} to {LONGEST_YD:g} yd"
        findings.problem(place, f"{length_yd:.0f} yd", expected)
        return line_of_play(350.0), SAME_PLANE
    plane = plane_of(corners)
    line = line_through(plane.to_hole(corners))
    if line.crosses_itself():
        findings.problem(place, None, "a line of play that does not cross itself")
    return line, plane


def _by_points(
    table: Table,
    line: LineOfPlay,
    plane: HolePlane,
    places: dict[str, Point],
    tees: Sequence[str],
    findings: Findings,
) -> DrawnLine:
    """Tees where they are drawn; the line of play must begin at the longest."""
    table.allow("length")
    key = table.at("tees_m")
    for name in (name for name in places if name not in tees):
        findings.problem(f"{key}.{name}", name, "a tee of this course", nearest(name, tees))
    for name in (name for name in tees if name not in places):
        findings.problem(f"{key}.{name}", None, "where this tee is", "It is missing; please add it.")
    own = {name: plane.point(places.get(name, plane.origin)) for name in tees}
    lengths_m = {name: length_from(line.points, place) for name, place in own.items()}
    longest = max(lengths_m, key=lengths_m.__getitem__)
    if math.hypot(*own[longest]) > 1.0:
        findings.problem(
            f"{key}.{longest}", None, "a line that begins at the longest tee", "Begin line_m there."
        )
    return DrawnLine(line, own, lengths_m, plane, by_points=True)


def _read_lengths(table: Table, tees: Sequence[str], findings: Findings) -> dict[str, float]:
    """Length by tee: a table of numbers, or one number where the course has one tee."""
    usual_m = dict.fromkeys(tees, 350.0)
    found = table.length_key("length", required=True)
    if found is None:
        return usual_m
    key, unit_m = found
    low, high = SHORTEST_YD * YARD_M / unit_m, LONGEST_YD * YARD_M / unit_m
    value = table.value(key)
    if not isinstance(value, Mapping):
        if len(tees) > 1:
            expected = "a length for every tee, { " + ", ".join(f"{tee} = ..." for tee in tees) + " }"
            findings.problem(table.at(key), value, expected)
            return usual_m
        return {tees[0]: table.number(key, round(low), round(high), 350.0 / unit_m) * unit_m}
    by_tee = table.table(key)
    lengths = {
        tee: by_tee.number(tee, round(low), round(high), 350.0 / unit_m, required=True) * unit_m
        for tee in tees
    }
    by_tee.close()
    return lengths


def _read_line(table: Table, length_m: float, findings: Findings) -> LineOfPlay:
    bends: list[Bend] = []
    for each in table.tables("doglegs"):
        bend = _read_bend(each, length_m)
        if bends and bend.from_m < bends[-1].to_m:
            findings.problem(each.place, None, "doglegs in order from the tee, none inside another")
        else:
            bends.append(bend)
    line = line_of_play(length_m, bends)
    if line.crosses_itself():
        findings.problem(table.at("doglegs"), None, "a line of play that does not cross itself")
        return line_of_play(length_m)
    return line


def _read_bend(table: Table, length_m: float) -> Bend:
    turn_rad = math.radians(table.number("turn_deg", -100, 100, 0.0, required=True))
    longest_yd = length_m / YARD_M
    gradual = "from" in table or "to" in table
    at_m = table.length_m("at", 0, longest_yd, length_m / 2, required=not gradual)
    from_m = table.length_m("from", 0, longest_yd, at_m, required=gradual)
    to_m = table.length_m("to", 0, longest_yd, max(from_m, at_m), required=gradual)
    table.close()
    if to_m < from_m:
        table.findings.problem(table.place, None, "a bend that ends beyond where it starts")
        to_m = from_m
    return Bend(from_m, to_m, turn_rad)
