"""A ladder's odds as text and as JSON."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.tables import Block, number, paragraph, percent, table
from rangework.units import METRES_PER, shot_unit

if TYPE_CHECKING:
    from rangework.assessment.ladder import LadderOdds
    from rangework.assessment.ladder_report import LadderReport
    from rangework.assessment.rungs import Rung
    from rangework.units import Units

_RULES = {
    "down": "a miss leads one rung down",
    "start": "a miss leads back to the start",
    "stay": "a rung is hit until it is made",
}
#: More balls than this are told as more than this.
_TOLD_UP_TO = 100_000


def ladder_text(report: LadderReport, rungs: Sequence[str], units: Units) -> str:
    """The odds of a ladder as a page of text; ``rungs`` as they were given, where a player's were."""
    count = len(report.chances)
    rule = _RULES[report.on_miss.value]
    lines = [paragraph(f"A ladder of {count} rung{'s' if count > 1 else ''}; {rule}."), ""]
    names = [f"rung {at}{': ' + rungs[at - 1] if rungs else ''}" for at in range(1, count + 1)]
    rows = [[name, percent(chance)] for name, chance in zip(names, report.chances, strict=True)]
    for row, (low, high) in zip(rows, report.ranges, strict=False):
        row.append(f"{100 * low:.0f} to {100 * high:.0f} %")
    headings = ["", "chance", "90 % range"] if report.ranges else ["", "chance"]
    lines += [table(headings, [Block("", rows)]), "", _odds_table(report)]
    if report.ranges:
        lines += ["", paragraph("The ranges hold what the records leave open and how much days differ.")]
    lines += ["", *_stopping(report), *_in_time(report), *_zones_in_time(report, units)]
    return "\n".join(lines).rstrip()


def _zones_in_time(report: LadderReport, units: Units) -> list[str]:
    if report.balls_in_time is None or not report.rungs:
        return []
    balls = report.balls_in_time
    if report.zone_scale is None:
        text = (
            f"{balls} balls fit into that time: too few for this ladder, even with zones half as large again."
        )
        return [paragraph(text)]
    told = ", ".join(_zone(rung.scaled(report.zone_scale), units) for rung in report.rungs if rung.wide_m)
    return [
        paragraph(
            f"{balls} balls fit into that time. The smallest zones with which 80 % of attempts finish in them: "
            f"{percent(report.zone_scale)} of these{': ' + told if told else ''}."
        )
    ]


def _zone(rung: Rung, units: Units) -> str:
    unit = shot_unit(units)
    wide, deep = rung.wide_m / METRES_PER[unit], rung.deep_m / METRES_PER[unit]
    return f"within {wide / 2:.1f} {unit}" if rung.round_zone else f"{wide:.1f} x {deep:.1f} {unit}"


def _odds_table(report: LadderReport) -> str:
    columns: list[tuple[LadderOdds, float | None]] = [(report.odds, report.chance_within_cap)]
    headings = ["", "these chances,\nif they hold"]
    if report.uncertain:
        columns.append((report.uncertain, report.uncertain_within_cap))
        headings.append(
            f"known from\n{report.seen:g} balls each" if report.seen else "as sure as the\nrecords are"
        )
    rows = [
        ["balls to finish, on average", *(_balls(odds.expected_balls, 1) for odds, _ in columns)],
        ["give or take (standard deviation)", *(_balls(odds.sd_balls, 1) for odds, _ in columns)],
        ["balls that 80 % of attempts finish in", *(_balls(odds.cap_for_80_percent) for odds, _ in columns)],
    ]
    if report.cap is not None:
        rows.append([f"chance to finish within {report.cap} balls", *(percent(p) for _, p in columns)])
    return table(headings, [Block("", rows)])


def _balls(count: float | None, decimals: int = 0) -> str:
    if count is None or count > _TOLD_UP_TO:
        return f"over {_TOLD_UP_TO:,}"
    return number(count, decimals)


def _of_balls(count: int) -> str:
    return "1 ball" if count == 1 else f"{count} balls"


def _stopping(report: LadderReport) -> list[str]:
    cap = (
        report.cap
        or (report.uncertain if report.ranges and report.uncertain else report.odds).cap_for_80_percent
    )
    if not report.looks or cap is None:
        return []
    told = []
    for look in report.looks:
        where = "wherever you stand" if look.rung is None else f"below rung {look.rung}"
        if look.rung != 1:
            told.append(f"after {_of_balls(look.balls)} {where}")
    when = "; ".join(told) or "not before"
    text = (
        f"When to stop: after {_of_balls(cap)}. Earlier where fewer than 20 of 100 attempts would still be done by "
        f"then: {when}."
    )
    return [paragraph(text), ""]


def _in_time(report: LadderReport) -> list[str]:
    if not report.hardest:
        return []
    rows = [
        [
            _RULES[each.on_miss.value],
            str(each.rungs),
            _balls(each.odds.expected_balls, 1) if each.odds else "?",
        ]
        for each in report.hardest
    ]
    text = (
        f"The most rungs that 80 % of attempts finish in the {report.balls_in_time} balls of that time, rungs beyond "
        "those stated being like the last:"
    )
    return [paragraph(text), table(["", "rungs", "balls on\naverage"], [Block("", rows)]), ""]


def ladder_results(report: LadderReport) -> dict[str, Any]:
    """The same numbers under the keys of docs/reference/assessments.md."""
    return {
        **_odds(report.odds),
        "chance_within_cap": report.chance_within_cap,
        "rungs": _rungs(report),
        "with_uncertainty": (
            {**_odds(report.uncertain), "chance_within_cap": report.uncertain_within_cap, "seen": report.seen}
            if report.uncertain
            else None
        ),
        "stop": [{"balls": look.balls, "go_on_from_rung": look.rung} for look in report.looks],
        "balls_in_time": report.balls_in_time,
        "zone_scale": report.zone_scale,
        "hardest": [
            {"on_miss": each.on_miss.value, "rungs": each.rungs, **(_odds(each.odds) if each.odds else {})}
            for each in report.hardest
        ],
    }


def _rungs(report: LadderReport) -> list[dict[str, Any]]:
    ranges = report.ranges or ((None, None),) * len(report.chances)
    return [
        {"rung": at, "chance": chance, "low": low, "high": high}
        for at, (chance, (low, high)) in enumerate(zip(report.chances, ranges, strict=True), 1)
    ]


def _odds(odds: LadderOdds) -> dict[str, float | int | None]:
    finite = {name: value if math.isfinite(value) else None
              for name, value in (("expected_balls", odds.expected_balls), ("sd_balls", odds.sd_balls))}  # fmt: skip
    return {**finite, "cap_for_80_percent": odds.cap_for_80_percent}
