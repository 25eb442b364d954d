"""One hole of a course file, as a Hole on its own plane."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shapely.geometry import Point as ShapelyPoint

from rangework.course.fairway_toml import read_fairway
from rangework.course.features_toml import read_features
from rangework.course.findings import Findings, Table
from rangework.course.geometry import Area, Hole
from rangework.course.hole_frame import HoleFrame
from rangework.course.line_of_play import Bend, LineOfPlay, line_of_play
from rangework.course.outlines import OvalGreen, ring
from rangework.course.pins_toml import read_pins
from rangework.lie import Ground
from rangework.units import YARD_M

#: The only tee's name where a course names none.
ONLY_TEE = "main"

#: Common practice, no source, where a file gives no sizes.
USUAL_GREEN_YD = (30.0, 24.0)
USUAL_FRINGE_YD = 2.0

_SHORTEST_YD, _LONGEST_YD = 40.0, 900.0


def read_hole(
    table: Table, number: int, tees: Sequence[str], findings: Findings
) -> tuple[Hole, dict[str, float]]:
    """The hole, and its length from every tee in metres."""
    par = table.whole("par", 3, 6, 4, required=True)
    stroke_index = table.whole("stroke_index", 1, 18, 0)
    lengths_m = _read_lengths(table, tees, findings)
    frame = _read_frame(table, number, par, lengths_m, findings)
    pins = read_pins(table, frame)
    areas = _read_areas(table, frame)
    table.close()
    longest_m = frame.line.length_m
    places = {name: frame.line.place(longest_m - length_m) for name, length_m in lengths_m.items()}
    hole = Hole(number, par, stroke_index, places, pins, frame.line.points, areas)
    _check_places(hole, table, findings)
    return hole, lengths_m


def _read_frame(
    table: Table, number: int, par: int, lengths_m: Mapping[str, float], findings: Findings
) -> HoleFrame:
    longest_m = max(lengths_m.values())
    line = _read_line(table, longest_m, findings)
    green = _read_green(table, line, number, findings)
    return HoleFrame(number, par, line, green, longest_m - min(lengths_m.values()), findings)


def _read_areas(table: Table, frame: HoleFrame) -> tuple[Area, ...]:
    outline = frame.green.outline()
    areas = [Area(Ground.GREEN, outline)]
    if frame.green.fringe_m > 0:
        areas.append(Area(Ground.FRINGE, ring(outline, 0.0, frame.green.fringe_m)))
    fairway_width_m, fairway = read_fairway(table, frame)
    return (*areas, *fairway, *read_features(table, frame, fairway_width_m))


def _read_lengths(table: Table, tees: Sequence[str], findings: Findings) -> dict[str, float]:
    """Length by tee: a table of numbers, or one number where the course has one tee."""
    usual_m = dict.fromkeys(tees, 350.0)
    found = table.length_key("length", required=True)
    if found is None:
        return usual_m
    key, unit_m = found
    low, high = _SHORTEST_YD * YARD_M / unit_m, _LONGEST_YD * YARD_M / unit_m
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


def _read_green(table: Table, line: LineOfPlay, number: int, findings: Findings) -> OvalGreen:
    given = table.table("green")
    if "width" not in given or "depth" not in given:
        wide, deep = USUAL_GREEN_YD
        findings.assume(f"green {wide:g} yd wide and {deep:g} yd deep where not given", number)
    green = OvalGreen(
        middle=line.place(line.length_m),
        arrival_rad=line.heading_rad(line.length_m),
        turn_rad=math.radians(given.number("turn_deg", -90, 90, 0.0)),
        width_m=given.length_m("width", 9, 80, USUAL_GREEN_YD[0] * YARD_M),
        depth_m=given.length_m("depth", 9, 80, USUAL_GREEN_YD[1] * YARD_M),
        fringe_m=given.length_m("fringe", 0, 20, USUAL_FRINGE_YD * YARD_M),
    )
    if "fringe" not in given:
        findings.assume(f"fringe {USUAL_FRINGE_YD:g} yd wide where not given", number)
    given.close()
    return green


def _check_places(hole: Hole, table: Table, findings: Findings) -> None:
    """No tee in water or out of bounds, no pin out of bounds."""
    for name, place in hole.tees.items():
        if _covered(hole, place, (Ground.WATER, Ground.OUT, Ground.SAND)):
            remedy = "Move what covers it: from_yd beyond the tee, or a larger offset_yd."
            findings.problem(table.at("length"), name, "a tee on dry ground in bounds", remedy)
    for name, place in hole.pins.items():
        if _covered(hole, place, (Ground.OUT,)):
            remedy = "Move the boundary away from the green."
            findings.problem(table.at("out"), name, "a pin in bounds", remedy)


def _covered(hole: Hole, place: tuple[float, float], grounds: tuple[Ground, ...]) -> bool:
    point = ShapelyPoint(place)
    return any(area.polygon.contains(point) for area in hole.areas if area.ground in grounds)
