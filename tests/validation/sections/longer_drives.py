"""What 20 yards more driving are worth, by level."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
from comparison import VERIFIED, Check, Effort, Page, Table
from drawing import COLOURS, MARKERS, PUBLISHED, name_at_end, panels
from matplotlib.figure import Figure
from played import TOUR, Level, level_of_score, play_golfer, played
from published import levels as published

from rangework.skill.model import Golfer
from rangework.units import YARD_M

TEXT = """
Strokes a round saved by 20 yd more driving, targets chosen anew, same luck. There are two readings. *Tee shots
only*: the driver goes 20 yd farther and no other club does. *All clubs*: every club grows in the driver's
proportion (7 % for the tour golfer), as after a gain of speed. The published figures ask what longer drives are
worth, so they stand beside the first reading; the thesis's abstract does not say which it means, and its figures
stand beside both. The tour golfer plays the long course, the others the middle one.
"""
MORE_M = 20.0 * YARD_M
BETWEEN = (
    "The published gain lies between the two readings: whether its golfers' other clubs grew as well is not said in "
    "what we have"
)
EITHER = (
    "The abstract does not say which reading it means; the other reading lies beyond its figure or meets it"
)
WHY = {
    "80": BETWEEN,
    "90": BETWEEN,
    "100": BETWEEN,
    "115": BETWEEN,
    "tour tee shots only": EITHER,
    "tour all clubs": EITHER,
    "115 tee shots only": EITHER,
    "115 all clubs": EITHER,
}


class Worth(NamedTuple):
    tee_only: float
    all_clubs: float
    error: float  #: standard error of either


def page(effort: Effort) -> Page:
    rows = effort.of(published.LONGER_DRIVES, published.LONGER_DRIVES[::2])
    worth = {row.golfer: worth_of(row.golfer, effort) for row in rows}
    checks = [*book_checks(worth), *thesis_checks(worth)]
    return Page(
        "longer-drives", "Twenty yards more", TEXT, checks, [worth_table(worth)], {WORDS: drawn(worth)}
    )


def level_of(golfer: str, effort: Effort) -> Level:
    return TOUR if golfer == "tour" else level_of_score(float(golfer), effort)


@cache
def worth_of(golfer: str, effort: Effort) -> Worth:
    """By both readings."""
    level, course = level_of(golfer, effort), "long" if golfer == "tour" else "middle"
    usual = played(level, course, effort)
    now = level.golfer
    gains = []
    for longer in (tee_only(now), replace(now, driver_m=now.driver_m + MORE_M)):
        then = play_golfer(longer, course, effort)
        gains.append((usual.sample.scores - then.sample.scores) / usual.eighteens)
    error = max(float(gain.std() / np.sqrt(gain.size)) for gain in gains)
    return Worth(float(gains[0].mean()), float(gains[1].mean()), error)


def tee_only(golfer: Golfer) -> Golfer:
    return replace(golfer, driver_m=golfer.driver_m + MORE_M, base_m=golfer.clubs_from_m)


def named(golfer: str) -> str:
    return golfer if golfer == "tour" else f"{golfer}-golfer"


def book_checks(worth: dict[str, Worth]) -> list[Check]:
    return [
        Check(
            what=f"{named(row.golfer)}, tee shots only", published=row.strokes, model=worth[row.golfer].tee_only,
            goal=row.goal, unit="strokes", source=row.source, status=row.status, decimals=2,
            why=WHY.get(row.golfer, ""),
        )
        for row in published.LONGER_DRIVES
        if row.golfer in worth
    ]  # fmt: skip


def thesis_checks(worth: dict[str, Worth]) -> list[Check]:
    rows = (("tour", published.KO_TOUR, 0.1), ("115", published.KO_HIGH_HANDICAP, 0.3))
    return [
        Check(
            what=f"{named(golfer)}, {reading}, thesis", low=low, high=high, model=got, goal=goal, unit="strokes",
            source=published.KO_THESIS, status=VERIFIED, decimals=2, why=WHY.get(f"{golfer} {reading}", ""),
        )
        for golfer, (low, high), goal in rows
        for reading, got in (("tee shots only", worth[golfer].tee_only), ("all clubs", worth[golfer].all_clubs))
    ]  # fmt: skip


def worth_table(worth: dict[str, Worth]) -> Table:
    rows = [
        (named(golfer), f"{found.tee_only:.2f}", f"{found.all_clubs:.2f}", f"{found.error:.2f}")
        for golfer, found in worth.items()
    ]
    header = ("golfer", "tee shots only", "all clubs", "standard error")
    return Table("Strokes a round for 20 yd", header, rows)


WORDS = "Strokes a round for 20 yd more: lines the model, hollow circles published"


def drawn(worth: dict[str, Worth]) -> Figure:
    figure, ax = panels(width=6.4)
    place = np.arange(len(worth))
    for reading, (field, name) in enumerate((("tee_only", "tee shots only"), ("all_clubs", "all clubs"))):
        strokes = [getattr(found, field) for found in worth.values()]
        ax.plot(place, strokes, color=COLOURS[reading], marker=MARKERS[reading + 1])
        name_at_end(ax, place[-1], strokes[-1], name, COLOURS[reading])
    ax.plot(place, [row.strokes for row in published.LONGER_DRIVES if row.golfer in worth], **PUBLISHED)
    ax.set_xticks(place, [named(golfer) for golfer in worth])
    ax.set_ylim(bottom=0.0)
    ax.set_title("strokes saved a round")
    return figure
