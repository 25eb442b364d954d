"""Lines of equal value in one hue, each with its value written once beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from rangework.course.hole_view import FloatArray
from rangework.report.label_places import LabelPlaces
from rangework.report.style import PLUM, SMALL_PT, halo

#: Spacings of the values, and how many lines there may be.
_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
_MOST = 6
_LAYER = 4


@dataclass(frozen=True, slots=True, eq=False)
class Isolines:
    """Levels with their lines (n, 2), those of the best level first."""

    levels: tuple[float, ...]
    lines: tuple[tuple[FloatArray, ...], ...]
    text: str

    def words(self, level: float) -> str:
        """A level as it is written beside its line."""
        return self.text.format(level)


def isolines(x: FloatArray, y: FloatArray, values: FloatArray, *, share: bool) -> Isolines:
    """Lines of ``values[y, x]`` at round levels from the best on; the best is the largest where it is a ``share``."""
    from contourpy import contour_generator

    shown = 100.0 * values if share else values
    levels = _levels(-shown if share else shown, 100.0 if share else 1.0)
    signed = [-level if share else level for level in levels]
    drawn = contour_generator(x, y, np.ma.masked_invalid(shown))
    lines = tuple(tuple(np.asarray(line) for line in drawn.lines(level)) for level in signed)
    kept = [(level, each) for level, each in zip(signed, lines, strict=True) if each]
    return Isolines(
        tuple(level for level, _ in kept), tuple(each for _, each in kept), "{:.0f} %" if share else "{:.2f}"
    )


def _levels(values: FloatArray, scale: float) -> list[float]:
    """Round levels above the least value: so close that two fifths of the ground lie within them."""
    least, middle = float(np.nanmin(values)), float(np.nanquantile(values, 0.4))
    step = next((each for each in _STEPS if each * scale * _MOST >= middle - least), _STEPS[-1]) * scale
    step = max(step, 1.0 if scale > 1.0 else 0.0)
    first = math.floor(least / step) + 1
    return [round((first + number) * step, 6) for number in range(_MOST)]


def draw_isolines(axes: Axes, found: Isolines, labels: LabelPlaces | None, **style: Any) -> None:
    """Draw the lines, the best one boldest; with ``labels`` each gets its value where there is room."""
    for rank, (level, lines) in enumerate(zip(found.levels, found.lines, strict=True)):
        width = 1.7 if rank == 0 else 1.0
        for line in lines:
            look: dict[str, Any] = {
                "color": PLUM,
                "lw": width,
                "zorder": _LAYER,
                "solid_capstyle": "butt",
                **style,
            }
            axes.plot(*line.T, gid=f"isoline {found.words(level)}", **look)
        if labels is not None:
            _label(labels, found.words(level), lines)


def _label(labels: LabelPlaces, text: str, lines: Sequence[FloatArray]) -> None:
    """Write the value on the longest of the lines, where nothing else is written."""
    longest = max(lines, key=len)
    order = np.argsort(np.abs(np.linspace(-0.5, 0.5, len(longest)) + 0.22), kind="stable")
    places = longest[order[:: max(len(order) // 60, 1)]]
    middle = longest.mean(axis=0)
    # a line too small to carry its number has it just outside
    outside = [middle + far * (places - middle) for far in (1.3, 1.8, 2.5, 4.0, 6.0)]
    spots = [((float(x), float(y)), "center", "center") for x, y in np.concatenate([places, *outside])]
    labels.write(text, spots, fontsize=SMALL_PT, color=PLUM, zorder=_LAYER + 2, path_effects=halo(3.0))
