"""How near the hole approaches finish, and how many find the green, by distance and lie."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from comparison import MEMORY, SECONDARY, Check, Effort, Page
from drawing import COLOURS, MARKERS, PUBLISHED, panels
from matplotlib.figure import Figure
from played import TOUR, played
from published import tour as published
from simulated_shots import planned_shots

from rangework.lie import Ground, Lie
from rangework.play.strategy import Strategy
from rangework.units import FOOT_M, YARD_M

#: Approaches that finish farther from the hole than this are left out of proximity (assumed: 30 yd from the green).
NEAR_M = 42.0 * YARD_M
TEXT = """
Approaches of the tour golfer from fairway and rough at the middle of every band, on the par 5s of the long course,
aimed as the golfer's strategy aims. Published proximities leave out balls that finish far from the green; here those
more than 42 yd from the hole (30 yd from the green's edge). Nothing here was fitted: the fit was to expected strokes.
"""
#: A tenth of the figure: seasons differ by about that, and most figures are from memory.
GOAL_SHARE = 0.10
POOR_STRIKES = (
    "A poor strike comes up a third short. Within 125 yd such a ball still finishes within 42 yd and counts; from "
    "farther it does not. From rough a fifth of strikes are poor. Real rough makes many shots a little worse instead "
    "of few much worse"
)
LONG_CLUBS = "Depth spread grows with long clubs, faster here than proximity says"
WHY = {
    (Lie.FAIRWAY, (75, 100)): POOR_STRIKES,
    (Lie.FAIRWAY, (100, 125)): POOR_STRIKES,
    (Lie.FAIRWAY, (175, 200)): LONG_CLUBS,
    (Lie.ROUGH, (50, 75)): POOR_STRIKES,
    (Lie.ROUGH, (75, 100)): POOR_STRIKES,
    (Lie.ROUGH, (100, 125)): POOR_STRIKES,
}
WHY_GREENS = (
    "Two sources contradict each other: 63.5 % from 125-150 yd and 72 % from 150 yd. Ours go with the second"
)
#: Share of a tour golfer's approaches that are played from the fairway (assumed, to mix lies).
FROM_FAIRWAY = 0.75


class Approach(NamedTuple):
    feet: float  #: mean distance left of balls within ``NEAR_M``
    greens: float  #: share on the green


Found = dict[tuple[Lie, tuple[int, int]], Approach]


def page(effort: Effort) -> Page:
    long_holes = [s for s in played(TOUR, "season", effort).strategies if s.layout.par == 5]
    shots = effort.of(20_000, 2_000)
    found = {
        (lie, band): approach(long_holes, lie, sum(band) / 2.0, shots)
        for lie, bands in published.PROXIMITY_FT.items()
        for band in bands
    }
    checks = [*proximity_checks(found), *green_checks(found), from_150(long_holes, shots)]
    return Page("proximity", "Proximity by distance", TEXT, checks, figures={WORDS: drawn(found)})


def approach(strategies: list[Strategy], lie: Lie, yards: float, shots: int) -> Approach:
    """Approaches of the tour golfer over several holes."""
    golfer = TOUR.golfer
    found = []
    for strategy in strategies:
        hit = planned_shots(strategy, golfer, lie, yards * YARD_M, shots=shots)
        near = hit.to_pin_m < NEAR_M
        found.append((hit.to_pin_m[near].mean() / FOOT_M, np.mean(hit.ground == Ground.GREEN)))
    return Approach(*(float(mean) for mean in np.mean(found, axis=0)))


def proximity_checks(found: Found) -> list[Check]:
    return [
        Check(
            what=f"{lie.name.lower()}, {band[0]}-{band[1]} yd", published=feet, model=found[lie, band].feet,
            goal=GOAL_SHARE * feet, unit="ft", source=published.PROXIMITY_SOURCE, decimals=2,
            why=WHY.get((lie, band), ""),
            status=SECONDARY if (lie, band) in published.PROXIMITY_SECONDARY else MEMORY,
        )
        for lie, bands in published.PROXIMITY_FT.items()
        for band, feet in bands.items()
    ]  # fmt: skip


def mixed(fairway: Approach, rough: Approach) -> float:
    """Greens hit from all lies, %."""
    return 100 * (FROM_FAIRWAY * fairway.greens + (1 - FROM_FAIRWAY) * rough.greens)


def green_checks(found: Found) -> list[Check]:
    return [
        Check(
            what=f"greens hit from {band[0]}-{band[1]} yd, three quarters of it fairway", published=share, goal=5.0,
            model=mixed(found[Lie.FAIRWAY, band], found[Lie.ROUGH, band]), unit="%", status=SECONDARY,
            source=published.GREENS_BY_BAND_SOURCE, why=WHY_GREENS,
        )
        for band, share in published.GREENS_BY_BAND.items()
    ]  # fmt: skip


def from_150(strategies: list[Strategy], shots: int) -> Check:
    fairway, rough = (approach(strategies, lie, 150.0, shots) for lie in (Lie.FAIRWAY, Lie.ROUGH))
    return Check(
        what="greens hit from 150 yd, three quarters of it fairway", published=published.GREENS_FROM_150, goal=5.0,
        model=mixed(fairway, rough), unit="%", source=published.GREENS_FROM_150_SOURCE, status=SECONDARY,
        why=WHY_GREENS,
    )  # fmt: skip


WORDS = "Mean feet from the hole: filled markers and lines the model, hollow circles published"


def drawn(found: Found) -> Figure:
    figure, axes = panels(2, height=3.4)
    for place, (ax, (lie, bands)) in enumerate(zip(axes, published.PROXIMITY_FT.items(), strict=True)):
        middle = [sum(band) / 2.0 for band in bands]
        feet = [found[lie, band].feet for band in bands]
        ax.plot(middle, feet, color=COLOURS[place], marker=MARKERS[place])
        ax.plot(middle, list(bands.values()), **PUBLISHED)
        ax.set_title(f"from {lie.name.lower()}: feet from the hole")
        ax.set_xlabel("yards to the hole")
        ax.set_ylim(0.0, 56.0)
    return figure
