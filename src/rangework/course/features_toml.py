"""Bunkers, water, trees, short grass and out of bounds of a hole, as a course file places them.

One way of saying where serves every kind. ``outline`` gives points; ``green = "front-left"`` lays an oval against
the green, ``green = "around"`` a ring about it; ``side = "across"`` a band across the line of play; any other side an
oval (``at``, ``before_green``) or a strip that follows the line (``from``, ``to``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import cast

from shapely.geometry.base import BaseGeometry

from rangework.course.drawn_green import Green
from rangework.course.findings import Table
from rangework.course.geometry import Area
from rangework.course.hole_frame import HoleFrame
from rangework.course.hole_plane import HolePlane
from rangework.course.line_of_play import LineOfPlay, Side
from rangework.course.outline_toml import read_outline
from rangework.course.outlines import POSITIONS_DEG, oval, pieces, ring, rounded
from rangework.lie import Ground
from rangework.units import YARD_M

#: How far strips run past tee and green when nothing is said: beyond the margins of a ground grid.
PAST_ENDS_M = 60 * YARD_M
FARTHEST_YD = 1000.0


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of feature and its usual sizes in yards (common practice, no source).

    Ovals measure ``oval_yd`` (across, along); strips are ``strip_yd`` and bands ``across_yd`` wide;
    ``gap_yd`` is kept from a green's fringe. ``beside_fairway``: where no offset is given, it starts 1 yd off
    the fairway; other kinds must give theirs.
    """

    ground: Ground
    oval_yd: tuple[float, float]
    strip_yd: float
    across_yd: float
    gap_yd: float
    beside_fairway: bool = False


KINDS = {
    "bunkers": Kind(Ground.SAND, (9, 14), 9, 40, 1, beside_fairway=True),
    "short_grass": Kind(Ground.FAIRWAY, (14, 20), 15, 40, 0, beside_fairway=True),
    "water": Kind(Ground.WATER, (30, 40), 40, 120, 4),
    "trees": Kind(Ground.TREES, (20, 20), 60, 200, 12),
    "out": Kind(Ground.OUT, (60, 60), 200, 400, 15),
}


@dataclass(frozen=True, slots=True)
class Setting:
    """What features are placed by."""

    line: LineOfPlay
    green: Green
    fairway_width_m: float
    plane: HolePlane


def read_features(hole: Table, frame: HoleFrame, fairway_width_m: float) -> list[Area]:
    """The areas of every kind that the hole's table lists."""
    setting = Setting(frame.line, frame.green, fairway_width_m, frame.plane)
    return [
        Area(kind.ground, polygon)
        for name, kind in KINDS.items()
        for table in hole.tables(name)
        for polygon in _polygons(table, kind, setting)
    ]


def _polygons(table: Table, kind: Kind, setting: Setting) -> Iterator[BaseGeometry]:
    outline = read_outline(table, setting.plane)
    if outline is not None:
        shapes: list[BaseGeometry] = [*outline]
    elif "green" in table:
        shapes = [_by_green(table, kind, setting)]
    else:
        side = table.choice("side", ("left", "right", "both", "centre", "across"), "left", required=True)
        shapes = _LAYOUTS.get(side, _beside)(table, kind, setting, side)
    table.close()
    for shape in shapes:
        yield from pieces(shape)


def _by_green(table: Table, kind: Kind, setting: Setting) -> BaseGeometry:
    position = table.choice("green", (*POSITIONS_DEG, "around"), "front")
    gap_m = table.length_m("gap", 0, 100, setting.green.fringe_m + kind.gap_yd * YARD_M)
    if position == "around":
        width_m = table.length_m("width", 1, 300, kind.oval_yd[0] * YARD_M)
        return ring(setting.green.outline(), gap_m, width_m)
    width_m, length_m = _oval_size(table, kind)
    middle, facing_rad = setting.green.edge(position, gap_m + width_m / 2)
    # the oval's length lies along the green's edge
    return oval(middle, facing_rad, length_m, width_m)


def _across(table: Table, kind: Kind, setting: Setting, _side: str) -> list[BaseGeometry]:
    from_m, to_m = _span(table, setting, required=True)
    width_m = table.length_m("width", 1, 500, kind.across_yd * YARD_M)
    return [_softened(setting.line.band(from_m, to_m, width_m), kind, width_m, to_m - from_m)]


def _centre(table: Table, kind: Kind, setting: Setting, _side: str) -> list[BaseGeometry]:
    if _is_oval(table):
        return [_oval_at(table, kind, setting, 0.0)]
    from_m, to_m = _span(table, setting, required=True)
    width_m = table.length_m("width", 1, 300, kind.strip_yd * YARD_M)
    return [_softened(setting.line.band(from_m, to_m, width_m), kind, width_m, to_m - from_m)]


def _beside(table: Table, kind: Kind, setting: Setting, side: str) -> list[BaseGeometry]:
    offset_m = table.length_m(
        "offset", 0, 300, setting.fairway_width_m / 2 + YARD_M, required=not kind.beside_fairway
    )
    if _is_oval(table):
        signs = {"left": [-1.0], "right": [1.0], "both": [-1.0, 1.0]}[side]
        width_m, _ = _oval_size(table, kind)
        return [_oval_at(table, kind, setting, sign * (offset_m + width_m / 2)) for sign in signs]
    if kind.beside_fairway and "from" not in table and "to" not in table:
        table.missing("at_yd", "where along the line it lies: at_yd, or from_yd and to_yd")
    from_m, to_m = _span(table, setting)
    width_m = table.length_m("width", 1, 300, kind.strip_yd * YARD_M)
    strip = setting.line.strip(from_m, to_m, offset_m, width_m, cast("Side", side))
    return [_softened(strip, kind, width_m, to_m - from_m)]


_LAYOUTS: dict[str, Callable[[Table, Kind, Setting, str], list[BaseGeometry]]] = {
    "across": _across,
    "centre": _centre,
}


def _is_oval(table: Table) -> bool:
    return "at" in table or "before_green" in table


def _oval_size(table: Table, kind: Kind) -> tuple[float, float]:
    across_yd, along_yd = kind.oval_yd
    width_m = table.length_m("width", 1, 300, across_yd * YARD_M)
    return width_m, table.length_m("length", 1, 300, along_yd * YARD_M)


def _oval_at(table: Table, kind: Kind, setting: Setting, right_m: float) -> BaseGeometry:
    length_m = setting.line.length_m
    at_m = table.length_m("at", -100, FARTHEST_YD, length_m / 2)
    before_m = table.length_m("before_green", -100, FARTHEST_YD, length_m - at_m)
    if "at" in table and "before_green" in table:
        table.findings.problem(table.place, None, "either at or before_green", "Keep one of them.")
    along_m = length_m - before_m
    middle = setting.line.place(along_m, right_m)
    return oval(middle, setting.line.heading_rad(along_m), *_oval_size(table, kind))


def _span(table: Table, setting: Setting, *, required: bool = False) -> tuple[float, float]:
    """From where to where along the line; past both ends when not given."""
    end_m = setting.line.length_m + PAST_ENDS_M
    from_m = table.length_m("from", -100, FARTHEST_YD, -PAST_ENDS_M, required=required)
    to_m = table.length_m("to", -100, FARTHEST_YD, end_m, required=required)
    if to_m <= from_m:
        table.findings.problem(table.place, None, "a place that ends beyond where it starts")
        return -PAST_ENDS_M, end_m
    return from_m, to_m


def _softened(shape: BaseGeometry, kind: Kind, width_m: float, run_m: float) -> BaseGeometry:
    """Rounded corners, as nature and mowers leave them; a boundary keeps its own."""
    return shape if kind.ground is Ground.OUT else rounded(shape, min(width_m, run_m) / 4)
