"""A hole on a page of its own: map, green with its pins, lengths, and the trouble on the way."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping
from typing import Any

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from rangework.course.drawn_green import green_of
from rangework.course.geometry import Course, Hole
from rangework.course.hole_view import (
    Trouble,
    green_outline,
    line_ahead,
    on_and_across_m,
    patches,
    view_of_green,
)
from rangework.course.line_of_play import length_from
from rangework.lie import Ground
from rangework.report.hole_ground import fitted, map_axes, paint, scale_bar
from rangework.report.hole_map import draw_map
from rangework.report.label_places import LabelPlaces, around
from rangework.report.style import (
    FINE_PT,
    INK,
    PAPER,
    PLUM,
    QUIET,
    SHEET_IN,
    SMALL_PT,
    TEXT_PT,
    TEXTURES,
    TITLE_PT,
    drawing,
    halo,
    sheet,
)
from rangework.units import METRES_PER, Units, putt_unit, shot_unit

PAGE_IN = (SHEET_IN, 8.6)
_MAP = (0.035, 0.085, 0.545, 0.815)
_COLUMN_X, _COLUMN_WIDE = 0.625, 0.345
_LINE = 0.0185  #: height of a line of text, as a share of the page
_AROUND_GREEN_M = 11.0
_KEY = (Ground.FAIRWAY, Ground.GREEN, Ground.SAND, Ground.WATER, Ground.TREES, Ground.OUT)
_MOST_PINS, _MOST_TEES = 9, 5


def hole_page(course: Course, hole: Hole, tee: str, units: Units) -> Figure:
    """The page of one hole from one tee."""
    with drawing():
        figure = sheet(*PAGE_IN)
        _head(figure, hole, tee, units)
        column = _Column(figure, _green(figure, hole, units) - 0.028)
        _pins(column, hole, units)
        _tees(column, hole, tee, units)
        _reading(column)
        axes, troubles = draw_map(figure, _MAP, hole, tee, units, most=column.lines_left - 1)
        unit = shot_unit(units)
        scale_bar(axes, 50.0 * METRES_PER[unit], f"50 {unit}")
        _troubles(column, troubles, units)
        _foot(figure, course)
    return figure


class _Column:
    """Text set line by line down the right side of the page."""

    def __init__(self, figure: Figure, top: float) -> None:
        self._figure, self.y = figure, top

    @property
    def lines_left(self) -> int:
        """How many lines there is room for."""
        return max(int((self.y - _MAP[1]) / _LINE), 0)

    def heading(self, text: str) -> None:
        self.y -= 0.45 * _LINE
        self.line(text, color=QUIET)

    def line(self, left: str, right: str = "", **style: Any) -> None:
        """A line that reads from the left, and a figure that ends at the right."""
        self._figure.text(_COLUMN_X, self.y, left, va="top", **{"fontsize": SMALL_PT, **style})
        if right:
            end = _COLUMN_X + _COLUMN_WIDE
            self._figure.text(end, self.y, right, va="top", ha="right", **{"fontsize": SMALL_PT, **style})
        self.y -= _LINE


def _head(figure: Figure, hole: Hole, tee: str, units: Units) -> None:
    unit = shot_unit(units)
    length = length_from(line_ahead(hole, tee), hole.tees[tee]) / METRES_PER[unit]
    figure.text(0.035, 0.972, f"Hole {hole.number}", fontsize=TITLE_PT, fontweight="bold", va="top")
    index = f", stroke index {hole.stroke_index}" if hole.stroke_index else ""
    figure.text(0.965, 0.968, f"par {hole.par}{index}", ha="right", va="top", fontsize=TEXT_PT)
    played = textwrap.shorten(f"{length:.0f} {unit} from the {tee} tee", 40, placeholder="…")
    figure.text(0.965, 0.968 - 1.15 * _LINE, played, ha="right", va="top", fontsize=TEXT_PT)
    figure.add_artist(Rectangle((0.035, 0.914), 0.93, 0.0022, color=INK, lw=0))


def _green(figure: Figure, hole: Hole, units: Units) -> float:
    """The green as the player arrives, its pins numbered; returns how far down the page it reaches."""
    view, green = view_of_green(hole), green_of(hole)
    outline = green_outline(hole, view)
    (left, near), (right, far) = outline.min(axis=0), outline.max(axis=0)
    room = _AROUND_GREEN_M
    high = _COLUMN_WIDE * PAGE_IN[0] / PAGE_IN[1]
    window = fitted((left - room, near - room, right + room, far + room), 1.0)
    axes = map_axes(figure, (_COLUMN_X, 0.9 - high, _COLUMN_WIDE, high), window)
    paint(axes, patches(hole, view, window))
    labels, scale = LabelPlaces(axes), (window[2] - window[0]) / (_COLUMN_WIDE * PAGE_IN[0] * 72.0)
    places = [view.point(place) for place in hole.pins.values()][:_MOST_PINS]
    for place in places:
        labels.keep_free(place, 3.0)
    for number, place in enumerate(places, start=1):
        axes.plot(*place, marker="o", ms=4.5, color=PLUM, mec=PAPER, mew=0.7, zorder=6)
        near_by = [spot for gap in (5.0, 8.0, 12.0) for spot in around(place, gap * scale)]
        labels.write(
            str(number),
            near_by,
            fontsize=SMALL_PT,
            fontweight="bold",
            color=PLUM,
            zorder=7,
            path_effects=halo(),
        )
    unit_m = METRES_PER[shot_unit(units)]
    size = f"{green.width_m / unit_m:.0f} wide, {green.depth_m / unit_m:.0f} deep"
    figure.text(_COLUMN_X, 0.9 - high - 0.008, size, va="top", fontsize=SMALL_PT, color=QUIET)
    return 0.9 - high - 0.008


def _pins(column: _Column, hole: Hole, units: Units) -> None:
    unit_m = METRES_PER[shot_unit(units)]
    column.heading("pins: on, from the side")
    for number, (name, place) in enumerate(list(hole.pins.items())[:_MOST_PINS], start=1):
        on_m, across_m, side = on_and_across_m(green_of(hole), place)
        column.line(f"{number} {textwrap.shorten(name, 20, placeholder='…')}", color=PLUM)
        column.line("", f"{on_m / unit_m:.0f} on, {across_m / unit_m:.0f} from {side}")


def _tees(column: _Column, hole: Hole, tee: str, units: Units) -> None:
    unit_m = METRES_PER[shot_unit(units)]
    column.heading("tees: to the middle")
    for name, place in list(hole.tees.items())[:_MOST_TEES]:
        weight = "bold" if name == tee else "normal"
        length = f"{length_from(hole.line, place) / unit_m:.0f}"
        column.line(textwrap.shorten(name, 15, placeholder="…"), length, fontweight=weight)
    climb_unit = putt_unit(units)
    if climb := round(abs(hole.climb_m) / METRES_PER[climb_unit]):
        higher = "higher" if hole.climb_m > 0 else "lower"
        column.line(f"green {higher} by", f"{climb} {climb_unit}")


def _troubles(column: _Column, troubles: Mapping[str, Trouble], units: Units) -> None:
    if not troubles:
        return
    unit_m = METRES_PER[shot_unit(units)]
    column.heading("from the tee: reach, past")
    for letter, each in troubles.items():
        lengths = f"{math.floor(each.reach_m / unit_m)}, {math.ceil(each.past_m / unit_m)}"
        column.line(f"{letter} {TEXTURES[each.ground].name} {each.side}", lengths)


def _reading(column: _Column) -> None:
    """What the figures beside the line of play mean."""
    column.heading("beside the line of play")
    column.line("right: to the middle")
    column.line("left: from the tee", color=PLUM)


def _foot(figure: Figure, course: Course) -> None:
    """The key to the ground, and whose data it is."""
    y = 0.047
    for step, ground in enumerate(_KEY):
        texture = TEXTURES[ground]
        x = 0.035 + step * 0.162
        figure.add_artist(
            Rectangle(
                (x, y), 0.042, 0.012, facecolor=texture.colour, edgecolor=texture.hatch_colour,
                hatch=texture.hatch or None, lw=0.5,
            )
        )  # fmt: skip
        figure.text(x + 0.05, y + 0.006, texture.name, va="center", fontsize=SMALL_PT)
    figure.text(0.035, 0.024, credit(course), va="center", fontsize=FINE_PT, color=QUIET)


def credit(course: Course) -> str:
    """The course's name, and whose map data it is where somebody must be named."""
    data = f" Map data: {course.attribution}" if course.attribution else ""
    return textwrap.fill(textwrap.shorten(f"{course.name}.{data}", 175, placeholder="…"), 88)
