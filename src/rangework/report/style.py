"""How our pictures look: ink on white, pale flat ground with a texture of its own, one hue for computed lines.

Every picture is a sheet as wide as a telephone shows it: text of ``SMALL_PT`` is still read there.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Literal

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patheffects import AbstractPathEffect, withStroke

from rangework.lie import Ground

PictureForm = Literal["png", "svg"]

INK, QUIET, PAPER = "#1F2A30", "#5C666B", "#FFFFFF"
#: The one hue of lines that were computed, and of what belongs to them.
PLUM = "#7A1F5C"
SHEET_IN = 4.6
TITLE_PT, TEXT_PT, SMALL_PT, FINE_PT = 17.0, 9.5, 8.5, 7.0
DOTS_PER_INCH = 220


@dataclass(frozen=True, slots=True)
class Texture:
    """How a kind of ground is filled: a colour, and a pattern in a colour of its own where it has one."""

    colour: str
    hatch: str = ""
    hatch_colour: str = INK
    name: str = ""


#: Told apart by any colour vision (tests/report/test_style.py), and by their patterns without any colour.
TEXTURES: dict[Ground, Texture] = {
    Ground.ROUGH: Texture(PAPER, name="rough"),
    Ground.FAIRWAY: Texture("#D5E8B9", name="fairway"),
    Ground.FRINGE: Texture("#D5E8B9", name="fairway"),
    Ground.GREEN: Texture("#7FC48D", name="green"),
    Ground.SAND: Texture("#F6D27A", "....", "#8A6A14", name="sand"),
    Ground.TREES: Texture("#A3AE9E", "oo", "#7F8C7A", name="trees"),
    Ground.WATER: Texture("#78A6E0", "---", "#4E7FBE", name="water"),
    Ground.OUT: Texture("#DCC9D2", "////", "#A88A9A", name="out"),
}

_SETTINGS: Any = {
    "svg.hashsalt": "rangework",
    "svg.fonttype": "path",  # text looks alike on a machine without the font
    "font.family": ["DejaVu Sans"],
    "font.size": TEXT_PT,
    "text.color": INK,
    "axes.edgecolor": QUIET,
    "axes.linewidth": 0.6,
    "hatch.linewidth": 0.5,
    "lines.solid_capstyle": "round",
    "path.simplify": True,
    "figure.facecolor": PAPER,
    "axes.facecolor": PAPER,
}


@contextmanager
def drawing() -> Iterator[None]:
    """Our settings of matplotlib, for as long as a picture is drawn or written."""
    with mpl.rc_context(_SETTINGS):
        yield


def sheet(width_in: float, height_in: float) -> Figure:
    """An empty page."""
    figure = Figure(figsize=(width_in, height_in), dpi=DOTS_PER_INCH)
    FigureCanvasAgg(figure)
    return figure


def halo(width_pt: float = 2.2) -> list[AbstractPathEffect]:
    """White around letters that stand on ground."""
    return [withStroke(linewidth=width_pt, foreground=PAPER)]


def picture(figure: Figure, form: PictureForm) -> bytes:
    """The picture as a file's content; equal figures give equal bytes."""
    out = io.BytesIO()
    with drawing():
        if form == "svg":
            figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        else:
            figure.savefig(out, format="png", dpi=DOTS_PER_INCH, metadata={"Software": None})
    return out.getvalue()
