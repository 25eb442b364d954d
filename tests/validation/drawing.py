"""How the pictures of the validation look: one style, files that are equal when the figures are.

Colours are Okabe and Ito's (2008), told apart with any colour vision; each series has a marker of its own too
and its name stands beside it. Published figures are hollow dark circles, the model's are filled or lines.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure

INK, QUIET, PAPER = "#222222", "#8a8a8a", "#ffffff"
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00")
MARKERS = ("o", "s", "^", "D", "v", "P")
#: How published figures are drawn.
PUBLISHED: dict[str, Any] = {
    "linestyle": "none",
    "marker": "o",
    "markersize": 6.5,
    "markerfacecolor": "none",
    "markeredgecolor": INK,
    "markeredgewidth": 1.3,
}

mpl.rcParams.update(
    {
        "svg.hashsalt": "rangework",
        "svg.fonttype": "none",
        "font.family": ["DejaVu Sans"],
        "font.size": 9.5,
        "axes.titlesize": 10.5,
        "axes.titlelocation": "left",
        "axes.titlepad": 8.0,
        "axes.labelcolor": INK,
        "axes.edgecolor": QUIET,
        "axes.linewidth": 0.8,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.grid": True,
        "axes.axisbelow": True,
        "grid.color": "#e4e4e4",
        "grid.linewidth": 0.7,
        "xtick.color": INK,
        "ytick.color": INK,
        "xtick.major.size": 0.0,
        "ytick.major.size": 0.0,
        "text.color": INK,
        "legend.frameon": False,
        "lines.linewidth": 1.8,
        "lines.markersize": 5.0,
        "figure.facecolor": PAPER,
        "axes.facecolor": PAPER,
    }
)


def panels(columns: int = 1, rows: int = 1, *, width: float = 8.0, height: float = 3.6) -> tuple[Figure, Any]:
    """A figure ``width`` by ``height`` inches (height of one row) and its axes, as ``plt.subplots`` gives them."""
    figure = Figure(figsize=(width, height * rows), layout="constrained")
    return figure, figure.subplots(rows, columns)


def name_at_end(axes: Axes, x: float, y: float, name: str, colour: str) -> None:
    """Write a series' name to the right of its last point, in its colour."""
    axes.annotate(
        name, (x, y), xytext=(6, 0), textcoords="offset points", color=colour, va="center",
        annotation_clip=False,
    )  # fmt: skip


def save(figure: Figure, path: Path) -> None:
    """Write SVG or PNG; equal figures give equal files."""
    if path.suffix == ".svg":
        figure.savefig(path, metadata={"Date": None, "Creator": None})
        # matplotlib ends some lines in a blank
        lines = path.read_text("utf-8").splitlines()
        path.write_text("\n".join(line.rstrip() for line in lines) + "\n", encoding="utf-8", newline="\n")
    else:
        figure.savefig(path, dpi=110)
