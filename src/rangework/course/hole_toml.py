"""One hole of a course file, as a Hole on its own plane."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from rangework.course.drawn_green import DrawnGreen, Green
from rangework.course.fairway_toml import read_fairway
from rangework.course.features_toml import read_features
from rangework.course.findings import Findings, Table
from rangework.course.geometry import Area, Hole
from rangework.course.hole_frame import HoleFrame
from rangework.course.line_toml import DrawnLine, read_drawn_line
from rangework.course.local_plane import Placement
from rangework.course.outline_toml import read_outline
from rangework.course.outlines import OvalGreen, ring
from rangework.course.pins_toml import read_pins
from rangework.lie import Ground
from rangework.units import YARD_M

#: Common practice, no source, where a file gives no sizes.
USUAL_GREEN_YD = (30.0, 24.0)
USUAL_FRINGE_YD = 2.0


def read_hole(
    table: Table, number: int, tees: Sequence[str], findings: Findings
) -> tuple[Hole, dict[str, float]]:
    """The hole, and its length from every tee in metres."""
    par = table.whole("par", 3, 6, 4, required=True)
    stroke_index = table.whole("stroke_index", 1, 18, 0)
    drawn = read_drawn_line(table, tees, findings)
    frame = _read_frame(table, number, par, drawn, findings)
    pins = read_pins(table, frame)
    areas = _read_areas(table, frame)
    position = table.table("position") if "position" in table else None
    bearing_deg = table.number("bearing_deg", -360, 360, 0.0) if "bearing_deg" in table else None
    climb_m = table.length_m("climb", -200, 200, 0.0)
    table.close()
    hole = Hole(
        number, par, stroke_index, drawn.tees, pins, frame.line.points, areas, _read_position(position),
        None if bearing_deg is None else math.radians(bearing_deg), climb_m,
    )  # fmt: skip
    _check_places(hole, table, drawn.by_points, findings)
    return hole, drawn.lengths_m


def _read_frame(table: Table, number: int, par: int, drawn: DrawnLine, findings: Findings) -> HoleFrame:
    longest_m = max(drawn.lengths_m.values())
    green = _read_green(table, drawn, number, findings)
    forward_m = longest_m - min(drawn.lengths_m.values())
    return HoleFrame(number, par, drawn.line, green, forward_m, findings, drawn.plane)


def _read_areas(table: Table, frame: HoleFrame) -> tuple[Area, ...]:
    outline = frame.green.outline()
    areas = [Area(Ground.GREEN, outline), *_read_fringe(table, frame)]
    fairway_width_m, fairway = read_fairway(table, frame)
    return (*areas, *fairway, *read_features(table, frame, fairway_width_m))


def _read_fringe(table: Table, frame: HoleFrame) -> list[Area]:
    """The outlines of ``fringe``, or the ring round the green."""
    if table.value("fringe") is None:
        width_m = frame.green.fringe_m
        return [Area(Ground.FRINGE, ring(frame.green.outline(), 0.0, width_m))] if width_m > 0 else []
    polygons: list[Polygon] = []
    for each in table.tables("fringe"):
        outline = read_outline(each, frame.plane)
        if outline is None:
            each.missing("outline_m", "the fringe's outline")
        each.close()
        polygons += outline or []
    return [Area(Ground.FRINGE, polygon) for polygon in polygons]


def _read_green(table: Table, drawn: DrawnLine, number: int, findings: Findings) -> Green:
    given, line = table.table("green"), drawn.line
    outline = read_outline(given, drawn.plane)
    if outline is None and ("width" not in given or "depth" not in given):
        wide, deep = USUAL_GREEN_YD
        findings.assume(f"green {wide:g} yd wide and {deep:g} yd deep where not given", number)
    green: Green = OvalGreen(
        middle=line.place(line.length_m),
        arrival_rad=line.heading_rad(line.length_m),
        turn_rad=math.radians(given.number("turn_deg", -90, 90, 0.0)),
        width_m=given.length_m("width", 9, 80, USUAL_GREEN_YD[0] * YARD_M),
        depth_m=given.length_m("depth", 9, 80, USUAL_GREEN_YD[1] * YARD_M),
        fringe_m=given.length_m("fringe", 0, 20, USUAL_FRINGE_YD * YARD_M),
    )
    if "fringe" not in given and table.value("fringe") is None:
        findings.assume(f"fringe {USUAL_FRINGE_YD:g} yd wide where not given", number)
    given.close()
    return DrawnGreen(outline[0], green.arrival_rad, green.fringe_m) if outline else green


def _read_position(table: Table | None) -> Placement | None:
    """Where on Earth the longest tee is, and the bearing of the first leg."""
    if table is None:
        return None
    placement = Placement(
        table.number("longitude", -180, 180, 0.0, required=True),
        table.number("latitude", -90, 90, 0.0, required=True),
        math.radians(table.number("bearing_deg", -360, 360, 0.0, required=True)),
    )
    table.close()
    return placement


def _check_places(hole: Hole, table: Table, by_points: bool, findings: Findings) -> None:
    """No tee in water or out of bounds, no pin out of bounds; tees drawn by points are only told."""
    for name, place in hole.tees.items():
        if _covered(hole, place, (Ground.WATER, Ground.OUT, Ground.SAND)):
            expected = "a tee on dry ground in bounds"
            if by_points:
                findings.warning(table.at("tees_m"), name, expected, "It is used as it is.")
            else:
                remedy = "Move what covers it: from_yd beyond the tee, or a larger offset_yd."
                findings.problem(table.at("length"), name, expected, remedy)
    for name, place in hole.pins.items():
        if _covered(hole, place, (Ground.OUT,)):
            remedy = "Move the boundary away from the green."
            findings.problem(table.at("out"), name, "a pin in bounds", remedy)


def _covered(hole: Hole, place: tuple[float, float], grounds: tuple[Ground, ...]) -> bool:
    point = ShapelyPoint(place)
    return any(area.polygon.contains(point) for area in hole.areas if area.ground in grounds)
