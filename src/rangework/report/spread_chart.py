"""Where shots finish around their targets, seen from above the player: one oval for each distance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse

from rangework.report.style import FINE_PT, INK, PLUM, QUIET, SHEET_IN, SMALL_PT, drawing, halo, sheet
from rangework.units import METRES_PER, Units, shot_unit

#: Half axes of the oval that holds two of three solid shots, in standard deviations: sqrt(2 ln 3).
TWO_OF_THREE = float(np.sqrt(2.0 * np.log(3.0)))
_HEIGHT_IN, _MARGIN_IN = 6.6, 0.34


@dataclass(frozen=True, slots=True)
class Spread:
    """Solid shots at one target, metres: middle of where they finish, and standard deviations across and along."""

    name: str
    target_m: float
    right_m: float
    long_m: float
    across_m: float
    along_m: float


def spread_chart(spreads: Sequence[Spread], units: Units) -> Figure:
    """All targets in one line away from the player, to scale."""
    unit = shot_unit(units)
    scale = 1.0 / METRES_PER[unit]
    with drawing():
        figure = sheet(SHEET_IN, _HEIGHT_IN)
        axes = figure.add_axes((0.0, _MARGIN_IN / _HEIGHT_IN, 1.0, 1.0 - 1.4 * _MARGIN_IN / _HEIGHT_IN))
        _frame(axes, spreads, scale)
        for spread in spreads:
            _oval(axes, spread, scale)
        figure.text(
            0.5, 0.012, f"oval: 2 of 3 solid shots · cross: target · {unit}, to scale",
            ha="center", va="bottom", fontsize=SMALL_PT, color=QUIET,
        )  # fmt: skip
    return figure


def _frame(axes: Axes, spreads: Sequence[Spread], scale: float) -> None:
    far = scale * max(spread.target_m + spread.long_m + TWO_OF_THREE * spread.along_m for spread in spreads)
    height = _HEIGHT_IN - 1.4 * _MARGIN_IN
    top = 1.05 * far
    half = 0.5 * (top + 0.03 * far) * SHEET_IN / height
    axes.set_xlim(-0.8 * half, 1.2 * half)
    axes.set_ylim(-0.03 * far, top)
    axes.axis("off")
    axes.plot([0.0, 0.0], [0.0, top], color=QUIET, linewidth=0.6, dashes=(5, 4))
    axes.plot([0.0], [0.0], marker="s", markersize=6, color=INK)


def _oval(axes: Axes, spread: Spread, scale: float) -> None:
    x, y = scale * spread.right_m, scale * (spread.target_m + spread.long_m)
    width, height = (2.0 * TWO_OF_THREE * scale * each for each in (spread.across_m, spread.along_m))
    axes.add_patch(Ellipse((x, y), width, height, facecolor=PLUM, alpha=0.16, edgecolor="none"))
    axes.add_patch(Ellipse((x, y), width, height, facecolor="none", edgecolor=PLUM, linewidth=1.2))
    axes.plot([0.0], [scale * spread.target_m], marker="+", markersize=8, color=INK, markeredgewidth=1.2)
    right = axes.get_xlim()[1]
    axes.text(
        0.97 * right, y, f"{spread.name}, {scale * spread.target_m:.0f}",
        ha="right", va="bottom", fontsize=SMALL_PT, color=INK, path_effects=halo(),
    )  # fmt: skip
    axes.text(
        0.97 * right, y, f"{width:.0f} wide, {height:.0f} deep",
        ha="right", va="top", fontsize=FINE_PT, color=QUIET, path_effects=halo(),
    )  # fmt: skip
