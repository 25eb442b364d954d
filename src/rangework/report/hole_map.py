"""The map of a hole from tee to green: ground, line of play, and marks for lengths on both sides of it."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from rangework.course.drawn_green import green_of
from rangework.course.geometry import Hole, Point
from rangework.course.hole_view import (
    FloatArray,
    Trouble,
    View,
    Window,
    green_outline,
    line_ahead,
    patches,
    trouble,
    view_from_tee,
)
from rangework.report.hole_ground import fitted, map_axes, paint
from rangework.report.label_places import LabelPlaces, around
from rangework.report.style import INK, PAPER, PLUM, QUIET, SMALL_PT, halo
from rangework.units import METRES_PER, Units, shot_unit

_SIDE_M, _END_M = 32.0, 22.0
#: Marks every so many yards or metres; a mark this near to an end of the hole is left out.
_STEP, _CLEAR_M = 50.0, 18.0
_HALF_MARK_M = 13.0
#: Trouble this far about its place is not covered by a label, in points.
_HIDDEN_PT = 6.0
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def draw_map(
    figure: Figure, box: tuple[float, float, float, float], hole: Hole, tee: str, units: Units, most: int
) -> tuple[Axes, dict[str, Trouble]]:
    """Draw the hole into ``box`` (shares of the figure), with a letter on the first ``most`` pieces of trouble.

    Returns the axes, and trouble by its letter.
    """
    view = view_from_tee(hole, tee)
    line = view.seen(line_ahead(hole, tee))
    wide, high = figure.get_size_inches()
    window = fitted(_window(hole, view, line), box[3] * high / (box[2] * wide))
    axes = map_axes(figure, box, window)
    paint(axes, patches(hole, view, window))
    _line_of_play(axes, line)
    labels = LabelPlaces(axes)
    scale = (window[3] - window[1]) / (box[3] * high * 72.0)  # metres a point
    labels.keep_free((0.0, 0.0), 5.0)
    found = trouble(hole, tee, view)[: min(most, len(_LETTERS))]
    for each in found:
        labels.keep_free(each.place, min(0.5 * each.area_m2**0.5 / scale, _HIDDEN_PT))
    _marks(axes, labels, line, view.point(green_of(hole).middle), scale, units)
    _other_tees(axes, labels, hole, tee, view, scale)
    return axes, _letters(labels, found, window, scale)


def _window(hole: Hole, view: View, line: FloatArray) -> Window:
    shown = np.vstack([line, green_outline(hole, view), view.seen(list(hole.tees.values()))])
    (left, near), (right, far) = shown.min(axis=0), shown.max(axis=0)
    return float(left - _SIDE_M), float(near - _END_M), float(right + _SIDE_M), float(far + _END_M)


def _line_of_play(axes: Axes, line: FloatArray) -> None:
    axes.plot(*line.T, color=INK, lw=0.7, ls=(0, (5, 4)), zorder=3)
    axes.plot(0.0, 0.0, marker="s", ms=6, color=INK, zorder=5)


def _marks(
    axes: Axes, labels: LabelPlaces, line: FloatArray, middle: Point, scale: float, units: Units
) -> None:
    """To the right how far it is to the middle of the green, to the left how far from the tee."""
    unit_m = METRES_PER[shot_unit(units)]
    whole_m = float(np.hypot(*middle))
    for centre, first, side, colour in ((middle, _STEP, 1.0, INK), ((0.0, 0.0), 2 * _STEP, -1.0, PLUM)):
        for length in np.arange(first, whole_m / unit_m + 300.0, _STEP).tolist():
            place = _on_line(line, centre, length * unit_m, last=side > 0)
            if place is not None and _CLEAR_M < _along(line, place) < _total(line) - _CLEAR_M:
                _mark(axes, labels, line, place, side, f"{length:.0f}", colour, scale)


def _mark(
    axes: Axes, labels: LabelPlaces, line: FloatArray, place: FloatArray, side: float, text: str, colour: str,
    scale: float,
) -> None:  # fmt: skip
    """A tick across one side of the line, and its length where there is room beside it."""
    right = _right_of(line, place)
    end = place + side * _HALF_MARK_M * right
    across = "left" if side > 0 else "right"
    spots = [end + side * step * scale * right for step in (2.0, 10.0, 18.0, 26.0)]
    plate: dict[str, Any] = {"boxstyle": "round,pad=0.12", "facecolor": PAPER, "edgecolor": "none"}
    written = labels.write(
        text, [((float(x), float(y)), across, "center") for x, y in spots], fontsize=SMALL_PT, color=colour,
        zorder=8, bbox=plate,
    )  # fmt: skip
    if written:
        beside = np.array(written.get_position()) - side * 2.0 * scale * right
        axes.plot(*np.array([place, beside]).T, color=colour, lw=1.1, zorder=4)


def _other_tees(axes: Axes, labels: LabelPlaces, hole: Hole, tee: str, view: View, scale: float) -> None:
    for name, spot in hole.tees.items():
        place = view.point(spot)
        if name != tee and np.hypot(*place) > 4.0:
            axes.plot(*place, marker="s", ms=4.5, mfc=PAPER, mec=INK, mew=1.0, zorder=5)
            labels.keep_free(place, 3.5)
            labels.write(
                name,
                around(place, 6.0 * scale),
                fontsize=SMALL_PT,
                color=QUIET,
                zorder=8,
                path_effects=halo(),
            )


def _letters(labels: LabelPlaces, found: list[Trouble], window: Window, scale: float) -> dict[str, Trouble]:
    """A letter in a disc on each piece of trouble, nearest first."""
    by_letter: dict[str, Trouble] = {}
    left, near, right, far = window
    disc: dict[str, Any] = {
        "boxstyle": "circle,pad=0.18",
        "facecolor": PAPER,
        "edgecolor": INK,
        "linewidth": 0.7,
    }
    for each in found:
        edge = 9.0 * scale
        x = min(max(each.place[0], left + edge), right - edge)
        y = min(max(each.place[1], near + edge), far - edge)
        letter = _LETTERS[len(by_letter)]
        spots = [spot for gap in (7.0, 11.0, 15.0, 19.0) for spot in around((x, y), gap * scale)]
        if labels.write(letter, spots, fontsize=SMALL_PT, fontweight="bold", zorder=9, bbox=disc):
            by_letter[letter] = each
    return by_letter


def _on_line(line: FloatArray, centre: Point, radius_m: float, *, last: bool) -> FloatArray | None:
    """Where the line is that far from ``centre``: the last such place, or the first."""
    found = []
    for start, end in pairwise(line - np.asarray(centre)):
        along = end - start
        a, b, c = float(along @ along), float(start @ along), float(start @ start) - radius_m**2
        if a > 0.0 and b * b - a * c >= 0.0:
            root = np.sqrt(b * b - a * c)
            found += [
                start + share * along for share in ((-b - root) / a, (-b + root) / a) if 0 <= share <= 1
            ]
    return None if not found else found[-1 if last else 0] + np.asarray(centre)


def _leg(line: FloatArray, place: FloatArray) -> int:
    """The leg of the line that a place lies on."""
    starts, legs = line[:-1], np.diff(line, axis=0)
    share = np.clip(((place - starts) * legs).sum(axis=1) / (legs**2).sum(axis=1), 0.0, 1.0)
    return int(np.argmin(np.hypot(*(starts + share[:, None] * legs - place).T)))


def _right_of(line: FloatArray, place: FloatArray) -> FloatArray:
    x, y = line[_leg(line, place) + 1] - line[_leg(line, place)]
    right: FloatArray = np.array([y, -x]) / np.hypot(x, y)
    return right


def _along(line: FloatArray, place: FloatArray) -> float:
    leg = _leg(line, place)
    before = np.hypot(*np.diff(line[: leg + 1], axis=0).T).sum() if leg else 0.0
    return float(before + np.hypot(*(place - line[leg])))


def _total(line: FloatArray) -> float:
    return float(np.hypot(*np.diff(line, axis=0).T).sum())
