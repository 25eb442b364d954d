"""Which family of strokes separates golfers of different levels."""

from __future__ import annotations

import itertools

import numpy as np
from comparison import MEMORY, SECONDARY, Check, Effort, Page, Table
from drawing import COLOURS, INK, panels
from families import by_family, shares
from matplotlib.figure import Figure
from numpy.typing import NDArray
from played import TOUR, Level, ladder, level_of_score, played
from published import levels as published
from published.putting import DISTANCE_FT, NINETY, SCRATCH
from tour_field import WHY_WIDTHS, shares_of_differences

from rangework.lie import Lie
from rangework.play.logbook import LoggedStroke, play_logged
from rangework.skill.putting import expected_putts, putt_tables, reference_putting
from rangework.units import FOOT_M

FloatArray = NDArray[np.float64]
TEXT = """
Strokes gained by family on the tour golfer's expected strokes, in simulated rounds: what separates a better golfer
from a worse one. Families are the published ones: *approach* is beyond 100 yd, *short game* within 100 yd without
putts. Reference golfers play the middle course. The tour's best are set beside players who differ from the tour
golfer as the prior lets players differ ([differences in score](score-differences.md) says how).

No published share was used to make the reference golfers, but the model's own choice of how each part grows with
the index decides these shares.
"""
WHY_PUTTING = (
    "The putter of index 15 was set to the 90-golfer's table and falls short of it from 6 to 10 ft; and whoever "
    "averages 90 here has a lower index than 15 (putts table below)"
)


def page(effort: Effort) -> Page:
    gaps = {"tour's best": shares_of_differences(effort), **level_gaps(effort)}
    checks = [*best_checks(gaps["tour's best"]), *putting_checks(gaps["80 to 100"], effort)]
    tables = [gap_table(gaps), putts_table(effort)]
    return Page("gap-shares", "What separates golfers", TEXT, checks, tables, {WORDS: drawn(gaps)})


def gained(level: Level, effort: Effort) -> FloatArray:
    return by_family(played(level, "middle", effort).gained)


def level_gaps(effort: Effort) -> dict[str, FloatArray]:
    """Shares of the strokes between two golfers, the better one first."""
    between = ((0.0, 10.0), (10.0, 20.0), (20.0, 36.0))
    pairs = {
        "tour to scratch": (TOUR, Level(0.0)),
        **{f"index {good:g} to {poor:g}": (Level(good), Level(poor)) for good, poor in between},
        "80 to 100": (level_of_score(80.0, effort), level_of_score(100.0, effort)),
    }
    return {name: shares(gained(good, effort) - gained(poor, effort)) for name, (good, poor) in pairs.items()}


def best_checks(found: FloatArray) -> list[Check]:
    return [
        Check(
            what=f"tour's best, {family}", published=share, model=float(got), goal=5.0, unit="%",
            source=published.BEST_SHARES_SOURCE, status=MEMORY, why=WHY_WIDTHS,
        )
        for family, share, got in zip(published.FAMILIES, published.BEST_SHARES, found, strict=True)
    ]  # fmt: skip


def putting_checks(eighty_to_hundred: FloatArray, effort: Effort) -> list[Check]:
    levels = [level for level in ladder(effort) if level.index is not None and level.index <= 30.0]
    putting = [float(gained(level, effort)[-1]) for level in levels]
    slope = -float(np.polyfit([level.index or 0.0 for level in levels], putting, 1)[0])
    return [
        Check(
            what="80- to 100-golfer, putting", published=published.PUTTING_80_TO_100,
            model=float(eighty_to_hundred[-1]), goal=3.0, unit="%", source=published.PUTTING_80_TO_100_SOURCE,
            status=SECONDARY, why=WHY_PUTTING,
        ),
        Check(
            what="putting for six strokes of handicap, index 0 to 30", published=1.0,
            model=published.HANDICAP_OF_A_PUTT * slope, goal=0.15, unit="strokes",
            source=published.HANDICAP_OF_A_PUTT_SOURCE, status=SECONDARY, why=WHY_PUTTING,
        ),
    ]  # fmt: skip


def putts_table(effort: Effort) -> Table:
    """Putts a round more than scratch, from the first putts of our scratch golfer."""
    rounds = played(Level(0.0), "middle", effort)
    first = first_putts(play_logged(rounds.strategies, rounds.golfer, effort.of(200, 60), seed=3))
    scratch, ninety = (np.interp(first / FOOT_M, DISTANCE_FT, column["mean"]) for column in (SCRATCH, NINETY))

    def ours(index: float) -> FloatArray:
        return expected_putts(first, putt_tables(reference_putting(index)))

    index = level_of_score(90.0, effort).index or 0.0
    more = {
        "90-golfer, published table (from memory)": ninety - scratch,
        "index 15, set to that table": ours(15.0) - ours(0.0),
        f"index {index:g}, who averages 90 on the middle course": ours(index) - ours(0.0),
    }
    rows = [(who, f"{18 * putts.mean():.2f}") for who, putts in more.items()]
    return Table("Putts a round more than scratch, from the same first putts", ("", "strokes"), rows)


def first_putts(log: list[LoggedStroke]) -> FloatArray:
    """Length in metres of the first putt from the green on every hole that has one."""
    holes = itertools.groupby(log, key=lambda stroke: (stroke.round, stroke.hole))
    putts = ([stroke.to_hole_m for stroke in strokes if stroke.lie == Lie.GREEN] for _, strokes in holes)
    return np.array([lengths[0] for lengths in putts if lengths])


def gap_table(gaps: dict[str, FloatArray]) -> Table:
    rows = [("tour's best, published", *(f"{share:.0f}" for share in published.BEST_SHARES))]
    rows += [(name, *(f"{share:.0f}" for share in found)) for name, found in gaps.items()]
    return Table("Shares of the gap, %", ("golfers", *published.FAMILIES), rows)


WORDS = "Shares of the strokes between two golfers by family, %"


def drawn(gaps: dict[str, FloatArray]) -> Figure:
    figure, ax = panels(height=3.2)
    rows = {"tour's best, published": np.array(published.BEST_SHARES), **gaps}
    names = list(rows)[::-1]
    left = np.zeros(len(names))
    for family, words in enumerate(published.FAMILIES):
        wide = np.array([rows[name][family] for name in names])
        bars = ax.barh(
            names, wide, left=left, color=COLOURS[family], height=0.68, edgecolor="white", linewidth=1.5
        )
        ax.bar_label(bars, [f"{share:.0f}" for share in wide], label_type="center", color="white", fontsize=9)
        ax.text(left[-1] + wide[-1] / 2, len(names) - 0.45, words, ha="center", color=INK)
        left += wide
    ax.grid(visible=False)
    ax.set_xticks([])
    ax.spines[["left", "bottom"]].set_visible(False)
    return figure
