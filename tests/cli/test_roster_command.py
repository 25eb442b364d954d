"""`rangework roster` as a coach uses it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.plan.drills import drill_catalogue


@pytest.fixture
def club(tmp_path: Path) -> Path:
    return tmp_path / "club.roster"


def run(club: Path | None, *arguments: str | Path, code: int = 0, typed: str = "") -> Result:
    environment = {"RANGEWORK_ROSTER": str(club) if club else ""}
    done = CliRunner(env=environment).invoke(rangework, list(map(str, arguments)), input=typed)
    assert done.exit_code == code, done.output
    return done


def test_from_nothing_to_a_list(club: Path, records: Path, small_course: Path, tmp_path: Path) -> None:
    assert "Nobody" not in run(club, "roster", "add", "Wren", "--handicap", "+1.2").output
    assert "Nothing" not in run(club, "roster", "import", "wren", records, small_course).output
    assert "nothing changed: this very file" in run(club, "roster", "import", "Wren", records).output
    listed = run(club, "roster", "list", "--json", tmp_path / "list.json").output
    assert "+1.2" in listed
    assert "60" in listed
    assert json.loads((tmp_path / "list.json").read_text())["players"][0]["balls"] == 60
    shown = run(club, "roster", "show", "Wren").output
    assert "home course Threlby" in shown
    assert "60 balls of 1 session," in shown
    run(club, "roster", "log", "Wren", "round_the_hole", "0.5", "--on", "2026-06-01", "--note", "\u202ewind")
    same = ["0.5", "--on", "2026-06-01", "--note", "\u202ewind"]
    named = run(club, "roster", "log", "Wren", "short putts from all sides", *same)
    assert "Wren, 2026-06-01: 30 min of Short putts from all sides, there already" in named.output
    slip = run(club, "roster", "log", "Wren", "short puts from all sides", "0.5", code=2)
    assert "Did you mean 'Short putts from all sides'?" in " ".join(slip.stderr.split())
    history = run(club, "roster", "history", "Wren").output
    assert "practised 30 min of Short putts from all sides: <U+202E>wind" in history
    assert "60 balls imported" in history


def test_a_bad_row_imports_nothing_unless_told(club: Path, records: Path, tmp_path: Path) -> None:
    run(club, "roster", "add", "Wren")
    bad = tmp_path / "bad.csv"
    lines = records.read_text().splitlines()
    lines[3] = lines[3].replace("220", "2x0")
    bad.write_text("\n".join(lines))
    failed = run(club, "roster", "import", "Wren", records, bad, code=2)
    assert "row 4, column target_yd is '2x0'" in failed.stderr
    assert "No balls yet" in run(club, "roster", "show", "Wren").output
    told = run(club, "roster", "import", "Wren", bad, "--skip-bad-rows").output
    assert "59 balls, 1 row skipped" in told
    assert ": row 4, column target_yd is" in " ".join(told.split())
    assert "1 ball, 59 more were there already" in run(club, "roster", "import", "Wren", records).output


def test_a_skipped_stroke_takes_its_hole_along(club: Path, card: Path, tmp_path: Path) -> None:
    run(club, "roster", "add", "Wren")
    bad = tmp_path / "card.csv"
    lines = card.read_text().splitlines()
    lines[2] = lines[2].replace("fairway", "fareway")
    bad.write_text("\n".join(lines))
    told = run(club, "roster", "import", "Wren", bad, "--skip-bad-rows").output
    strokes = len(lines) - 1
    assert f"{strokes - 5} balls, 5 rows skipped" in told
    assert "expected every stroke of its hole sound" in " ".join(told.split())


@pytest.mark.parametrize("command", ["skill", "worth"])
def test_a_player_of_the_roster_in_place_of_records(
    club: Path, records: Path, small_course: Path, tmp_path: Path, command: str
) -> None:
    run(club, "roster", "add", "Wren", "--handicap", "12.4")
    run(club, "roster", "import", "Wren", records, small_course)
    extra = ["--draws", "2"] if command == "worth" else []
    course = ["--course", str(small_course)] if command == "worth" else []
    told = run(club, command, "--player", "wren", *extra, "--json", tmp_path / "kept.json").output
    files = run(
        None, command, records, *course, *extra, "--handicap", "12.4", "--json", tmp_path / "files.json"
    ).output
    assert command == "skill" or files.partition("Look at")[0] == told.partition("Look at")[0]
    kept, read = (json.loads((tmp_path / f"{name}.json").read_text()) for name in ("kept", "files"))
    assert kept["parts"] == read["parts"]
    assert kept["inputs"]["records"] == {"roster": club.as_posix(), "player": "wren"}


def test_what_must_be_given(club: Path, records: Path, small_course: Path) -> None:
    run(club, "roster", "add", "Wren")
    needs = run(None, "worth", "--player", "Wren", "--course", small_course, code=2)
    assert "--player needs --roster FILE" in needs.stderr
    assert "Give either RECORDS or --player" in run(club, "skill", records, "--player", "Wren", code=2).stderr
    assert "Missing argument" in run(club, "skill", code=2).stderr
    assert "Missing option '--course'" in run(club, "worth", records, code=2).stderr
    both = run(club, "worth", "--player", "Wren", code=2).stderr
    assert "expected balls, and there are none" in both
    assert "expected a home course" in both
    unknown = run(club, "worth", records, "--course", "Threlby", code=2).stderr
    assert "a course of the roster (and none is kept)" in unknown


def test_a_named_player_who_cannot_be_planned_for(
    club: Path, records: Path, small_course: Path, tmp_path: Path
) -> None:
    run(club, "roster", "add", "Wren", "--handicap", "12.4")
    run(club, "roster", "add", "Asta")
    told = run(club, "roster", "plan", "Wren", "Asta", "--hours", "4", code=2)
    assert told.stdout == ""
    assert told.stderr.count("a home course, and there is none") == 2
    assert "rangework roster import 'Wren' COURSE.toml" in " ".join(told.stderr.split())
    assert told.stderr.count("balls, and there are none") == 2
    everybody = run(club, "roster", "plan", "--all", "--hours", "4", "--processes", "1").output
    assert "NO PLAN" in everybody
    assert "no home course: import one, or give --course" in " ".join(everybody.split())
    run(club, "roster", "import", "Wren", records)
    assert "home course" in run(club, "roster", "plan", "Wren", "--hours", "4", code=2).stderr


@pytest.mark.slow
def test_a_plan_of_one_player_is_the_rosters_plan_and_kept(
    club: Path, records: Path, small_course: Path
) -> None:
    run(club, "roster", "add", "Wren", "--handicap", "12.4")
    run(club, "roster", "import", "Wren", records, small_course)
    run(club, "roster", "log", "Wren", "round_the_hole", "0.5", "--on", "2026-06-01")
    same = ["--hours", "3", "--draws", "2"]
    told = run(club, "plan", "--player", "Wren", *same).output
    assert f"This plan is kept in {club}" in " ".join(told.split()) or "This plan is kept in" in told
    assert "LEARNED FROM TESTS" in told
    kept = run(club, "roster", "report", "Wren").output
    pages = club.parent / "monday"
    run(club, "roster", "plan", "Wren", *same, "--processes", "1", "--pages", pages)
    assert {file.name for file in pages.iterdir()} == {
        "everybody.html", "00001-wren.html", "00001-wren.txt", "00001-wren.json",
    }  # fmt: skip
    run(club, "roster", "report", "Wren", "--page", club.parent / "wren.html")
    assert (club.parent / "wren.html").read_text("utf-8") == (pages / "00001-wren.html").read_text("utf-8")
    again = run(club, "roster", "report", "Wren").output
    assert kept.partition("WHERE AN HOUR")[2] == again.partition("WHERE AN HOUR")[2]
    assert run(club, "roster", "history", "Wren").output.count("plan for Threlby") == 2


def test_export_backup_and_forget(club: Path, records: Path, tmp_path: Path) -> None:
    run(club, "roster", "add", "Wren")
    run(club, "roster", "import", "Wren", records)
    assert "balls.csv" in run(club, "roster", "export", "Wren", tmp_path / "out").output
    assert "a checked copy" in run(club, "roster", "backup", tmp_path / "copy").output
    assert "Aborted" in run(club, "roster", "forget", "Wren", code=1, typed="n\n").output
    assert "is forgotten" in run(club, "roster", "forget", "Wren", typed="y\n").output
    assert "Nobody yet" in run(club, "roster", "list").output
    assert "Wren" in run(tmp_path / "copy", "roster", "list").output
    run(club, "roster", "forget", "--sweep")


def test_the_example_of_the_log_names_a_drill_there_is() -> None:
    told = run(None, "roster", "log", "--help").output
    example = next(line for line in told.splitlines() if "roster log" in line and "Wren" in line)
    assert example.split('"')[2].split()[0] in {drill.id for drill in drill_catalogue()}


@pytest.mark.parametrize("hours", ["one", "0", "25", "nan"])
def test_hours_that_are_none(club: Path, hours: str) -> None:
    assert "hours above 0 and up to 24" in run(club, "roster", "log", "Wren", "putts", hours, code=2).stderr


def test_faults_of_the_command_line(club: Path, records: Path, small_course: Path, tmp_path: Path) -> None:
    assert "there is no file of this name" in run(club, "roster", "list", code=2).stderr
    run(club, "roster", "add", "Wren")
    assert "a name that is not there yet" in run(club, "roster", "add", "wren", code=2).stderr
    assert (
        "Did you mean 'round_the_hole'"
        in run(club, "roster", "log", "Wren", "round_the_hol", "1", code=2).stderr
    )
    drills = tmp_path / "drills.toml"
    drills.write_text("add_to_catalogue = true\n")
    assert "this is a drills file" in run(club, "roster", "import", "Wren", drills, code=2).stderr
    profile = tmp_path / "player.toml"
    profile.write_text('name = "Ada"\nhandicap = 3\n')
    assert "the profile of Wren" in run(club, "roster", "import", "Wren", profile, code=2).stderr
    twice = run(club, "roster", "import", "Wren", small_course, small_course, code=2)
    assert "one course file" in twice.stderr
