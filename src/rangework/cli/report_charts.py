"""The pictures of `rangework report`, from the results they show; each with words for those who can't see it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rangework.cli.plan_page import SHORT_PLACES
from rangework.cli.plan_results import by_payoff
from rangework.cli.rounds_page import FAMILIES, group_names
from rangework.cli.tables import interval, number, percent
from rangework.cli.worth_page import name_in_units, step_words
from rangework.lie import Lie
from rangework.report.document import Drawn
from rangework.report.putting_chart import Holed, putting_chart
from rangework.report.ranges_chart import Ranged, ranges_chart
from rangework.report.spread_chart import Spread, spread_chart
from rangework.units import DEGREE_RAD, METRES_PER, putt_unit

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.estimate import Estimate
    from rangework.plan.drills import Drill
    from rangework.plan.practice_plan import PracticePlan
    from rangework.play.summary import RoundsSummary
    from rangework.skill.dispersion_table import DispersionRow
    from rangework.skill.skill_report import SkillReport
    from rangework.units import Units

STEPS_SHOWN, DRILLS_SHOWN, WORDS_SHOWN = 12, 9, 3


def lost_picture(summary: RoundsSummary, units: Units, beside: str) -> Drawn:
    """Strokes gained or lost by kind of shot, most lost first."""
    from rangework.play.rounds import GROUP_FAMILY, GROUPS

    names = group_names(units)
    rows = [
        ranged(_group_name(group, family, names), summary.gained_by_group[group])
        for group, family in zip(GROUPS, GROUP_FAMILY, strict=True)
    ]
    rows.sort(key=lambda row: row.value)
    figure = ranges_chart(rows, left="loses strokes", right="gains strokes")
    total = summary.gained
    return Drawn(
        "strokes",
        figure,
        f"Strokes a round against {beside}, by kind of shot. {_in_words(rows)}",
        f"Strokes a round beside {beside}, with 90 % ranges. Together {number(total.value, 1, signed=True)} "
        f"({interval(total.low, total.high, 1, signed=True)}).",
    )


def steps_picture(advice: Advice, units: Units) -> Drawn:
    """What a step of each part saves, most first."""
    from rangework.skill.parts import PARTS

    worths = advice.worths
    low, high = worths.interval()
    rows = [
        Ranged(
            name_in_units(part.id, units), float(saved), float(least), float(most), step_words(part.id, units)
        )
        for part, saved, least, most in zip(PARTS, worths.strokes_saved, low, high, strict=True)
    ]
    rows.sort(key=lambda row: -row.value)
    figure = ranges_chart(rows[:STEPS_SHOWN], right="saves, strokes a round")
    return Drawn("steps", figure, f"Strokes a round saved by one step of a part. {_in_words(rows)}")


def drills_picture(plan: PracticePlan, drills: Sequence[Drill]) -> Drawn:
    """The first hour of each drill, most first."""
    names = {drill.id: drill.name for drill in drills}
    ordered = by_payoff(plan.payoffs)
    rows = [
        ranged(
            names[each.drill], each.first_hour, f"{SHORT_PLACES[each.place]} ({percent(each.chance_best)})"
        )
        for each in ordered[:DRILLS_SHOWN]
    ]
    figure = ranges_chart(rows, right="saves, strokes a round")
    return Drawn("drills", figure, f"Strokes a round saved by an hour a week of a drill. {_in_words(rows)}")


def spread_rows(skill: SkillReport) -> list[DispersionRow]:
    """Full shots from the fairway within reach, and the driver."""
    longest = skill.longest_m[Lie.FAIRWAY.name.lower()]
    return [
        row
        for row in skill.dispersion
        if row.shot == "tee" or (row.lie == Lie.FAIRWAY and row.bias is not None and row.target_m <= longest)
    ]


def spread_name(row: DispersionRow) -> str:
    """What a row of shots is called where its distance is told beside it."""
    return "driver" if row.shot == "tee" else "from the fairway"


def spread_picture(skill: SkillReport, units: Units) -> Drawn:
    """Ovals of solid shots at the targets of the dispersion table."""
    spreads = [
        Spread(
            spread_name(row),
            row.target_m,
            row.bias.value * DEGREE_RAD * row.target_m if row.bias else 0.0,
            row.bias_depth.value if row.bias_depth else 0.0,
            row.direction.value * DEGREE_RAD * row.target_m,
            row.depth.value,
        )
        for row in spread_rows(skill)
    ]
    return Drawn(
        "spread",
        spread_chart(spreads, units),
        "Ovals that hold two of three solid shots at targets farther and farther away; the table has the numbers.",
    )


def putting_picture(skill: SkillReport, units: Units, beside: str) -> Drawn:
    """Chances of holing by length."""
    unit = putt_unit(units)
    putts = [
        Holed(
            round(each.length_m / METRES_PER[unit], 1),
            each.make.value,
            _or(each.make.low, each.make.value),
            _or(each.make.high, each.make.value),
            each.make_reference.value,
        )
        for each in skill.putts
    ]
    told = ", ".join(
        f"{putt.length:g} {unit}: {percent(putt.chance)} ({percent(putt.other)})" for putt in putts
    )
    return Drawn(
        "putting",
        putting_chart(putts, unit, skill.name or "player", beside),
        f"Chance of holing a putt by length, in brackets that of {beside}. {told}.",
        "The band holds the truth nine times in ten.",
    )


def _group_name(group: str, family: str, names: Mapping[str, str]) -> str:
    """A kind of shot where no heading says its family."""
    if family == "approach":
        return f"approach, {names[group]}"
    return names.get(group, FAMILIES[family].lower())


def ranged(name: str, estimate: Estimate, told: str = "") -> Ranged:
    """A row of a chart; a number without a range is its own."""
    value = estimate.value
    return Ranged(name, value, _or(estimate.low, value), _or(estimate.high, value), told)


def _or(end: float | None, value: float) -> float:
    return value if end is None else end


def _in_words(rows: Sequence[Ranged]) -> str:
    return (
        "; ".join(
            f"{row.name} {number(row.value, 2, signed=True)} ({interval(row.low, row.high, 2, signed=True)})"
            for row in rows[:WORDS_SHOWN]
        )
        + "."
    )
