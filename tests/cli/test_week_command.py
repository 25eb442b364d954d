"""`rangework week`: the days first, a calendar, the same numbers as JSON, and planning anew from them."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import icalendar
import pytest
from click.testing import CliRunner, Result

from rangework.cli.commands.week import GIVE_UP, other_days
from rangework.cli.main import rangework
from rangework.estimate import unknown_bases
from rangework.plan.cautions import ALWAYS
from rangework.plan.week.availability import Availability, DayAvailability
from rangework.plan.week.week_limits import MAY_BE_GIVEN_UP
from rangework.week_advice import WeekQuestion

DAYS = """
event = "%s"
time_zone = "Europe/London"
usual_hours_a_week = 6
usual_days_a_week = 4
event_green_speed_ft = 10.5
practice_green_speed_ft = 9

[usual.monday]
"17:00-19:00" = ["range", "putting_green"]

[usual.tuesday]
"17:00-19:00" = ["range", "putting_green", "short_game_area"]

[usual.thursday]
"17:00-19:00" = ["range", "putting_green", "short_game_area"]

[usual.friday]
"10:00-12:00" = ["range", "putting_green"]

[usual.saturday]
"10:00-12:00" = ["range", "putting_green", "short_game_area"]
"""


def week(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["week", *map(str, arguments)])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("week")


@pytest.fixture(scope="module")
def few(records: Path, small_course: Path, folder: Path) -> list[str | Path]:
    """A quick run: a few balls, nine holes, four plausible players."""
    days = folder / "days.toml"
    days.write_text(DAYS % "Plate, of <b>1</b>; \\u202e", encoding="utf-8")
    return [records, "--course", small_course, "--handicap", "12", "--draws", "4", "--availability", days]


@pytest.fixture(scope="module")
def told(few: list[str | Path], folder: Path) -> dict[str, Any]:
    result = week(
        *few, "--first-round", "2026-10-03", "--json", folder / "week.json", "--calendar", folder / "week.ics"
    )
    assert result.exit_code == 0, result.output
    return {**json.loads((folder / "week.json").read_text("utf-8")), "page": result.stdout}


def test_the_days_come_first_and_the_page_fits(told: dict[str, Any]) -> None:
    lines = told["page"].splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[0] == "THE DAYS BEFORE PLATE, OF <B>1</B>;"
    headings = [line for line in lines if " before" in line and " | " in line]
    assert len(headings) == 7
    assert headings[0].startswith("Saturday 26 September | 7 days before")
    assert "Friday 02 October | the day before" in told["page"]


def test_every_caution_and_assumption_is_on_the_page(told: dict[str, Any]) -> None:
    page = " ".join(told["page"].split())
    assert all(caution in page for caution in told["cautions"])
    assert set(ALWAYS) <= set(told["cautions"])
    assert all(each["text"] in page for each in told["assumptions"])
    assert "published.week.taper" in {each["id"] for each in told["assumptions"]}
    assert "endurance" in next(
        each["citation"] for each in told["assumptions"] if each["id"] == "published.week.taper"
    )


def test_the_numbers_agree(told: dict[str, Any]) -> None:
    assert 0.0 < told["strokes_saved"] <= told["bound"] <= told["relaxed_bound"] + 1e-9
    assert told["gap"] <= 0.01
    assert told["strokes_saved"] == pytest.approx(sum(told["saved_by"].values()))
    estimate = told["estimates"]["strokes_saved"]
    assert estimate["low"] <= estimate["value"] <= estimate["high"]
    assert unknown_bases(estimate["basis"]) == []
    minutes = sum(b["minutes"] for day in told["days"] for s in day["sessions"] for b in s["blocks"])
    assert minutes == sum(day["minutes"] for day in told["days"]) == told["weeks"][0]["minutes"] <= 212
    assert told["weeks"][0]["usual_minutes"] == 360
    notes = [b["note"] for day in told["days"] for s in day["sessions"] for b in s["blocks"]]
    assert any(note.startswith("Of ten balls") for note in notes)
    assert any("20 ft there has the pace of 17 here" in note for note in notes)
    assert 0 < len(told["aims_to_settle"]) <= 6
    assert sum(
        kind["a_round"] for kind in told["asked"] if kind["name"].startswith("tee shots")
    ) == pytest.approx(4.0, abs=0.1)


def test_the_calendar_holds_the_sessions(told: dict[str, Any], folder: Path) -> None:
    data = (folder / "week.ics").read_bytes()
    assert data.endswith(b"END:VCALENDAR\r\n")
    events = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert [str(event["UID"]) for event in events] == [entry["uid"] for entry in told["calendar"]]
    assert len(events) == sum(len(day["sessions"]) for day in told["days"]) + 1


def test_planning_anew_keeps_what_is_done_and_updates_the_calendar(
    told: dict[str, Any], few: list[str | Path], folder: Path
) -> None:
    held = [day["date"] for day in told["days"] if day["sessions"]]
    missed, today = held[0], "2026-09-30"
    result = week(
        *few, "--first-round", "2026-10-03", "--earlier", folder / "week.json", "--today", today, "--missed", missed,
        "--json", folder / "again.json", "--calendar", folder / "again.ics",
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    again = json.loads((folder / "again.json").read_text("utf-8"))
    by_date = {day["date"]: day for day in told["days"]}
    for day in again["days"]:
        if day["date"] == missed:
            assert day["missed"]
            assert day["sessions"] == []
        elif day["date"] < today:
            blocks = [session["blocks"] for session in by_date[day["date"]]["sessions"]]
            assert [session["blocks"] for session in day["sessions"]] == blocks
            assert all(session["done"] for session in day["sessions"])
    assert "Missed." in result.stdout
    events = {
        str(e["UID"]): e
        for e in icalendar.Calendar.from_ical((folder / "again.ics").read_bytes()).walk("VEVENT")
    }
    gone = next(entry for entry in told["calendar"] if entry["start"].startswith(missed))
    assert events[gone["uid"]]["STATUS"] == "CANCELLED"
    assert events[gone["uid"]].decoded("SEQUENCE") == 1
    assert set(events) >= {entry["uid"] for entry in told["calendar"]}


@pytest.mark.slow
def test_a_plain_week_and_a_usual_course(few: list[str | Path], small_course: Path, folder: Path) -> None:
    plain = week(*few, "--from", "2026-09-14", "--json", folder / "plain.json")
    assert plain.exit_code == 0, plain.output
    told = json.loads((folder / "plain.json").read_text("utf-8"))
    assert told["first_round"] is None
    assert told["aims_to_settle"] == []
    assert plain.stdout.startswith("A WEEK OF PRACTICE")
    assert not any(each["id"].startswith("published.week") for each in told["assumptions"])
    same = week(
        *few, "--first-round", "2026-10-03", "--usual-course", small_course, "--units", "metres",
        "--json", folder / "same.json",
    )  # fmt: skip
    assert same.exit_code == 0, same.output
    assert json.loads((folder / "same.json").read_text("utf-8"))["asked_more"] == []


def test_a_week_for_a_windy_event(few: list[str | Path], told: dict[str, Any], folder: Path) -> None:
    done = week(
        *few, "--first-round", "2026-10-03", "--wind", "20 mph from ahead", "--green-speed", "10.5",
        "--json", folder / "windy.json",
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    windy = json.loads((folder / "windy.json").read_text("utf-8"))
    assert done.stdout.startswith("Played in: wind 20 mph from 12 o'clock, green speed 10.5 ft.")
    assert windy["inputs"]["conditions"]["green_speed_m"] == pytest.approx(3.2, abs=0.01)
    rests = {each["id"] for each in windy["assumptions"]}
    assert {"published.conditions.wind", "published.conditions.green_speed"} <= rests
    assert not any("conditions" in each["id"] for each in told["assumptions"])

    def par_four(week: dict[str, Any]) -> float:
        return sum(aim["over_par"] for aim in week["aims_to_settle"])

    assert par_four(windy) > par_four(told) + 0.3


def test_green_speeds_that_differ_are_told(few: list[str | Path]) -> None:
    result = week(*few, "--first-round", "2026-10-03", "--green-speed", "12")
    assert result.exit_code == 2
    assert "--green-speed" in result.stderr
    assert "10.5 ft that event_green_speed_ft" in " ".join(result.stderr.split())


@pytest.mark.slow
def test_limits_that_clash_are_named_with_what_to_give_up(few: list[str | Path]) -> None:
    result = week(*few, "--first-round", "2026-10-03", "--at-least", "tight_lies=3")
    assert result.exit_code == 2
    assert "The fewest limits to give up" in result.stderr
    assert "tight_lies" in result.stderr


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ([], "--from"),
        (["--first-round", "soon"], "not a date"),
        (["--first-round", "2026-10-03", "--from", "2026-10-03"], "days before the first round"),
        (["--first-round", "2026-10-03", "--from", "2026-09-30", "--weeks", "2"], "not both"),
        (["--from", "2026-10-03", "--weeks", "2"], "without an event"),
        (["--first-round", "2026-10-03", "--today", "2026-09-30"], "--earlier"),
        (["--first-round", "2026-10-03", "--missed", "2026-09-30"], "--today"),
        (["--first-round", "2026-10-03", "--swings-a-day", "500"], "safety limit"),
        (["--first-round", "2026-10-03", "--at-least", "putt.pase=1"], "Did you mean 'putt.pace'?"),
        (["--first-round", "2026-10-03", "--earlier", "none.json"], "none.json"),
    ],
)
def test_what_no_plan_can_have_is_refused_before_the_work(
    few: list[str | Path], wrong: list[str], words: str
) -> None:
    result = week(*few, *wrong)
    assert result.exit_code == 2
    assert words in " ".join(result.stderr.split())


def test_an_earlier_plan_that_is_none_is_told(few: list[str | Path], folder: Path) -> None:
    for text in ("[]", "{}", '{"command": "week", "days": [{"date": "x"}], "calendar": [1]}', "not json"):
        (folder / "bad.json").write_text(text, encoding="utf-8")
        result = week(
            *few, "--first-round", "2026-10-03", "--earlier", folder / "bad.json", "--today", "2026-09-30"
        )
        assert result.exit_code == 2, text
        assert "bad.json" in result.stderr


def test_check_knows_an_availability(folder: Path, few: list[str | Path]) -> None:
    result = CliRunner().invoke(rangework, ["check", str(folder / "days.toml")])
    assert result.exit_code == 0
    assert "availability (" in result.stdout
    bad = folder / "bad.toml"
    bad.write_text('time_zone = "Europe/London"\n[usual.monday]\n"9" = 1\nrest = 2\n', encoding="utf-8")
    result = CliRunner().invoke(rangework, ["check", str(bad)])
    assert result.exit_code == 2
    assert "2 faults" not in result.stdout.replace("3 faults", "")


def test_days_of_another_year_are_told() -> None:
    """A first round mistyped by a year leaves out the travel day and the practice round without a sign."""
    days = Availability(by_date={date(2026, 10, 1): DayAvailability(), date(2026, 9, 30): DayAvailability()})
    for year, told in (
        (2025, "2026-09-30 to 2026-10-01: none is in the plan, 2025-09-26 to 2025-10-03"),
        (2026, ""),
    ):
        first_round = date(year, 10, 3)
        question = WeekQuestion(days, date(year, 9, 26), date(year, 10, 2), first_round)
        assert told in "".join(other_days(days, question))
        assert bool(told) == bool(other_days(days, question))
        assert not other_days(Availability(), question)


def test_limits_that_may_be_given_up_are_those_of_the_program() -> None:
    assert GIVE_UP == MAY_BE_GIVEN_UP
