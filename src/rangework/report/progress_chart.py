"""Tests of one player over time: a panel for all balls and one for each distance, with the usual figure by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from rangework.report.label_places import LabelPlaces
from rangework.report.ranges_chart import round_ticks
from rangework.report.style import (
    DOTS_PER_INCH,
    FINE_PT,
    INK,
    PAPER,
    PLUM,
    QUIET,
    SHEET_IN,
    SMALL_PT,
    TEXT_PT,
    drawing,
    sheet,
)

Item = TypeVar("Item")

_LEFT_IN, _RIGHT_IN, _HEAD_IN, _DAYS_IN, _FOOT_IN = 0.42, 0.1, 0.3, 0.24, 0.5
_NAME_IN, _FIRST_IN, _OTHER_IN = 0.3, 1.4, 1.1
#: Room beside the first and last day, and above and below all ranges, for their numbers: shares of the whole.
_ASIDE, _ABOVE = 0.13, 0.18
_DOT_PT = 5.5
_KEY = (
    "Dot and bar: what is usual, with its 90 % range, as all tests tell it. Ring: the balls of that day.\n"
    "Full line: the change from first to last is real with 90 %. Dashed: it may be luck."
)


@dataclass(frozen=True, slots=True)
class PlayedTest:
    """One test: strokes gained a ball as usual, its 90 % range, and the mean of that day's balls (None: no ball)."""

    day: date
    usual: float
    low: float
    high: float
    seen: float | None


@dataclass(frozen=True, slots=True)
class Track:
    """All balls, or those of one distance, from test to test; ``told`` says of the change what ``real`` decides."""

    name: str
    days: Sequence[PlayedTest]
    told: str
    real: bool


def progress_chart(tracks: Sequence[Track], against: str) -> Figure:
    """A panel for each track, all of one scale; ``against`` names the golfer that strokes are gained on."""
    heights = [_FIRST_IN if place == 0 else _OTHER_IN for place in range(len(tracks))]
    total = _HEAD_IN + _DAYS_IN + _FOOT_IN + sum(heights) + _NAME_IN * len(tracks)
    with drawing():
        figure = sheet(SHEET_IN, total)
        figure.text(
            0.02, 1.0 - 0.06 / total, f"Strokes gained a ball on {against}",
            ha="left", va="top", fontsize=SMALL_PT, color=QUIET,
        )  # fmt: skip
        top = total - _HEAD_IN
        for track, height in zip(tracks, heights, strict=True):
            top -= _NAME_IN + height
            axes = _panel(figure, top, height, tracks)
            figure.text(
                0.02, (top + height + 0.06) / total, track.name, ha="left", va="bottom", fontsize=TEXT_PT, color=INK
            )  # fmt: skip
            figure.text(
                1.0 - _RIGHT_IN / SHEET_IN, (top + height + 0.06) / total, track.told,
                ha="right", va="bottom", fontsize=SMALL_PT, color=PLUM if track.real else QUIET,
            )  # fmt: skip
            _draw(axes, track)
        _name_days(_panel(figure, top - _DAYS_IN, _DAYS_IN, tracks, bare=True), tracks[0].days)
        figure.text(0.02, 0.06 / total, _KEY, ha="left", va="bottom", fontsize=FINE_PT, color=QUIET)
    return figure


def _panel(
    figure: Figure, bottom_in: float, height_in: float, tracks: Sequence[Track], *, bare: bool = False
) -> Axes:
    total = figure.get_size_inches()[1]
    across = (SHEET_IN - _LEFT_IN - _RIGHT_IN) / SHEET_IN
    axes = figure.add_axes((_LEFT_IN / SHEET_IN, bottom_in / total, across, height_in / total))
    days = [float(each.day.toordinal()) for each in tracks[0].days]
    aside = _ASIDE * (max(days) - min(days) or 1.0) / (1.0 - 2.0 * _ASIDE)
    axes.set_xlim(min(days) - aside, max(days) + aside)
    axes.axis("off")
    if not bare:
        _scale(axes, tracks)
    return axes


def _scale(axes: Axes, tracks: Sequence[Track]) -> None:
    """One scale for all panels: round numbers at the left, and the line of no stroke gained."""
    every = [each for track in tracks for each in track.days]
    ends = [
        0.0,
        *(end for each in every for end in (each.low, each.high, each.usual, each.seen) if end is not None),
    ]
    low, high = min(ends), max(ends)
    room = _ABOVE * (high - low or 1.0)
    axes.set_ylim(low - room, high + room)
    for tick in round_ticks(low, high):
        axes.axhline(
            tick, color=QUIET, linewidth=0.3 if tick else 0.8, dashes=(1, 4) if tick else (1, 0), zorder=0
        )
        axes.text(
            -0.015, tick, f"{tick:+g}" if tick else "0", transform=axes.get_yaxis_transform(),
            ha="right", va="center", fontsize=FINE_PT, color=QUIET,
        )  # fmt: skip


def _draw(axes: Axes, track: Track) -> None:
    at = [float(each.day.toordinal()) for each in track.days]
    axes.plot(
        at, [each.usual for each in track.days], color=PLUM, linewidth=1.8 if track.real else 1.0,
        linestyle="-" if track.real else (0, (4, 3)), zorder=1,
    )  # fmt: skip
    places = LabelPlaces(axes)
    for x, each in zip(at, track.days, strict=True):
        axes.plot([x, x], [each.low, each.high], color=PLUM, linewidth=2.2, alpha=0.45, zorder=2)
        axes.plot([x], [each.usual], marker="o", markersize=_DOT_PT, color=PLUM, zorder=3)
        places.keep_free((x, each.usual), 3.5)
        if each.seen is not None:
            axes.plot([x], [each.seen], marker="o", markersize=_DOT_PT, markeredgecolor=QUIET, markerfacecolor=PAPER,
                      markeredgewidth=0.9, zorder=2.5)  # fmt: skip
            places.keep_free((x, each.seen), 3.5)
    for x, each in _ends_first(list(zip(at, track.days, strict=True))):
        top, bottom = _marks(axes, each)
        aside = (axes.get_xlim()[1] - axes.get_xlim()[0]) * 0.024
        beside = [((x + aside, each.usual), "left", "center")] if x == at[-1] else []
        beside += [((x - aside, each.usual), "right", "center")] if x == at[0] else []
        places.write(
            f"{round(each.usual, 2) + 0.0:+.2f}",
            [*beside, ((x, top), "center", "bottom"), ((x, bottom), "center", "top")],
            fontsize=SMALL_PT, color=INK, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6},
        )  # fmt: skip


def _marks(axes: Axes, each: PlayedTest) -> tuple[float, float]:
    """The top and the bottom of all marks of a day."""
    low, high = axes.get_ylim()
    dot = 0.9 * _DOT_PT * DOTS_PER_INCH / 72.0 / axes.get_window_extent().height * (high - low)
    dots = [each.usual] if each.seen is None else [each.usual, each.seen]
    return max([each.high, *(place + dot for place in dots)]), min(
        [each.low, *(place - dot for place in dots)]
    )


def _name_days(axes: Axes, days: Sequence[PlayedTest]) -> None:
    """The dates, first and last before those between, as far as there is room; the year where it is another."""
    axes.set_ylim(0.0, 1.0)
    places = LabelPlaces(axes)
    first, last = days[0].day, days[-1].day
    for each in _ends_first(days):
        with_year = each.day == last or (each.day == first and first.year != last.year)
        words = f"{each.day.day} {each.day:%b}" + (f" {each.day.year}" if with_year else "")
        x, (left, right) = float(each.day.toordinal()), axes.get_xlim()
        aside = (right - left) * 0.01
        ends = [((left + aside, 0.5), "left", "center")] if each.day == first else []
        ends += [((right - aside, 0.5), "right", "center")] if each.day == last else []
        places.write(words, [((x, 0.5), "center", "center"), *ends], fontsize=SMALL_PT, color=QUIET)


def _ends_first(items: Sequence[Item]) -> list[Item]:
    """Last, first, then the others."""
    return [items[-1], *items[:-1]] if len(items) > 1 else list(items)
