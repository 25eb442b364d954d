"""Parts that `rangework report` adds when asked: the days, how tests changed, the hole notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rangework.cli.assess.cell_words import cell_words
from rangework.cli.assess.progress_page import LEARNT, answer_of
from rangework.cli.assess.progress_picture import over_time
from rangework.cli.plan_page import PLACES
from rangework.cli.playing import golfer_words
from rangework.cli.report_charts import ranged
from rangework.cli.tables import clock
from rangework.cli.week_page import answer
from rangework.report.document import Drawn, Grid, Part
from rangework.report.ranges_chart import ranges_chart

if TYPE_CHECKING:
    from rangework.assessment.progress import Change
    from rangework.assessment.tested_player import TestedPlayer
    from rangework.plan.week.week_plan import PlannedDay, Session, WeekPlan
    from rangework.report.note_cards import NoteCard, NoteSheet
    from rangework.units import Units

CHANGES_SHOWN = 10


def week_part(plan: WeekPlan, event: str, cautions: Sequence[str]) -> Part:
    """Day by day: when, what, where."""
    title = "Day by day" if plan.first_round is None else f"Day by day to {event or 'the event'}"
    return Part(
        title,
        text=[answer(plan)],
        grids=[Grid((), _rows(day), _heading(day)) for day in plan.days],
        items=cautions,
        new_sheet=True,
    )


def _heading(day: PlannedDay) -> str:
    left = {None: "", 1: ", the day before"}.get(day.days_left, f", {day.days_left} days before")
    return f"{day.date:%A %d %B}{left}"


def _rows(day: PlannedDay) -> list[list[str]]:
    """What happens in the order of the clock."""
    timed = [(span.start, [f"travel, {clock(span.minutes)}"]) for span in day.travel]
    if day.practice_round:
        timed.append((day.practice_round.start, [f"practice round, {clock(day.practice_round.minutes)}"]))
    timed += [row for session in day.sessions for row in _session(session)]
    if not timed:
        return [["missed" if day.missed else "rest"]]
    return [[_at(start), *words] for start, words in sorted(timed, key=lambda row: row[0])]


def _session(session: Session) -> Iterator[tuple[int, list[str]]]:
    yield session.warm_up.start, [f"warm up, {clock(session.warm_up.minutes)}"]
    for block in session.blocks:
        balls = f", {block.balls} balls" if block.balls else ""
        yield block.span.start, [f"{block.name} ({PLACES[block.place]}), {clock(block.minutes)}{balls}"]


def _at(minute: int) -> str:
    from rangework.plan.week.availability import clock_time

    return clock_time(minute).strip()


@dataclass(frozen=True, slots=True)
class Tests:
    """Two or more tests, and what changed from the first to the last."""

    tested: TestedPlayer
    found: Sequence[Change]


def progress_part(tests: Tests, units: Units) -> Part:
    """What changed from the first test to the last, the surest first."""
    cards = tests.tested.scored.cards
    ordered = sorted(tests.found, key=lambda change: (change.kind != "all", -change.chance_real))[
        :CHANGES_SHOWN
    ]
    rows = [
        ranged(cell_words(change.name, units), change.change, f"{100 * change.chance_real:.0f} % sure")
        for change in ordered
    ]
    told = "; ".join(f"{row.name} {row.value:+.2f} ({row.low:+.2f} to {row.high:+.2f})" for row in rows)
    drawn = Drawn(
        "progress",
        ranges_chart(rows, left="worse", right="better"),
        f"Change of strokes gained a ball from the first test to the last. {told}.",
        f"Strokes gained a ball against {golfer_words(tests.tested.level)}, last test less first, with 90 % ranges.",
    )
    title = f"What changed from {cards[0].day} to {cards[-1].day}"
    pictures = [over_time(tests.tested, tests.found, units), drawn]
    return Part(
        title, text=[answer_of(tests.found, units)], pictures=pictures, notes=[LEARNT], new_sheet=True
    )


def notes_parts(sheet: NoteSheet) -> list[Part]:
    """The hole notes, a sheet for each nine."""
    nines = sheet.nines()
    return [
        Part(
            "Hole notes" if len(nines) == 1 else f"Hole notes, {nine[0].number} to {nine[-1].number}",
            text=[sheet.about] if number == 0 else (),
            grids=[grid for card in nine for grid in _card(card)],
            notes=[text for text in (*sheet.cautions, sheet.credit) if text] if nine is nines[-1] else (),
            new_sheet=True,
        )
        for number, nine in enumerate(nines)
    ]


def _card(card: NoteCard) -> Iterator[Grid]:
    head = f"{card.number}: {card.heading}; {card.green}"
    yield Grid((), [[way] for way in card.way], head)
    for table in card.tables:
        yield Grid((), table.rows, table.heading)
