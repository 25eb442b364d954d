"""Expected strokes of the tour golfer by lie and distance, beside the published table."""

from __future__ import annotations

import numpy as np
from comparison import MEMORY, Check, Effort, Page, Table
from drawing import COLOURS, MARKERS, PUBLISHED, QUIET, panels
from matplotlib.figure import Figure
from numpy.typing import NDArray
from published.tour import EXPECTED_STROKES, EXPECTED_STROKES_SOURCE

from rangework.lie import Lie
from rangework.skill.reference import tour_golfer
from rangework.strokes_gained.expected import expected_strokes
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]
TEXT = """
Expected strokes to hole out of the tour golfer on standard holes, beside the published tour table. **Fitted to it**:
depth and direction of full swings, rough and sand factors, poor strikes, and by hand the surroundings of a standard
hole, those of short par 3s and short par 4s by their length. So fairway, rough, sand and tee show how well the form
fits, not that it predicts; recovery was not fitted. The table is from memory and not quite monotone; its long rows
other than the tee look like a straight line drawn on and stop here at 300 yd.
"""
GOAL = 0.05  # strokes: what the remembered table's own unevenness amounts to
#: Ranges (yd) that the fit looked at; a summary is given of each.
FITTED = {Lie.TEE: (100, 560), Lie.FAIRWAY: (20, 250), Lie.ROUGH: (20, 250), Lie.SAND: (20, 200)}
#: Why there are misses: lie, from and to yards, reason.
REASONS = (
    (
        Lie.TEE,
        100,
        379,
        "Between par 3s that irons reach and par 4s that drives reach, standard greens are guessed",
    ),
    (
        Lie.TEE,
        380,
        500,
        "Fairway, rough and tee share one golfer, and fairway lies 0.02 too high nearly everywhere",
    ),
    (Lie.TEE, 501, 600, "Standard par 5s are straight, and what the table says of 580-600 yd levels off"),
    (
        Lie.FAIRWAY,
        0,
        15,
        "Beside the green a ball on mown ground can be putted; here it is chipped beyond the fringe",
    ),
    (Lie.FAIRWAY, 221, 300, "Beyond a fairway wood's reach the model lays up on ground without trouble"),
    (
        Lie.SAND,
        0,
        130,
        "The sand factor is one curve with bends at 40, 70 and 120 yd; the remembered table is uneven",
    ),
    (Lie.SAND, 200, 300, "Lips and steep faces of fairway bunkers are not in the model"),
    (
        Lie.RECOVERY,
        0,
        39,
        "Not fitted. Near the green half of the ways out are open here; in real trouble they are not",
    ),
    (Lie.RECOVERY, 40, 300, "Not fitted. A fifth of recoveries stay in trouble here at every distance"),
)


def page(effort: Effort) -> Page:
    found = {lie: modelled(lie, effort) for lie in EXPECTED_STROKES}
    checks = [check for lie in EXPECTED_STROKES for check in lie_checks(lie, found[lie])]
    tables, pictures = [summary(found)], {WORDS: drawn(found)}
    return Page("expected-strokes", "Expected strokes of the tour", TEXT, checks, tables, pictures)


def modelled(lie: Lie, effort: Effort) -> FloatArray:
    """The model's strokes at the table's distances."""
    metres = np.array(list(EXPECTED_STROKES[lie])) * YARD_M
    return expected_strokes(tour_golfer(), int(lie), metres, holes=effort.of(12, 3), threads=effort.threads)


def why(lie: Lie, yards: int) -> str:
    return next((why for of, low, high, why in REASONS if of == lie and low <= yards <= high), "")


def lie_checks(lie: Lie, found: FloatArray) -> list[Check]:
    return [
        Check(
            what=f"{lie.name.lower()}, {yards} yd", published=strokes, model=float(got), goal=GOAL, unit="strokes",
            source=EXPECTED_STROKES_SOURCE, status=MEMORY, decimals=3, why=why(lie, yards),
        )
        for (yards, strokes), got in zip(EXPECTED_STROKES[lie].items(), found, strict=True)
    ]  # fmt: skip


def misses(lie: Lie, found: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Yards, and model minus table."""
    return np.array(list(EXPECTED_STROKES[lie])), found - np.array(list(EXPECTED_STROKES[lie].values()))


def summary(found: dict[Lie, FloatArray]) -> Table:
    rows = []
    for lie, strokes in found.items():
        low, high = FITTED.get(lie, (40, 260))
        yards, miss = misses(lie, strokes)
        miss = miss[(yards >= low) & (yards <= high)]
        name = lie.name.lower() + (", fitted" if lie in FITTED else ", not fitted")
        rows.append((name, f"{low}-{high}", f"{np.sqrt(np.mean(miss**2)):.3f}", f"{np.abs(miss).max():.3f}"))
    return Table("Model minus table, strokes", ("from", "yards", "root mean square", "largest"), rows)


WORDS = "Model minus table, strokes; the band is the goal"


def drawn(found: dict[Lie, FloatArray]) -> Figure:
    figure, axes = panels(3, 2, height=2.4)
    for place, (ax, lie) in enumerate(zip(axes.flat, found, strict=False)):
        yards, miss = misses(lie, found[lie])
        ax.axhspan(-GOAL, GOAL, color="#eeeeee", zorder=0)
        ax.axhline(0.0, color=QUIET, linewidth=0.8)
        ax.plot(yards, miss, color=COLOURS[place], marker=MARKERS[place], markersize=4)
        ax.set_title(f"from {lie.name.lower()}")
        ax.set_ylim(-0.42, 0.42)
        ax.set_xlabel("yards to the hole")
    last, lie = axes.flat[-1], Lie.FAIRWAY
    last.plot(list(EXPECTED_STROKES[lie]), found[lie], color=COLOURS[1])
    last.plot(list(EXPECTED_STROKES[lie]), list(EXPECTED_STROKES[lie].values()), **PUBLISHED)
    last.set_title("from fairway: strokes")
    last.set_xlabel("yards to the hole")
    return figure
