"""The page that `rangework skill` prints: who, what stands out, then table by table."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rangework.cli.skill_levels import pieces_sentence, pieces_table
from rangework.cli.skill_tables import (
    clubs_table,
    full_name,
    middle_table,
    more_balls_table,
    part_value,
    parts_table,
    putts_table,
    spread_table,
)
from rangework.cli.tables import Block, interval, number, paragraph, table

if TYPE_CHECKING:
    from rangework.skill.skill_report import SkillReport
    from rangework.units import Units

LEGEND = (
    "measured: the records decide. leaning: the records and the usual golfer share. assumed: hardly more than the "
    "usual golfer. nearby: fewer than 15 balls, known from the player's other shots. on range: measured on "
    "the range, its level on the course assumed. Ranges hold the truth nine times in ten. Worse and better: the "
    "range leaves the usual golfer outside."
)
#: Differences that cost or save less are left out of what stands out.
SMALLEST_STROKES = 0.05
#: What more balls are weighed by when no course is given.
USUAL_WORTHS = "assumption.usual_worths"
SPREAD_NOTE = (
    "One standard deviation of solid strikes: two balls in three finish inside it. Left or right at the distance "
    "named. Distances beyond reach, and without a ball, are left out."
)


def skill_page(report: SkillReport, units: Units) -> str:
    """The page, paragraphs apart by empty lines."""
    return "\n\n".join(_paragraphs(report, units))


def _paragraphs(report: SkillReport, units: Units) -> Iterator[str]:
    usual = golfer_name(report.reference)
    yield paragraph(_who(report)) + "\n" + paragraph(f"{_level(report)} {pieces_sentence(report)}")
    yield f"THE HANDICAP EACH PIECE LOOKS LIKE\n{pieces_table(report, units)}"
    yield f"WHAT STANDS OUT beside {usual}\n{_stands_out(report, units)}"
    yield f"PARTS OF THE GAME (usual: {usual})\n{parts_table(report, units)}\n\n{paragraph(LEGEND)}"
    yield f"HOW FAR APART THE BALLS FINISH\n{spread_table(report, units)}\n\n{paragraph(SPREAD_NOTE)}"
    yield f"WHERE THE MIDDLE OF THE PATTERN LIES\n{middle_table(report, units)}"
    yield f"PUTTS (usual: {usual})\n{putts_table(report, units)}"
    if report.clubs:
        yield f"CLUBS, struck solidly\n{clubs_table(report, units)}"
    if report.has_range:
        yield paragraph(_range_sentence(report))
    yield f"WHICH BALLS WOULD TELL MOST NEXT\n{_more_balls(report, units)}"
    for warning in report.warnings:
        yield paragraph(f"Look at {warning}")


def golfer_name(level: float | str) -> str:
    """The golfer to compare with, in words."""
    return "a tour golfer" if level == "tour" else f"a golfer of handicap {handicap_text(float(level))}"


def handicap_text(index: float) -> str:
    """A handicap index as golfers write it: better than scratch with a plus."""
    rounded = round(index, 1) + 0.0
    return f"+{-rounded:.1f}" if rounded < 0.0 else f"{rounded:.1f}"


def _who(report: SkillReport) -> str:
    held = report.held
    stated = "" if report.stated_handicap is None else f", handicap {handicap_text(report.stated_handicap)}"
    counts = [
        _counted(held["aimed"], "aimed ball") + (f" ({held['misread']} not read)" if held["misread"] else ""),
        _counted(held["putts"], "practice putt"),
        _counted(held["strokes_logged"], "stroke") + f" of {_counted(held['rounds'], 'round')}",
    ]
    present = [
        text for text, key in zip(counts, ("aimed", "putts", "strokes_logged"), strict=True) if held[key]
    ]
    first, last = held["first_date"], held["last_date"]
    days = first if first == last else f"{first} to {last}"
    return f"{report.name or 'The player'}{stated}: {', '.join(present)}, {days}."


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _level(report: SkillReport) -> str:
    level = report.level
    low, high = (handicap_text(end or 0.0) for end in (level.low, level.high))
    return (
        f"The records look like those of a golfer of handicap {handicap_text(level.value)} ({low} to {high})."
    )


def _stands_out(report: SkillReport, units: Units) -> str:
    by_id = {part.part: part for part in report.parts}
    rows = [
        [
            full_name(each.part, units),
            part_value(by_id[each.part], by_id[each.part].estimate, units),
            part_value(by_id[each.part], by_id[each.part].reference, units),
            number(each.strokes.value, 1, signed=True),
            interval(each.strokes.low, each.strokes.high, 1, signed=True),
        ]
        for each in report.stands_out
        if abs(each.strokes.value) >= SMALLEST_STROKES
    ]
    if not rows:
        return paragraph("Nothing that the records are sure of." + _off_line(report, units), indent="  ")
    shown = table(["part", "is", "usual", "strokes\na round", "90 % range"], [Block("", rows)])
    note = f"Roughly what it costs (+) or saves (-) on {_weighed(report)}."
    return f"{shown}\n\n{paragraph(note + _off_line(report, units))}"


def _weighed(report: SkillReport) -> str:
    return "standard holes" if report.weights_basis == USUAL_WORTHS else "this course"


def _off_line(report: SkillReport, units: Units) -> str:
    """The biases that the records are sure of, in a sentence with a space before it; or nothing."""
    from rangework.skill.standing_out import verdict

    off = [
        f"{full_name(part.part, units).removesuffix(', bias')} {part_value(part, abs(part.estimate), units)[1:]}"
        f" {verdict(part)}"
        for part in report.parts
        if verdict(part) in ("left", "right")
    ]
    return f" Off to one side: {', '.join(off)}." if off else ""


def _more_balls(report: SkillReport, units: Units) -> str:
    note = (
        "How well the strokes a round that the player's game costs are known, now and with these balls added "
        f"(30 a session): half of the 90 % range, weighed by {_weighed(report)}."
    )
    return f"{more_balls_table(report, units)}\n\n{paragraph(note)}"


def _range_sentence(report: SkillReport) -> str:
    factor = report.range_factor.estimate
    told = (
        f"Balls on the range scatter {number(factor.value, 2)} times "
        f"({interval(factor.low, factor.high, 2)}) as much as on the course"
    )
    if report.range_factor.identified:
        return f"{told}: measured, from records of both."
    return f"{told}: not identified by these records. Balls with a known aim on the course would tell."
