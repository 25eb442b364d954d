"""Targets compared, in a picture: what every target costs, and for each choice where its shots finish."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.path import Path
from numpy.typing import NDArray

from rangework.aim import AimAdvice, Choice, target_text
from rangework.aim.landing import finishes
from rangework.aim.target_field import TargetField
from rangework.aim.values import AimPoints
from rangework.course.geometry import Course, Hole, Point
from rangework.course.hole_view import FloatArray, Patch, View, Window, patches
from rangework.lie import Ground
from rangework.report.hole_ground import SCALE_BELOW_PT, map_axes, paint, scale_bar
from rangework.report.hole_page import credit
from rangework.report.isolines import Isolines, draw_isolines, isolines
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
    TITLE_PT,
    drawing,
    halo,
    sheet,
)
from rangework.units import METRES_PER, Units, shot_unit

#: Balls shown for each choice.
SHOWN_BALLS = 150
_EDGE_IN, _GAP_IN = 0.16, 0.2
_HEAD_IN, _FOOT_IN = 0.78, 1.3
#: Lines of a caption, and the letters of one.
_LINE_IN, _LINE_LETTERS, _MOST_LINES = 0.16, 25, 3
#: A flag on its mast, whose foot is where it stands.
_FLAG = Path([(0.0, 0.0), (0.0, 1.0), (0.62, 0.82), (0.0, 0.62), (0.0, 0.0)], closed=True)
#: Places on the overview's flag and mast, in points right of the hole and above it, that no label may cover.
_FLAG_PT = ((0.0, 8.0), (0.0, 16.0), (3.0, 25.0), (12.0, 25.0))
#: What is said of two targets that the records do not tell apart.
SAME = "no real difference"
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, eq=False)
class _Scene:
    """What all panels share: the sight, the ground, the lines, and the places of pin, ball and choices in it."""

    advice: AimAdvice
    field: TargetField
    ground: list[Patch]
    lines: Isolines
    places: list[Point]
    units: Units

    @property
    def window(self) -> Window:
        right, beyond = self.field.right_m, self.field.beyond_m
        return float(right[0]), float(beyond[0]), float(right[-1]), float(beyond[-1])

    @property
    def proportion(self) -> float:
        left, near, right, far = self.window
        return (far - near) / (right - left)

    def seen(self, places_m: FloatArray) -> FloatArray:
        """Places of the grid's plane in this sight."""
        return self.field.seen(places_m - np.asarray(self.advice.comparison.aiming.played.pin_m))


def aim_picture(advice: AimAdvice, course: Course, hole: Hole, units: Units) -> Figure:
    """One sheet: the targets on their isolines, then a panel for each choice. ``advice`` must hold its field."""
    assert advice.field is not None
    with drawing():
        scene = _scene(advice, advice.field, hole, units)
        wide = SHEET_IN - 2 * _EDGE_IN
        tall = wide * scene.proportion
        small = (wide - _GAP_IN) / 2
        low = small * scene.proportion
        names = [_caption_lines(scene, index) for index in range(len(scene.places))]
        captions = [_LINE_IN * (max(map(len, names[row : row + 2])) + 1.6) for row in range(0, len(names), 2)]
        height = _HEAD_IN + tall + 0.2 + sum(captions) + low * len(captions) + _FOOT_IN
        figure = sheet(SHEET_IN, height)
        _head(figure, advice, units)
        _overview(figure, scene, (_EDGE_IN, height - _HEAD_IN - tall, wide, tall))
        top = height - _HEAD_IN - tall - 0.2
        for row, caption in enumerate(captions):
            top -= caption + low
            for column, name in enumerate(names[2 * row : 2 * row + 2]):
                box = (_EDGE_IN + column * (small + _GAP_IN), top, small, low)
                _panel(figure, scene, 2 * row + column, box, name)
        _foot(figure, scene, course)
    return figure


def _scene(advice: AimAdvice, field: TargetField, hole: Hole, units: Units) -> _Scene:
    compared = advice.comparison
    grid, pin = compared.aiming.played.layout.grid, np.asarray(compared.aiming.played.pin_m)
    x, y = grid.to_hole(pin).tolist()
    view = View((x, y), grid.turn_rad + field.turn_rad)
    window = (
        float(field.right_m[0]), float(field.beyond_m[0]), float(field.right_m[-1]), float(field.beyond_m[-1])
    )  # fmt: skip
    lines = isolines(field.right_m, field.beyond_m, field.values, share=compared.unit != "strokes")
    seen = field.seen(np.array([choice.shot.place_m for choice in compared.choices]) - pin)
    places = [(float(right), float(beyond)) for right, beyond in seen]
    return _Scene(advice, field, patches(hole, view, window), lines, places, units)


def _axes(figure: Figure, scene: _Scene, box_in: tuple[float, float, float, float]) -> Axes:
    wide, high = figure.get_size_inches()
    x, y, w, h = box_in
    axes = map_axes(figure, (x / wide, y / high, w / wide, h / high), scene.window)
    paint(axes, scene.ground, pale=True)
    return axes


def _overview(figure: Figure, scene: _Scene, box_in: tuple[float, float, float, float]) -> None:
    """All targets by letter on the lines of equal cost."""
    axes = _axes(figure, scene, box_in)
    labels = LabelPlaces(axes)
    scale = _metres_a_point(scene, box_in[3])
    _pin(axes, scene)
    for place in (*scene.places, *([(0.0, 0.0)] if _shows_pin(scene) else [])):
        labels.keep_free(place, 4.0)
    for right_pt, up_pt in _FLAG_PT if _shows_pin(scene) else ():
        labels.keep_free((right_pt * scale, up_pt * scale), 5.0)
    for index, place in enumerate(scene.places):
        _target(axes, place, best=index == scene.advice.comparison.best)
        spots = [spot for gap in (5.0, 8.0, 12.0, 17.0) for spot in around(place, gap * scale)]
        labels.write(
            _LETTERS[index], spots, fontsize=TEXT_PT, fontweight="bold", zorder=9, path_effects=halo(3.0)
        )
    draw_isolines(axes, scene.lines, labels)
    unit = shot_unit(scene.units)
    scale_bar(axes, 10.0 * METRES_PER[unit], f"10 {unit}")
    told = "chance of the score" if scene.advice.score else "expected strokes"
    axes.annotate(
        f"lines: {told}, by target", (1.0, 0.0), xycoords="axes fraction",
        xytext=(0, -SCALE_BELOW_PT), textcoords="offset points",
        ha="right", va="center", fontsize=SMALL_PT, color=PLUM, annotation_clip=False,
    )  # fmt: skip


def _panel(
    figure: Figure, scene: _Scene, index: int, box_in: tuple[float, float, float, float], caption: list[str]
) -> None:
    """One choice: its target, the best one, where its shots finish, and the lines again."""
    axes = _axes(figure, scene, box_in)
    draw_isolines(axes, scene.lines, None, alpha=0.45, lw=0.7)
    _break_even(axes, scene)
    _balls(axes, scene, scene.advice.comparison.choices[index])
    _pin(axes, scene, 20.0)
    best = scene.advice.comparison.best
    if index != best:
        axes.plot(*scene.places[best], marker="o", ms=7, mfc="none", mec=PLUM, mew=1.4, zorder=8)
    _target(axes, scene.places[index], best=index == best)
    for line, text in enumerate(caption):
        axes.annotate(
            text, (0.0, 1.0), xycoords="axes fraction", va="bottom", fontsize=SMALL_PT, annotation_clip=False,
            xytext=(0, 4.0 + 72.0 * _LINE_IN * (len(caption) - 1 - line)), textcoords="offset points",
            fontweight="normal" if line == len(caption) - 1 else "bold",
        )  # fmt: skip


def _caption_lines(scene: _Scene, index: int) -> list[str]:
    """A choice's letter and name, and below them what it costs beside the best."""
    compared = scene.advice.comparison
    choice, apart = compared.choices[index], compared.difference(index, compared.best)
    words = f"{_LETTERS[index]}  {target_text(choice.target, scene.units)}"
    name = textwrap.wrap(words, _LINE_LETTERS, max_lines=_MOST_LINES, placeholder=" …")
    if choice.reached is None:
        figures, much = f"{choice.strokes.value:.2f} strokes", f"{apart.amount.value:.2f} dearer"
    else:
        figures, much = f"{100 * choice.reached.value:.1f} of 100", f"{100 * apart.amount.value:.1f} fewer"
    verdict = "best" if index == compared.best else much if apart.is_real else SAME
    return [*name, f"{figures}, {verdict}"]


def sampled_finishes(
    advice: AimAdvice, choice: Choice, count: int = SHOWN_BALLS
) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Where ``count`` shots of a choice stop, on the grid's plane (count, 2), and which of them are lost.

    Evenly drawn from all the error points behind the choice's chances, so that their shares agree with those.
    """
    aiming = advice.comparison.aiming
    found = finishes(aiming, choice.shot, AimPoints.usual().value)
    order = np.random.default_rng(0).permutation(len(found.weight))
    ground = aiming.played.layout.grid.ground_at(found.x_m[order], found.y_m[order])
    order = order[np.argsort(ground, kind="stable")]  # so that each kind of ground gets its share
    reached = np.cumsum(found.weight[order])
    drawn = order[np.searchsorted(reached, (np.arange(count) + 0.5) / count * reached[-1])]
    places = np.stack([found.x_m[drawn], found.y_m[drawn]], axis=1)
    lost = np.isin(aiming.played.layout.grid.ground_at(*places.T), (Ground.WATER, Ground.OUT))
    return places, lost


def _balls(axes: Axes, scene: _Scene, choice: Choice) -> None:
    places, lost = sampled_finishes(scene.advice, choice)
    seen = scene.seen(places)
    axes.plot(*seen[~lost].T, ls="none", marker="o", ms=2.3, mfc=INK, mec=PAPER, mew=0.25, zorder=6)
    axes.plot(*seen[lost].T, ls="none", marker="x", ms=3.4, mec=INK, mew=0.9, zorder=6)


def _break_even(axes: Axes, scene: _Scene) -> None:
    if scene.advice.line is None:
        return
    for line in scene.advice.line.lines_m:
        axes.plot(*scene.field.seen(line).T, color=INK, lw=1.1, ls=(0, (4, 2)), zorder=5)


def _target(axes: Axes, place: Point, *, best: bool) -> None:
    axes.plot(*place, marker="+", ms=9, mec=PAPER, mew=3.4, zorder=8)
    axes.plot(*place, marker="+", ms=8, mec=INK, mew=1.6, zorder=8.1)
    if best:
        axes.plot(*place, marker="o", ms=12, mfc="none", mec=PLUM, mew=1.4, zorder=8)


def _shows_pin(scene: _Scene) -> bool:
    left, near, right, far = scene.window
    return left < 0.0 < right and near < 0.0 < far


def _pin(axes: Axes, scene: _Scene, high_pt: float = 30.0) -> None:
    """A flag, its foot in the hole."""
    if not _shows_pin(scene):
        return
    axes.plot(0.0, 0.0, marker=_FLAG, ms=high_pt, mfc=INK, mec=INK, mew=0.8, zorder=7)
    axes.plot(0.0, 0.0, marker="o", ms=3.4, mfc=INK, mec=PAPER, mew=0.5, zorder=7.1)


def _metres_a_point(scene: _Scene, high_in: float) -> float:
    return (scene.window[3] - scene.window[1]) / (high_in * 72.0)


def _head(figure: Figure, advice: AimAdvice, units: Units) -> None:
    aiming = advice.comparison.aiming
    layout, high = aiming.played.layout, figure.get_size_inches()[1]
    unit = shot_unit(units)
    x, width = _EDGE_IN / SHEET_IN, 1.0 - 2 * _EDGE_IN / SHEET_IN
    figure.text(x, 1.0 - 0.2 / high, f"Hole {layout.number}", fontsize=TITLE_PT, fontweight="bold", va="top")
    lie = "tee" if aiming.ball.row == 0 or aiming.ball.stroke == 1 else aiming.ball.lie.name.lower()
    where = f"{aiming.to_pin_m / METRES_PER[unit]:.0f} {unit} from the {lie}"
    pin = textwrap.shorten(f"pin {advice.pin}", 34, placeholder="…")
    figure.text(x + width, 1.0 - 0.2 / high, pin, fontsize=TEXT_PT, ha="right", va="top")
    if advice.score is not None:
        aim = f"for {advice.score} or better"
        figure.text(x, 1.0 - 0.52 / high, aim, fontsize=TEXT_PT, color=PLUM, va="top")
    figure.text(x + width, 1.0 - 0.38 / high, where, fontsize=TEXT_PT, ha="right", va="top")


def _foot(figure: Figure, scene: _Scene, course: Course) -> None:
    """What the marks mean, the caution, and whose data it is."""
    high = figure.get_size_inches()[1]
    line = scene.advice.line
    marks = [
        f"+ target   dots: where {SHOWN_BALLS} such shots finish   x lost",
        "ring: the best target   thin lines: as above",
    ]
    if np.isnan(scene.field.values).any():
        marks.append("lines end where targets are out of reach or off the map")
    if line is not None:
        marks.append(f"dashed: break-even, {line.strokes:.2f} strokes from here")
    caution = "Never toward people. The map does not know who stands on it."
    texts: Sequence[tuple[str, float, str]] = [
        *((each, SMALL_PT, INK) for each in marks), (caution, SMALL_PT, INK), (credit(course), FINE_PT, QUIET),
    ]  # fmt: skip
    y = _FOOT_IN - 0.16
    for text, size, colour in texts:
        figure.text(_EDGE_IN / SHEET_IN, y / high, text, fontsize=size, color=colour, va="top")
        y -= 0.175
