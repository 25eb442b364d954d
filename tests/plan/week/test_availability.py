"""Availability files: what they say day by day, and every fault of them at once."""

from __future__ import annotations

import contextlib
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rangework.errors import InputError
from rangework.plan.week.availability import Span, clocks_change_in
from rangework.plan.week.availability_file import parse_availability, read_availability
from rangework.plan.week.open_days import open_days, phase_of

FILE = """
event = "Plate"
time_zone = "Europe/London"
usual_hours_a_week = 6
daylight = "07:00-18:30"
lit = ["range"]

[usual.monday]
"17:00-19:30" = ["range", "putting_green"]
travel = ["08:00-09:00"]

[usual.tuesday]
"09:00-12:00" = ["range"]

[day.2026-09-28]
duties = ["17:30-18:00"]
note = "Late."

[day.2026-09-29]
rest = true
practice_round = "13:00-17:00"
"""


def faults_of(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse_availability(text, "days.toml")
    return [str(problem) for problem in caught.value.problems]


def test_a_date_replaces_what_its_weekday_says_key_by_key() -> None:
    read = parse_availability(FILE, "days.toml")
    monday = read.on(date(2026, 9, 28))
    assert monday.duties == (Span(1050, 1080),)
    assert monday.travel == (Span(480, 540),)
    assert monday.note == "Late."
    assert [window.span for window in monday.windows or ()] == [Span(1020, 1170)]
    assert read.on(date(2026, 10, 5)).duties is None
    assert read.on(date(2026, 9, 30)).windows is None


def test_windows_are_cut_by_duties_daylight_and_lights() -> None:
    monday, tuesday = open_days(
        parse_availability(FILE, "days.toml"), date(2026, 9, 28), date(2026, 9, 29), date(2026, 9, 30)
    )
    spans = [[(part.span, part.places) for part in window.stretches] for window in monday.windows]
    assert spans == [
        [(Span(1020, 1050), ("range", "putting_green"))],
        [(Span(1080, 1110), ("range", "putting_green")), (Span(1110, 1170), ("range",))],
    ]
    assert (monday.days_left, tuesday.days_left) == (2, 1)
    assert tuesday.windows == ()
    assert tuesday.practice_round is None


def test_the_demo_and_the_documented_example_read(tmp_path: Path) -> None:
    demo = files("rangework.demo").joinpath("files", "availability.toml").read_text("utf-8")
    assert parse_availability(demo, "availability.toml").event == "Querrowmoss Autumn Plate"
    page = (Path(__file__).parents[3] / "docs" / "reference" / "availability.md").read_text("utf-8")
    path = tmp_path / "availability.toml"
    path.write_text(page.split("```toml\n")[1].split("```")[0], encoding="utf-8")
    assert read_availability(path).on(date(2026, 10, 2)).rest


def test_every_fault_is_told_at_once() -> None:
    told = faults_of(
        """
time_zone = "Mars/Olympus"
usual_hours_a_week = 0
usual_days_a_week = 2.5
daylight = "19:00-07:00"
lit = ["home"]
hors = 3
[usual.moonday]
[usual.monday]
"17:00-19:00" = ["rang"]
"18:00-20:00" = ["range"]
"25:00-26:00" = "range"
travel = "08:00-09:00"
practise_round = "13:00-17:00"
rest = 1
[day.2026-02-30]
[day.2026-10-25]
"00:30-03:00" = ["range"]
"""
    )
    for words in (
        "time_zone", "usual_hours_a_week", "usual_days_a_week", "daylight", "lit", "hors", "monday?",
        "Did you mean range", "do not overlap", "25:00-26:00", "[usual.monday] travel", "practice_round", "rest",
        "2026-02-30",
    ):  # fmt: skip
        assert any(words in problem for problem in told), words
    assert len(told) >= 14


def test_a_window_in_which_clocks_change_is_refused() -> None:
    changing = '[day.2026-10-25]\n"00:30-03:00" = ["range"]\n'
    assert "clocks do not change" in faults_of('time_zone = "Europe/London"\n' + changing)[0]
    assert parse_availability('time_zone = "Asia/Tokyo"\n' + changing, "days.toml")
    assert clocks_change_in(date(2026, 3, 29), Span(0, 180), "Europe/London")
    weekly = parse_availability(
        'time_zone = "Europe/London"\n[usual.sunday]\n"00:30-03:00" = ["home"]', "days.toml"
    )
    with pytest.raises(InputError, match="clocks do not change"):
        open_days(weekly, date(2026, 10, 25), date(2026, 10, 25), date(2026, 10, 26))


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="can be read"):
        read_availability(tmp_path / "none.toml")
    (tmp_path / "latin.toml").write_bytes("event = 'Größe'".encode("latin-1"))
    with pytest.raises(InputError, match="UTF-8"):
        read_availability(tmp_path / "latin.toml")
    assert "at least one table" in faults_of('time_zone = "UTC"')[0]


PIECES = st.integers(0, len(FILE)).flatmap(
    lambda cut: st.sampled_from([FILE[:cut], FILE[cut:], FILE[:cut] + '"'])
)


@settings(max_examples=60)
@given(st.text(max_size=60) | PIECES)
def test_no_text_raises_anything_but_input_errors(text: str) -> None:
    with contextlib.suppress(InputError):
        parse_availability(text, "days.toml")


@pytest.mark.parametrize(
    ("days", "left", "phase"),
    [
        (7, 7, "taper"),
        (14, 8, "sharpen"),
        (21, 7, "taper"),
        (56, 14, "taper"),
        (56, 15, "sharpen"),
        (56, 56, "build"),
    ],
)
def test_phases(days: int, left: int, phase: str) -> None:
    assert phase_of(left, days) == phase
    assert phase_of(None, days) == "training"


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(1, 40)), max_size=5))
def test_what_is_left_of_a_span_meets_nothing_taken(taken: list[tuple[int, int]]) -> None:
    busy = [Span(start, start + length) for start, length in taken]
    left = Span(20, 90).without(busy)
    assert not any(piece.meets(span) for piece in left for span in busy)
    minutes = {minute for minute in range(20, 90) if not any(s.start <= minute < s.end for s in busy)}
    assert {minute for piece in left for minute in range(piece.start, piece.end)} == minutes
