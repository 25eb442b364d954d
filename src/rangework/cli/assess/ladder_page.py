"""A ladder's odds as text and as JSON."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from rangework.cli.tables import Block, number, paragraph, percent, table

if TYPE_CHECKING:
    from rangework.assessment.ladder import LadderOdds
    from rangework.assessment.ladder_report import LadderReport

_RULES = {
    "down": "a miss leads one rung down",
    "start": "a miss leads back to the start",
    "stay": "a rung is hit until it is made",
}
#: More balls than this are told as more than this.
_TOLD_UP_TO = 100_000


def ladder_text(report: LadderReport) -> str:
    """The odds of a ladder as a page of text."""
    rungs = len(report.chances)
    rule = _RULES[report.on_miss.value]
    lines = [paragraph(f"A ladder of {rungs} rung{'s' if rungs > 1 else ''}; {rule}."), ""]
    rows = [[f"rung {at}", percent(chance)] for at, chance in enumerate(report.chances, 1)]
    lines += [table(["", "chance"], [Block("", rows)]), "", _odds_table(report)]
    lines += ["", *_stopping(report), *_in_time(report)]
    return "\n".join(lines).rstrip()


def _odds_table(report: LadderReport) -> str:
    columns: list[tuple[LadderOdds, float | None]] = [(report.odds, report.chance_within_cap)]
    headings = ["", "chances\nas stated"]
    if report.uncertain:
        columns.append((report.uncertain, report.uncertain_within_cap))
        headings.append(f"known from\n{report.seen:g} balls each")
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


def _stopping(report: LadderReport) -> list[str]:
    cap = report.cap or report.odds.cap_for_80_percent
    if not report.looks or cap is None:
        return []
    told = []
    for look in report.looks:
        where = "wherever you stand" if look.rung is None else f"below rung {look.rung}"
        if look.rung != 1:
            told.append(f"after {look.balls} balls {where}")
    when = "; ".join(told) or "not before"
    text = (
        f"When to stop: after {cap} balls. Earlier where fewer than 20 of 100 attempts would still be done by then: "
        f"{when}."
    )
    return [paragraph(text), ""]


def _in_time(report: LadderReport) -> list[str]:
    if report.balls_in_time is None:
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
        "rungs": [{"rung": at, "chance": chance} for at, chance in enumerate(report.chances, 1)],
        "with_uncertainty": (
            {**_odds(report.uncertain), "chance_within_cap": report.uncertain_within_cap, "seen": report.seen}
            if report.uncertain
            else None
        ),
        "stop": [{"balls": look.balls, "go_on_from_rung": look.rung} for look in report.looks],
        "balls_in_time": report.balls_in_time,
        "hardest": [
            {"on_miss": each.on_miss.value, "rungs": each.rungs, **(_odds(each.odds) if each.odds else {})}
            for each in report.hardest
        ],
    }


def _odds(odds: LadderOdds) -> dict[str, float | int | None]:
    finite = {name: value if math.isfinite(value) else None
              for name, value in (("expected_balls", odds.expected_balls), ("sd_balls", odds.sd_balls))}  # fmt: skip
    return {**finite, "cap_for_80_percent": odds.cap_for_80_percent}
