"""Hole positions of a green, as a course file gives them: by a word, or by paces from the edges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from shapely import Point as ShapelyPoint
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Polygon

from rangework.course.drawn_green import Green
from rangework.course.findings import Findings, Table, as_table, nearest
from rangework.course.geometry import Point
from rangework.course.hole_frame import HoleFrame
from rangework.course.line_of_play import offset_point
from rangework.course.outline_toml import read_point
from rangework.course.pin_words import LEAST_EDGE_M, PIN_WORDS, USUAL_PINS, pin_by_word, word_edge_m
from rangework.units import YARD_M


def read_pins(hole: Table, frame: HoleFrame) -> dict[str, Point]:
    """The hole's pins by name, on the hole's plane."""
    green, findings = frame.green, frame.findings
    given = hole.value("pins")
    if given is None:
        frame.assume(f"pins {', '.join(USUAL_PINS)} where none is given")
        return {word: pin_by_word(green, word) for word in USUAL_PINS}
    place = hole.at("pins")
    pins = {name: _pin(value, spot, frame) for name, value, spot in _entries(given, place, findings)}
    if not pins:
        findings.problem(place, given, "at least one pin", "Leave pins out to get the usual ones.")
    return pins


def _entries(given: Any, place: str, findings: Findings) -> Iterator[tuple[str, Any, str]]:
    """Name, value and place of every pin: a list of words, or a table of named pins."""
    if isinstance(given, Mapping):
        for name, value in given.items():
            yield name, value, f"{place}.{name}"
    elif isinstance(given, list):
        for i, word in enumerate(given, 1):
            if given.index(word) < i - 1:
                findings.problem(f"{place}[{i}]", word, "every pin once")
            yield str(word), word, f"{place}[{i}]"
    else:
        expected = 'a list of words, ["front-left", "middle"], or a table of named pins'
        findings.problem(place, given, expected)


def _pin(value: Any, place: str, frame: HoleFrame) -> Point:
    green, findings = frame.green, frame.findings
    if isinstance(value, str) and value in PIN_WORDS:
        value = {"at": value}
    elif not isinstance(value, Mapping):
        expected = f"one of {', '.join(PIN_WORDS)}, or a table of distances from the edges"
        findings.problem(place, value, expected, nearest(value, PIN_WORDS) if isinstance(value, str) else "")
        return green.middle
    table = as_table(value, place, findings)
    near_edge = table.flag("near_edge")
    point = read_point(table, "point")
    pin = _placed(table, green, findings, place) if point is None else frame.plane.point(point)
    table.close()
    outline = green.outline()
    edge_m = outline.exterior.distance(ShapelyPoint(pin))
    inside = outline.contains(ShapelyPoint(pin))
    if not inside or (edge_m < LEAST_EDGE_M - 0.05 and not near_edge):
        _report_edge(findings, place, edge_m if inside else -edge_m)
    return pin


def _placed(table: Table, green: Green, findings: Findings, place: str) -> Point:
    if "at" in table:
        word = table.choice("at", PIN_WORDS, "middle")
        return pin_by_word(green, word, table.length_m("edge", 0.5, 30, word_edge_m(green)))
    if not any(key in table for key in ("front", "back", "left", "right")):
        findings.problem(
            place, dict(table.entries) or None, "at, or a distance from front, back, left or right"
        )
    return _by_edges(table, green, findings)


def _by_edges(table: Table, green: Green, findings: Findings) -> Point:
    """Paces onto the green as the player arrives, then from the side's edge at that depth."""
    seen = _as_arrived_at(green)
    left, front, right, back = seen.bounds
    _only_one(table, "front", "back", findings)
    forward = (front + back) / 2
    forward = table.length_m("front", 0, 80, forward - front) + front
    forward = back - table.length_m("back", 0, 80, back - forward)
    across = seen.intersection(LineString([(left - 1, forward), (right + 1, forward)]))
    if across.is_empty:
        across = LineString([(left, (front + back) / 2), (right, (front + back) / 2)])
    from_left, _, from_right, _ = across.bounds
    _only_one(table, "left", "right", findings)
    aside = (from_left + from_right) / 2
    aside = from_left + table.length_m("left", 0, 80, aside - from_left)
    aside = from_right - table.length_m("right", 0, 80, from_right - aside)
    return offset_point(green.middle, green.arrival_rad, aside, forward)


def _as_arrived_at(green: Green) -> Polygon:
    """The outline with its middle at the origin and the player coming from below."""
    moved = translate(green.outline(), -green.middle[0], -green.middle[1])
    return rotate(moved, math.degrees(green.arrival_rad), origin=(0.0, 0.0))


def _only_one(table: Table, one: str, other: str, findings: Findings) -> None:
    if one in table and other in table:
        findings.problem(table.place, None, f"either {one} or {other}", "Keep one of them.")


def _report_edge(findings: Findings, place: str, edge_m: float) -> None:
    yards = edge_m / YARD_M
    where = f"{yards:.1f} yd from the edge" if yards >= 0 else f"{-yards:.1f} yd off the green"
    remedy = (
        "Move it, or say near_edge = true." if yards >= 0 else "Check its distances and the green's size."
    )
    findings.problem(place, where, "a pin on the green, at least 4 yd from its edge", remedy)
