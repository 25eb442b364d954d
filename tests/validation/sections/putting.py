"""Putts by distance: tour, scratch and the golfer who shoots 90."""

from __future__ import annotations

import numpy as np
from comparison import SECONDARY, VERIFIED, Check, Effort, Page, Table
from drawing import COLOURS, MARKERS, PUBLISHED, name_at_end, panels
from matplotlib.figure import Figure
from numpy.typing import NDArray
from published import putting as published

from rangework.skill.putting import (
    PuttingSkill,
    expected_putts,
    make_probability,
    putt_tables,
    reference_putting,
    three_putt_probability,
    tour_putting,
)
from rangework.units import FOOT_M

FloatArray = NDArray[np.float64]
TEXT = """
Putts holed at the first try, three-putts and mean putts by distance. **Fitted**: line and pace of the tour golfer
to the tour's mean putts; those of reference golfers, and how far past the hole they aim, to scratch and to the
90-golfer of the table, who is set beside index 15 (about the handicap of a golfer who shoots 90: common practice, no
source). The table's three-putts of scratch and of the 90-golfer are remembered within 2 to 4 points only.
"""
INDEX_OF_NINETY = 15.0
TABLES = {"tour": published.TOUR, "scratch": published.SCRATCH, "90-golfer": published.NINETY}
#: One-putts and three-putts in per cent, mean putts.
GOALS = {
    "tour": {"one": 2.0, "three": 1.5, "mean": 0.02},
    "scratch": {"one": 3.0, "three": 3.0, "mean": 0.03},
    "90-golfer": {"one": 3.0, "three": 4.0, "mean": 0.04},
}
COLUMN_WORDS = {"one": "holed", "three": "three putts or more", "mean": "mean putts"}
REASONS = {
    (
        "90-golfer",
        "one",
        3,
    ): "The remembered curve holds more from 3 ft and fewer from afar than one line and one pace can",
    (
        "scratch",
        "one",
        15,
    ): "The remembered curve drops late and then fast; one golfer's line and pace make a smoother one",
}


def putters() -> dict[str, PuttingSkill]:
    return {
        "tour": tour_putting(),
        "scratch": reference_putting(0.0),
        "90-golfer": reference_putting(INDEX_OF_NINETY),
        "handicaps 0-9": reference_putting(4.5),
    }


def page(effort: Effort) -> Page:
    found = {golfer: columns(putters()[golfer]) for golfer in TABLES}
    checks = [
        *(check for golfer in TABLES for check in table_checks(golfer, found[golfer])),
        *quoted_checks(),
        *other_table_checks(),
        *pace_checks(),
    ]
    return Page("putting", "Putting by distance", TEXT, checks, [summary(found)], {WORDS: drawn(found)})


def columns(skill: PuttingSkill) -> dict[str, FloatArray]:
    """The model's columns of the table."""
    distance, tables = published.DISTANCE_FT * FOOT_M, putt_tables(skill)
    return {
        "one": 100 * make_probability(distance, skill),
        "three": 100 * three_putt_probability(distance, tables),
        "mean": expected_putts(distance, tables),
    }


def table_checks(golfer: str, found: dict[str, FloatArray]) -> list[Check]:
    return [
        Check(
            what=f"{golfer}, {feet:.0f} ft, {COLUMN_WORDS[column]}", published=value, model=float(got),
            goal=GOALS[golfer][column], unit="" if column == "mean" else "%", source=published.TABLE_SOURCE,
            status=published.status_of(golfer, column), why=REASONS.get((golfer, column, int(feet)), ""),
            decimals=3 if column == "mean" else 1,
        )
        for column, values in TABLES[golfer].items()
        for feet, value, got in zip(published.DISTANCE_FT, values, found[column], strict=True)
    ]  # fmt: skip


def quoted_checks() -> list[Check]:
    checks = []
    for row in (*published.TOUR_MEANS, *published.HOLED):
        skill, metres = putters()[row.golfer], row.distance_ft * FOOT_M
        mean = row in published.TOUR_MEANS
        got = expected_putts(metres, putt_tables(skill)) if mean else 100 * make_probability(metres, skill)
        scale = 1.0 if mean else 100.0
        checks.append(
            Check(
                what=f"{row.golfer}, {row.distance_ft:g} ft, {'mean putts' if mean else 'holed'}, quoted",
                published=scale * row.value, model=float(got), goal=scale * row.goal, unit="" if mean else "%",
                source=row.source, status=row.status,
            )
        )  # fmt: skip
    return checks


def other_table_checks() -> list[Check]:
    skill, tables = tour_putting(), putt_tables(tour_putting())
    checks = []
    for feet, one, two, three in published.ANOTHER_TABLE:
        holed = 100 * float(make_probability(feet * FOOT_M, skill))
        three_or_more = 100 * float(three_putt_probability(feet * FOOT_M, tables))
        rows = (
            ("one putt", one, holed, 5.0),
            ("two putts", two, 100 - holed - three_or_more, 5.0),
            ("three putts or more", three, three_or_more, 1.5),
        )
        checks += [
            Check(
                what=f"tour, {feet:g} ft, {words}, another table", published=value, model=got, goal=goal, unit="%",
                source=published.ANOTHER_TABLE_SOURCE, status=SECONDARY,
            )
            for words, value, got, goal in rows
        ]  # fmt: skip
    return checks


def pace_checks() -> list[Check]:
    skill, metres = reference_putting(published.PACE_HANDICAP), published.PACE_DISTANCE_M
    share = 100 * skill.pace * (metres + skill.aim_past_m) / metres
    return [
        Check(
            what=f"pace from {metres:g} m, index {published.PACE_HANDICAP:g}, between repeated and varied putts",
            low=100 * published.PACE_REPEATED, high=100 * published.PACE_VARIED, model=share, goal=0.1, unit="%",
            source=published.KARLSEN_NILSSON, status=VERIFIED,
        )
    ]  # fmt: skip


def summary(found: dict[str, dict[str, FloatArray]]) -> Table:
    rows = []
    for golfer, model in found.items():
        for column, words in COLUMN_WORDS.items():
            miss = model[column] - np.array(TABLES[golfer][column])
            decimals = 3 if column == "mean" else 1
            rms, largest = np.sqrt(np.mean(miss**2)), np.abs(miss).max()
            rows.append((golfer, words, f"{rms:.{decimals}f}", f"{largest:.{decimals}f}"))
    return Table("Model minus table", ("", "", "root mean square", "largest"), rows)


WORDS = "Putts by distance: lines the model, hollow markers the published table"


def drawn(found: dict[str, dict[str, FloatArray]]) -> Figure:
    figure, axes = panels(2, height=3.6)
    feet, fine = published.DISTANCE_FT, np.linspace(2.0, 60.0, 117)
    near, near_fine = feet <= 20, fine <= 20
    for place, golfer in enumerate(TABLES):
        skill, colour = putters()[golfer], COLOURS[place]
        three = 100 * three_putt_probability(fine * FOOT_M, putt_tables(skill))
        axes[0].plot(fine[near_fine], 100 * make_probability(fine[near_fine] * FOOT_M, skill), color=colour)
        axes[1].plot(fine, three, color=colour)
        marker = {**PUBLISHED, "markeredgecolor": colour, "marker": MARKERS[place]}
        axes[0].plot(feet[near], np.array(TABLES[golfer]["one"])[near], **marker)
        axes[1].plot(feet, TABLES[golfer]["three"], **marker)
        name_at_end(axes[1], 60.0, three[-1], golfer, colour)
    axes[0].set_title("holed at the first try (%)")
    axes[0].set_xticks([2, 4, 6, 8, 10, 15, 20])
    axes[1].set_title("three putts or more (%)")
    for ax in axes:
        ax.set_xlabel("feet")
        ax.set_ylim(bottom=0.0)
    return figure
