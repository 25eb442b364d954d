"""How often putts are holed by length, beside the golfer that the player is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from rangework.report.style import FINE_PT, INK, PLUM, QUIET, SHEET_IN, SMALL_PT, drawing, halo, sheet

_HEIGHT_IN = 3.1


@dataclass(frozen=True, slots=True)
class Holed:
    """The chance of holing from one length (in the unit shown), with its range, and that of the other golfer."""

    length: float
    chance: float
    low: float
    high: float
    other: float


def putting_chart(putts: Sequence[Holed], unit: str, player: str, other: str) -> Figure:
    """Chances in per cent over length; lines are named where they are, and nothing else needs a key."""
    length = np.array([putt.length for putt in putts])
    with drawing():
        figure = sheet(SHEET_IN, _HEIGHT_IN)
        axes = figure.add_axes((0.1, 0.19, 0.86, 0.75))
        axes.set_xscale("log")
        axes.set_xlim(length[0] / 1.06, length[-1] * 1.06)
        axes.set_ylim(0.0, 104.0)
        axes.fill_between(
            length, [100 * putt.low for putt in putts], [100 * putt.high for putt in putts],
            color=PLUM, alpha=0.16, linewidth=0,
        )  # fmt: skip
        axes.plot(
            length, [100 * putt.chance for putt in putts], color=PLUM, linewidth=2.0, marker="o", markersize=4
        )
        axes.plot(length, [100 * putt.other for putt in putts], color=INK, linewidth=1.1, dashes=(4, 3))
        axes.set_xticks(length, [f"{each:g}" for each in length])
        axes.set_xticks([], minor=True)
        axes.set_yticks([0, 25, 50, 75, 100], ["0", "25", "50", "75", "100 %"])
        axes.tick_params(colors=QUIET, labelsize=FINE_PT, length=2)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        figure.text(
            0.53,
            0.015,
            f"length of the putt, {unit}",
            ha="center",
            va="bottom",
            fontsize=SMALL_PT,
            color=QUIET,
        )
        _name_lines(axes, putts, player, other)
    return figure


def _name_lines(axes: Axes, putts: Sequence[Holed], player: str, other: str) -> None:
    """The better line is named above, the other below, at a third of the way."""
    at = len(putts) // 3
    mine, theirs = 100 * putts[at].chance, 100 * putts[at].other
    above = mine >= theirs
    for words, value, colour, up in ((player, mine, PLUM, above), (other, theirs, INK, not above)):
        axes.annotate(
            words, (putts[at].length, value), (8 if up else -8, 7 if up else -7), textcoords="offset points",
            ha="left" if up else "right", va="bottom" if up else "top",
            fontsize=SMALL_PT, color=colour, path_effects=halo(),
        )  # fmt: skip
