"""Numbers with their ranges, one above the other: the name on a line, below it a dot and how far it may be off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text

from rangework.report.label_places import text_box
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

_ROW_IN, _TOP_IN, _BOTTOM_IN = 0.42, 0.45, 0.12
_SIDE_IN, _VALUE_IN = 0.08, 0.62


@dataclass(frozen=True, slots=True)
class Ranged:
    """A named number and the range it lies in; ``told`` stands beside its name, quietly."""

    name: str
    value: float
    low: float
    high: float
    told: str = ""


def ranges_chart(rows: Sequence[Ranged], *, left: str = "", right: str = "", decimals: int = 2) -> Figure:
    """Rows in the order given. ``left`` and ``right`` say what lies on either side of 0."""
    height = _TOP_IN + _BOTTOM_IN + _ROW_IN * len(rows)
    with drawing():
        figure = sheet(SHEET_IN, height)
        across = (SHEET_IN - _SIDE_IN - _VALUE_IN) / SHEET_IN
        axes = figure.add_axes(
            (_SIDE_IN / SHEET_IN, _BOTTOM_IN / height, across, 1.0 - (_TOP_IN + _BOTTOM_IN) / height)
        )
        _frame(axes, rows)
        _sides(axes, left, right)
        for place, row in enumerate(rows):
            _row(axes, place, row, decimals)
    return figure


def _frame(axes: Axes, rows: Sequence[Ranged]) -> None:
    ends = [0.0, *(end for row in rows for end in (row.low, row.high, row.value))]
    low, high = min(ends), max(ends)
    margin = 0.04 * (high - low or 1.0)
    axes.set_xlim(low - margin, high + margin)
    axes.set_ylim(len(rows), 0.0)
    axes.axis("off")
    axes.axvline(0.0, color=QUIET, linewidth=0.8, ymin=0.0, ymax=1.0)
    for tick in round_ticks(low, high):
        if tick:
            axes.axvline(tick, color=QUIET, linewidth=0.3, dashes=(1, 4))
        axes.text(
            tick, _above(axes, 0.04), f"{tick:+g}" if tick else "0", transform=axes.get_xaxis_transform(),
            ha="center", va="bottom", fontsize=FINE_PT, color=QUIET,
        )  # fmt: skip


def round_ticks(low: float, high: float) -> list[float]:
    """At most five round numbers within the range."""
    raw = (high - low) / 4.0 or 1.0
    power = 10.0 ** np.floor(np.log10(raw))
    step = float(power * next(each for each in (1.0, 2.0, 5.0, 10.0) if each * power >= raw))
    return [round(step * k, 6) for k in range(int(np.ceil(low / step)), int(np.floor(high / step)) + 1)]


def _sides(axes: Axes, left: str, right: str) -> None:
    for words, place, side in ((left, 0.0, "left"), (right, 1.0, "right")):
        axes.text(
            place, _above(axes, 0.22), words, transform=axes.transAxes,
            ha=side, va="bottom", fontsize=SMALL_PT, color=QUIET,
        )  # fmt: skip


def _above(axes: Axes, inches: float) -> float:
    """A place so far above the frame, in shares of its height."""
    return 1.0 + inches * DOTS_PER_INCH / axes.get_window_extent().height


def _row(axes: Axes, place: int, row: Ranged, decimals: int) -> None:
    line, across = place + 0.72, axes.get_yaxis_transform()
    name = axes.text(
        0.0, place + 0.44, row.name, transform=across, ha="left", va="bottom", fontsize=TEXT_PT, color=INK,
        bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8},
    )  # fmt: skip
    if row.told:
        _tell(axes, name, place + 0.44, row.told)
    axes.plot([row.low, row.high], [line, line], color=PLUM, linewidth=2.2, alpha=0.45)
    axes.plot([row.value], [line], marker="o", markersize=6.5, color=PLUM)
    axes.text(
        (SHEET_IN - 2.0 * _SIDE_IN) / (SHEET_IN - _SIDE_IN - _VALUE_IN), line,
        f"{round(row.value, decimals) + 0.0:+.{decimals}f}",  # never a negative zero
        transform=across, ha="right", va="center", fontsize=TEXT_PT, color=INK,
    )  # fmt: skip


def _tell(axes: Axes, name: Text, height: float, words: str) -> None:
    """Quiet words right of a name."""
    after = axes.transAxes.inverted().transform((text_box(name).x1, 0.0))[0] + 0.025
    axes.text(
        after, height, words, transform=axes.get_yaxis_transform(), ha="left", va="bottom",
        fontsize=FINE_PT, color=QUIET, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8},
    )  # fmt: skip
