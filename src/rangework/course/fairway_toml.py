"""The fairway of a hole, as a course file gives it: one piece, several, or none."""

from __future__ import annotations

from rangework.course.findings import Table
from rangework.course.geometry import Area
from rangework.course.hole_frame import HoleFrame
from rangework.course.outline_toml import read_outline
from rangework.course.outlines import pieces, rounded
from rangework.lie import Ground
from rangework.units import YARD_M

#: Common practice, no source, where a file gives none.
USUAL_WIDTH_YD = 32.0
USUAL_START_YD = 60.0
USUAL_APRON_YD = 15.0


def read_fairway(hole: Table, frame: HoleFrame) -> tuple[float, list[Area]]:
    """The width of the fairway's first piece, and all its areas; none for ``fairway = false``."""
    given = hole.value("fairway")
    if given is False:
        return _usual_width_m(frame), []
    tables = hole.tables("fairway") if isinstance(given, list) else [hole.table("fairway")]
    widths_m, areas = [], []
    for table in tables:
        width_m, found = _read_piece(table, frame)
        widths_m.append(width_m)
        areas += found
    return (widths_m[0] if widths_m else _usual_width_m(frame)), areas


def _read_piece(table: Table, frame: HoleFrame) -> tuple[float, list[Area]]:
    outline = read_outline(table, frame.plane)
    if outline is not None:
        table.allow("width", "from", "to")
        table.close()
        return _usual_width_m(frame), [Area(Ground.FAIRWAY, piece) for piece in outline]
    length_m = frame.line.length_m
    from_m = table.length_m("from", 0, 900, _usual_start_m(frame))
    # the mown ground runs on a little beside the green, so that rough does not cut them apart
    to_m = table.length_m("to", 0, 900, length_m - frame.green.depth_m / 4)
    width_m = table.length_m("width", 5, 120, _usual_width_m(frame))
    _note_assumptions(table, frame)
    table.close()
    if to_m - from_m < YARD_M:
        table.findings.problem(table.place, None, "a fairway that ends beyond where it starts")
        return width_m, []
    return width_m, _mown(frame, from_m, to_m, width_m)


def usual_fairway(frame: HoleFrame) -> list[Area]:
    """The fairway that a hole has where nothing is known of it, put down as assumed."""
    from_m, to_m = _usual_start_m(frame), frame.line.length_m - frame.green.depth_m / 4
    _note_assumptions(Table({}, "", frame.findings), frame)
    return _mown(frame, from_m, to_m, _usual_width_m(frame)) if to_m - from_m >= YARD_M else []


def _mown(frame: HoleFrame, from_m: float, to_m: float, width_m: float) -> list[Area]:
    band = frame.line.band(from_m, to_m, width_m)
    soft = rounded(band, min(width_m, to_m - from_m) / 4)
    return [Area(Ground.FAIRWAY, piece) for piece in pieces(soft)]


def _usual_start_m(frame: HoleFrame) -> float:
    apron_m = frame.line.length_m - frame.green.depth_m / 2 - USUAL_APRON_YD * YARD_M
    start_m = frame.forward_tee_m + USUAL_START_YD * YARD_M
    return max(apron_m if frame.par == 3 else min(start_m, apron_m), 0.0)


def _usual_width_m(frame: HoleFrame) -> float:
    width_m = USUAL_WIDTH_YD * YARD_M
    return min(width_m, frame.green.width_m) if frame.par == 3 else width_m


def _note_assumptions(table: Table, frame: HoleFrame) -> None:
    if "width" not in table:
        narrower = ", or as wide as the green on a par 3," if frame.par == 3 else ""
        frame.assume(f"fairway {USUAL_WIDTH_YD:g} yd wide{narrower} where not given")
    if "from" not in table and frame.par == 3:
        frame.assume(f"on a par 3, fairway from {USUAL_APRON_YD:g} yd short of the green where not given")
    elif "from" not in table:
        frame.assume(f"fairway from {USUAL_START_YD:g} yd beyond the most forward tee where not given")
