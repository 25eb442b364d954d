"""A hole's ground on a page."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.transforms import ScaledTranslation

from rangework.course.hole_view import FloatArray, Patch, Window
from rangework.lie import Ground
from rangework.report.style import INK, SMALL_PT, TEXTURES

#: How far below a map its scale stands, in points: clear of the frame.
SCALE_BELOW_PT = 8.0
#: Ground beneath everything that is written or drawn on it.
_GROUND_LAYER = 1.0


def map_axes(figure: Figure, box: tuple[float, float, float, float], window: Window) -> Axes:
    """Axes in true proportion that show a window of a view's plane, fitted into ``box`` (shares of the figure)."""
    axes = figure.add_axes(box)
    left, near, right, far = window
    axes.set_xlim(left, right)
    axes.set_ylim(near, far)
    axes.set_aspect("equal")
    axes.set_xticks([])
    axes.set_yticks([])
    return axes


def fitted(window: Window, height_to_width: float) -> Window:
    """The window made wider or longer about its middle, until it has these proportions."""
    left, near, right, far = window
    wide, long = right - left, far - near
    more_wide = max(long / height_to_width - wide, 0.0) / 2
    more_long = max(wide * height_to_width - long, 0.0) / 2
    return left - more_wide, near - more_long, right + more_wide, far + more_long


def paint(axes: Axes, ground: Iterable[Patch], *, pale: bool = False) -> None:
    """Fill the ground, later kinds over earlier ones; ``pale`` leaves only outlines and patterns on white."""
    for step, patch in enumerate(ground):
        texture = TEXTURES[patch.ground]
        rank = _GROUND_LAYER + 0.001 * step
        path = path_of(patch.rings)
        colour = "none" if pale and not texture.hatch else texture.colour
        axes.add_patch(
            PathPatch(
                path, facecolor=colour, edgecolor=texture.hatch_colour, hatch=texture.hatch or None,
                linewidth=0.0, zorder=rank, alpha=0.45 if pale else None,
            )
        )  # fmt: skip
        edge = _edge(patch.ground, pale)
        if edge:
            axes.add_patch(PathPatch(path, fill=False, edgecolor=INK, linewidth=edge, zorder=rank + 0.0005))


def _edge(ground: Ground, pale: bool) -> float:
    if ground is Ground.GREEN:
        return 1.0
    if ground in (Ground.SAND, Ground.WATER):
        return 0.5
    return 0.4 if pale and ground is Ground.FAIRWAY else 0.0


def path_of(rings: Iterable[FloatArray]) -> Path:
    """A closed path of an outline and its holes."""
    return Path.make_compound_path(*(Path(_closed(ring), closed=True) for ring in rings))


def _closed(ring: FloatArray) -> FloatArray:
    return ring if np.array_equal(ring[0], ring[-1]) else np.vstack([ring, ring[:1]])


def scale_bar(axes: Axes, length_m: float, text: str) -> None:
    """A bar of a length at the lower left, outside the map, with its length in words."""
    left, near = axes.get_xlim()[0], axes.get_ylim()[0]
    figure = axes.figure
    assert figure is not None
    below = axes.transData + ScaledTranslation(0.0, -SCALE_BELOW_PT / 72.0, figure.dpi_scale_trans)
    axes.plot(
        [left, left + length_m], [near, near], color=INK, lw=2.2, clip_on=False, solid_capstyle="butt",
        transform=below,
    )  # fmt: skip
    axes.annotate(
        text, (left + length_m, near), xytext=(4, -SCALE_BELOW_PT), textcoords="offset points", va="center",
        fontsize=SMALL_PT, annotation_clip=False,
    )  # fmt: skip
