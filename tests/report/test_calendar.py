"""The calendar file, read back by a general parser of RFC 5545."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rangework.estimate import Estimate
from rangework.plan.drills import drill_catalogue
from rangework.plan.week.availability import Span
from rangework.plan.week.earlier import Issued
from rangework.plan.week.week_plan import PlannedBlock, PlannedDay, Session, WeekPlan
from rangework.report.calendar import CalendarEntry, calendar_entries, calendar_text, fold, numbered

MADE = datetime(2026, 9, 20, 8, 30, tzinfo=UTC)
HOSTILE = [
    "<script>alert(1)</script>", "=cmd()", "a;b,c\\n\\;d", "Ana\u202eeman\u202c", "line\r\nBEGIN:VEVENT\nUID:x",
    "\u2028two\u2029", "naïve 高尔夫 " * 12, "\x00\x07\x1bbell", 'quote " and : colon',
]  # fmt: skip


def plan_from(first: date, days: int = 7, minute: int = 9 * 60) -> WeekPlan:
    """A session every day, a practice round on the last, and an event after it."""
    planned = []
    for number in range(days):
        day = first + timedelta(days=number)
        block = PlannedBlock(
            "pace_to_five_lengths", "Pace to five lengths", "putting_green", Span(minute + 10, minute + 55), 68, 0,
            "calibration", "random", "A note; with, marks.",
        )  # fmt: skip
        session = Session(day, 1, Span(minute, minute + 55), Span(minute, minute + 10), (block,))
        played = Span(13 * 60, 17 * 60) if number == days - 1 else None
        planned.append(PlannedDay(day, days - number, "taper", (session,), played, (), "open", ""))
    saved = Estimate(0.3, 0.1, 0.5, "strokes per round", "data")
    return WeekPlan(first + timedelta(days=days), tuple(planned), (), saved, {}, 0.3, 0.3, 0.0)


def written(plan: WeekPlan, zone: str = "Europe/London", player: str = "Wren", event: str = "Plate") -> str:
    return calendar_text(
        calendar_entries(plan, player=player, event=event, drills=drill_catalogue()), zone, MADE
    )


def read(text: str) -> icalendar.Calendar:
    calendar = icalendar.Calendar.from_ical(text.encode("utf-8"))
    assert isinstance(calendar, icalendar.Calendar)
    assert [component.errors for component in calendar.walk() if component.errors] == []
    return calendar


def test_read_back_equal() -> None:
    plan = plan_from(date(2026, 9, 26))
    entries = calendar_entries(
        plan, player="Wren", event="Plate", drills=drill_catalogue(), course="Querrowmoss"
    )
    calendar = read(calendar_text(entries, "Europe/London", MADE))
    assert calendar["VERSION"] == "2.0"
    events = calendar.walk("VEVENT")
    assert len(events) == len(entries) == 9
    for event, entry in zip(events, entries, strict=True):
        start, end = event.decoded("DTSTART"), event.decoded("DTEND")
        if isinstance(entry.start, datetime):
            start, end = start.replace(tzinfo=None), end.replace(tzinfo=None)
        assert (start, end) == (entry.start, entry.end)
        assert event["SUMMARY"] == entry.summary
        assert event.get("DESCRIPTION", "") == entry.description
        assert event.get("LOCATION", "") == entry.location
        assert event["UID"] == entry.uid
        assert event.decoded("SEQUENCE") == 0
        assert event.decoded("DTSTAMP") == MADE
    assert "A note; with, marks." in events[0]["DESCRIPTION"]


@pytest.mark.parametrize(
    ("zone", "first", "offsets"),
    [
        ("Europe/London", date(2026, 10, 22), {1, 0}),
        ("America/New_York", date(2026, 3, 5), {-5, -4}),
        ("Australia/Sydney", date(2026, 10, 1), {10, 11}),
        ("Asia/Tokyo", date(2026, 10, 1), {9}),
        ("UTC", date(2026, 10, 1), {0}),
        ("Europe/Dublin", date(2026, 3, 26), {0, 1}),
    ],
)
def test_times_are_right_across_a_change_of_the_clocks(zone: str, first: date, offsets: set[int]) -> None:
    calendar = read(written(plan_from(first), zone))
    own = calendar.walk("VTIMEZONE")[0].to_tz()
    seen = set()
    for event in calendar.walk("VEVENT"):
        start = event.decoded("DTSTART")
        if isinstance(start, datetime):
            local = start.replace(tzinfo=None)
            there = local.replace(tzinfo=ZoneInfo(zone)).utcoffset()
            assert there is not None
            # by the parser's own zone, and by the VTIMEZONE of the file alone
            assert start.utcoffset() == there
            assert local.replace(tzinfo=own).utcoffset() == there
            seen.add(there.total_seconds() / 3600)
    assert seen == offsets


def test_lines_are_folded_and_end_as_the_standard_says() -> None:
    text = written(plan_from(date(2026, 9, 26)), player="Schlägerträger 高尔夫 " * 6)
    assert text.endswith("END:VCALENDAR\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert max(len(line.encode("utf-8")) for line in text.split("\r\n")) <= 75
    for line in text.split("\r\n"):
        line.encode("utf-8").decode("utf-8")


@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=300))
def test_folding_loses_nothing(text: str) -> None:
    pieces = list(fold(text))
    assert pieces[0] + "".join(piece[1:] for piece in pieces[1:]) == text
    assert all(len(piece.encode("utf-8")) <= 75 for piece in pieces)


@settings(max_examples=25)
@given(st.text(max_size=60) | st.sampled_from(HOSTILE))
def test_names_are_text_and_nothing_else(name: str) -> None:
    plan = plan_from(date(2026, 9, 26), days=1)
    calendar = read(written(plan, player=name, event=name))
    events = calendar.walk("VEVENT")
    assert len(events) == 3
    shown = "".join(c for c in str(events[0]["SUMMARY"]) if c.isalnum())
    expected = "".join(c for c in name if c.isalnum())
    assert expected in shown
    assert {component.name for component in calendar.walk()} == {
        "VCALENDAR", "VTIMEZONE", "STANDARD", "DAYLIGHT", "VEVENT",
    }  # fmt: skip


def test_ids_are_stable_and_tell_players_apart() -> None:
    plan = plan_from(date(2026, 9, 26))
    ids = [entry.uid for entry in calendar_entries(plan, player="Wren", event="Plate")]
    again = [
        entry.uid
        for entry in calendar_entries(plan_from(date(2026, 9, 26), minute=600), player="Wren", event="")
    ]
    other = [entry.uid for entry in calendar_entries(plan, player="Rowan", event="Plate")]
    assert ids == again
    assert len(set(ids)) == len(ids)
    assert not set(ids) & set(other)
    assert all(id_.endswith("@rangework") for id_ in ids)


def test_a_new_import_updates_what_changed_and_cancels_what_is_gone() -> None:
    first = numbered(calendar_entries(plan_from(date(2026, 9, 26)), player="Wren", event="Plate"), [])
    issued = [entry.issued() for entry in first]
    plan = plan_from(date(2026, 9, 26))
    moved = plan_from(date(2026, 9, 26), minute=10 * 60).days[1]
    gone = replace(plan.days[2], sessions=())
    changed = replace(plan, days=(plan.days[0], moved, gone, *plan.days[3:]))
    second = numbered(calendar_entries(changed, player="Wren", event="Plate"), issued)
    calendar = {
        str(event["UID"]): event
        for event in read(calendar_text(second, "Europe/London", MADE)).walk("VEVENT")
    }
    assert set(calendar) == {entry.uid for entry in first}
    assert calendar[first[0].uid].decoded("SEQUENCE") == 0
    assert calendar[first[1].uid].decoded("SEQUENCE") == 1
    assert calendar[first[1].uid].decoded("DTSTART").hour == 10
    assert calendar[first[2].uid].decoded("SEQUENCE") == 1
    assert calendar[first[2].uid]["STATUS"] == "CANCELLED"
    third = numbered(
        calendar_entries(changed, player="Wren", event="Plate"), [entry.issued() for entry in second]
    )
    assert [entry.sequence for entry in third] == [entry.sequence for entry in second]
    back = numbered(calendar_entries(plan, player="Wren", event="Plate"), [entry.issued() for entry in third])
    revived = next(entry for entry in back if entry.uid == first[2].uid)
    assert (revived.sequence, revived.cancelled) == (2, False)


def test_a_whole_day_is_cancelled_as_one() -> None:
    old = Issued("x@rangework", 3, "", "2026-10-03", "2026-10-04", "Plate: first round")
    entry: CalendarEntry = numbered([], [old])[0]
    assert (entry.start, entry.sequence, entry.cancelled) == (date(2026, 10, 3), 4, True)
