"""The areas that hold two thirds of solid shots, beside those that courses are rated with."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from comparison import MEMORY, VERIFIED, Check, Effort, Page, Table
from drawing import COLOURS, MARKERS, PUBLISHED, QUIET, name_at_end, panels
from matplotlib.figure import Figure
from played import TOUR, Level, level_of_score
from published import course_rating as rating
from published import levels
from scipy.stats import norm
from simulated_shots import drives, shots_on_field

from rangework.lie import Lie
from rangework.skill.model import Golfer, longest_targets
from rangework.units import DEGREE_RAD, YARD_M

TEXT = """
The rating manual gives the width and depth of the area that holds two thirds of a golfer's shots of a length. It is
meant for placing obstacles and describes well-struck shots, so it is a lower bound: the model's areas must be at
least as large, and for amateurs should be larger. Solid strikes on open ground are simulated from fairway as long as
a club for the distance reaches from there, and else from the tee; the area is the rectangle, in the proportions of
the two spreads, that holds two thirds (1.33 standard deviations to each side). Poor strikes are left out; with them
it would be larger.

The model's depths grow steeply up to the longest shot from the fairway and fall by half on the tee: its spread of long
clubs was fitted to the tour golfer, for whom both agree, and is carried to other levels in proportion.
"""
#: Standard deviations to each side of a rectangle that holds two thirds of an uncorrelated normal scatter.
HALF_SIDES = float(norm.ppf(0.5 + 0.5 * (2.0 / 3.0) ** 0.5))
COUNTS_POOR = (
    "Ours counts poor strikes, which scatter 2.2 times as wide; solid tee shots alone scatter by 7 degrees. The "
    "published figure is of low confidence"
)
WHY = {"90": COUNTS_POOR, "100": COUNTS_POOR}


class Area(NamedTuple):
    width_yd: float
    depth_yd: float


Areas = dict[str, dict[int, Area]]


def golfers() -> dict[str, Golfer]:
    """The golfers that courses are rated for."""
    women = {name: "women" in name for name in rating.INDEX_OF}
    return {
        name: Level(index, "women" if women[name] else "men").golfer
        for name, index in rating.INDEX_OF.items()
    }


def page(effort: Effort) -> Page:
    shots = effort.of(100_000, 20_000)
    areas = {
        name: {yards: area(golfer, yards, shots) for yards in rating.ACCURACY_AREAS[name]}
        for name, golfer in golfers().items()
    }
    checks = [*area_checks(areas), *tee_checks(effort)]
    return Page("accuracy-areas", "Accuracy areas", TEXT, checks, area_tables(areas), {WORDS: drawn(areas)})


def area(golfer: Golfer, yards: float, shots: int) -> Area:
    hit = shots_on_field(golfer, yards * YARD_M, shots=shots)
    sides = [2.0 * HALF_SIDES * float(side[~hit.poor].std()) / YARD_M for side in (hit.right_m, hit.on_m)]
    return Area(*sides)


def area_checks(areas: Areas) -> list[Check]:
    """The smallest of the model's sides over the manual's, for each golfer and side."""
    checks = []
    for name, found in areas.items():
        for side, what in enumerate(("width", "depth")):
            manual = rating.ACCURACY_AREAS[name]
            ratio, at = min((found[yards][side] / manual[yards][side], yards) for yards in found)
            checks.append(
                Check(
                    what=f"{name}, smallest {what} over the manual's (at {at} yd)", low=1.0, model=ratio, goal=0.05,
                    unit="", source=rating.MANUAL, status=VERIFIED, decimals=2,
                )
            )  # fmt: skip
    return checks


def tee_checks(effort: Effort) -> list[Check]:
    """The spread of tee shots in degrees, poor strikes among them."""
    checks = []
    for golfer, degrees in levels.TEE_DIRECTION_DEG.items():
        level = TOUR if golfer == "tour" else level_of_score(float(golfer), effort)
        hit = drives(level.golfer, shots=effort.of(100_000, 20_000))
        name = golfer if golfer == "tour" else f"{golfer}-golfer"
        checks.append(
            Check(
                what=f"{name}, spread of tee shots", published=degrees, goal=0.5, unit="degrees", status=MEMORY,
                model=float(np.arctan2(hit.right_m, hit.on_m).std()) / DEGREE_RAD, why=WHY.get(golfer, ""),
                source=levels.TEE_DIRECTION_SOURCE,
            )
        )  # fmt: skip
    return checks


def area_tables(areas: Areas) -> list[Table]:
    tables = []
    for name, found in areas.items():
        manual = rating.ACCURACY_AREAS[name]
        rows = [
            (str(yards), "{} x {}".format(*manual[yards]), f"{ours.width_yd:.0f} x {ours.depth_yd:.0f}")
            for yards, ours in found.items()
        ]
        tables.append(Table(f"Width x depth, yd: {name}", ("shot, yd", "manual", "model"), rows))
    return tables


WORDS = "Sides of the area that holds two thirds, yd: lines the model, hollow circles the rating manual"


def drawn(areas: Areas) -> Figure:
    figure, axes = panels(2, (len(areas) + 1) // 2, height=3.0)
    for ax, (name, found) in zip(axes.flat, areas.items(), strict=False):
        reach = longest_targets(golfers()[name])[Lie.FAIRWAY] / YARD_M
        for side, what in enumerate(("width", "depth")):
            manual = [rating.ACCURACY_AREAS[name][yards][side] for yards in found]
            ax.plot(list(found), manual, **{**PUBLISHED, "markeredgecolor": COLOURS[side]})
            for part in ([y for y in found if y <= reach], [y for y in found if y > reach]):
                sides = [found[yards][side] for yards in part]
                ax.plot(part, sides, color=COLOURS[side], marker=MARKERS[side + 1])
            name_at_end(ax, part[-1], sides[-1], what, COLOURS[side])
        ax.axvline(reach, color=QUIET, linewidth=0.8, linestyle=":")
        ax.set_title(f"{name} (right of the dots: from the tee)")
        ax.set_xlabel("length of the shot, yd")
        ax.set_ylim(bottom=0.0)
    return figure
