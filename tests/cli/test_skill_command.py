"""`rangework skill` prints a page of 80 columns and the same numbers as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.cli.skill_page import golfer_name, handicap_text
from rangework.cli.tables import WIDTH
from rangework.demo.scenario import write_demo
from rangework.estimate import unknown_bases
from rangework.skill.level_by_piece import PIECES
from rangework.skill.parts import PART_IDS
from rangework.skill.skill_report import MORE_BALLS
from rangework.units import YARD_M

PART_KEYS = {"part", "unit", "estimate", "low", "high", "reference", "shots", "basis"}
HEADINGS = (
    "THE HANDICAP EACH PIECE LOOKS LIKE",
    "WHAT STANDS OUT",
    "PARTS OF THE GAME",
    "HOW FAR APART",
    "WHERE THE MIDDLE",
    "PUTTS",
    "WHICH BALLS",
)


def run(*arguments: str) -> str:
    result = CliRunner().invoke(rangework, ["skill", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


@pytest.fixture(scope="module")
def on_the_demo(demo: Path) -> tuple[str, dict[str, Any]]:
    target = demo / "skill.json"
    records = map(str, sorted(demo.glob("*.csv")))
    mapping, profile = str(demo / "mapping-device.toml"), str(demo / "player.toml")
    page = run(*records, "--mapping", mapping, "--profile", profile, "--json", str(target))
    return page, json.loads(target.read_text("utf-8"))


def estimates(value: Any) -> list[dict[str, Any]]:
    """Every estimate anywhere in the results."""
    if isinstance(value, list):
        return [found for entry in value for found in estimates(entry)]
    if isinstance(value, dict):
        if value.keys() == {"value", "low", "high", "unit", "basis"}:
            return [value]
        return [found for entry in value.values() for found in estimates(entry)]
    return []


@pytest.mark.slow
def test_the_page_of_the_demo(on_the_demo: tuple[str, dict[str, Any]]) -> None:
    page, _ = on_the_demo
    assert page.startswith("Wren Aldersey, handicap 14.2: 554 aimed balls")
    assert max(map(len, page.splitlines())) <= WIDTH
    assert all(heading in page for heading in (*HEADINGS, "CLUBS"))


@pytest.mark.slow
def test_the_demo_shows_what_its_player_was_given(on_the_demo: tuple[str, dict[str, Any]]) -> None:
    _, told = on_the_demo
    stands_out = {each["part"]: each["verdict"] for each in told["stands_out"]}
    assert stands_out["bunker"] == "worse"
    assert stands_out["putt.pace"] == "worse"
    assert stands_out["approach_150_200.direction"] == "worse"
    assert stands_out["putt.line"] == "better"
    parts = {part["part"]: part for part in told["parts"]}
    assert parts["tee.bias"]["low"] > 0.0
    assert parts["approach_150_200.bias"]["estimate"] > 0.0
    assert told["level"]["low"] < 14.2 < told["level"]["high"]


@pytest.mark.slow
def test_every_number_of_the_results_has_a_basis(on_the_demo: tuple[str, dict[str, Any]]) -> None:
    _, told = on_the_demo
    found = estimates(told)
    assert len(found) > 100
    bases = [each["basis"] for key in ("parts", "more_balls", "level_by_piece") for each in told[key]]
    assert all(basis and not unknown_bases(basis) for basis in [*bases, *(each["basis"] for each in found)])
    assert all(each["low"] <= each["value"] <= each["high"] for each in found if each["low"] is not None)


@pytest.mark.slow
def test_results_have_the_promised_keys(on_the_demo: tuple[str, dict[str, Any]]) -> None:
    _, told = on_the_demo
    assert (told["schema"], told["command"], told["seed"]) == (1, "skill", 0)
    assert [part["part"] for part in told["parts"]] == list(PART_IDS)
    assert all(
        part.keys() >= PART_KEYS and part["low"] <= part["estimate"] <= part["high"] for part in told["parts"]
    )
    pieces = {each["piece"]: each for each in told["level_by_piece"]}
    assert list(pieces) == [piece.id for piece in PIECES]
    assert all(each["low"] < each["level"] < each["high"] for each in pieces.values())
    assert pieces["bunker"]["level"] > pieces["chip"]["level"]
    assert told["stands_apart"] is None or told["stands_apart"].keys() == {"best", "worst"}
    assert told["held"]["rounds"] == 8
    assert {club["stated_m"] for club in told["clubs"] if club["club"] == "7 iron"} == {138 * YARD_M}
    narrower = [each["narrower"] for each in told["more_balls"]]
    assert narrower == sorted(narrower, reverse=True)
    assert {each["balls"] for each in told["more_balls"]} == {MORE_BALLS}
    assert told["range_factor"]["identified"] is False


@pytest.mark.slow
def test_units_change_the_page_and_not_the_results(records: Path, tmp_path: Path) -> None:
    yards, metres = tmp_path / "yards.json", tmp_path / "metres.json"
    shown = run(str(records), "--handicap", "12", "--json", str(yards))
    shown_in_metres = run(str(records), "--handicap", "12", "--units", "metres", "--json", str(metres))
    assert yards.read_text("utf-8") == metres.read_text("utf-8")
    assert " yd" in shown
    assert " yd" not in shown_in_metres
    assert "137-183 m" in shown_in_metres
    assert max(map(len, shown_in_metres.splitlines())) <= WIDTH


@pytest.mark.slow
@pytest.mark.parametrize(("reference", "name"), [("tour", "a tour golfer"), ("+2", "handicap +2.0")])
def test_another_golfer_to_compare_with(records: Path, tmp_path: Path, reference: str, name: str) -> None:
    own, other = tmp_path / "own.json", tmp_path / "other.json"
    run(str(records), "--handicap", "12", "--json", str(own))
    page = run(str(records), "--handicap", "12", "--reference", reference, "--json", str(other))
    assert name in page
    before, after = (json.loads(path.read_text("utf-8"))["parts"] for path in (own, other))
    assert [part["estimate"] for part in before] == [part["estimate"] for part in after]
    assert [part["reference"] for part in before] != [part["reference"] for part in after]


@pytest.mark.slow
def test_a_handful_of_balls_and_no_handicap(tmp_path: Path) -> None:
    few = tmp_path / "few.csv"
    few.write_text(
        "date,place,lie,target_ft,holed\n" + "2026-05-04,green,green,6,1\n2026-05-04,green,green,6,0\n" * 2
    )
    page = run(str(few))
    assert page.startswith("The player: 4 practice putts, 2026-05-04.")
    assert "Not measured: the level of the whole stands in." in " ".join(page.split())
    assert "CLUBS" not in page
    assert "assumed" in page


@pytest.mark.slow
def test_a_course_weighs_where_more_balls_would_help(demo: Path, tmp_path: Path) -> None:
    target = tmp_path / "skill.json"
    page = run(
        str(demo / "shots.csv"), "--handicap", "14", "--course", str(demo / "course.toml"),
        "--threads", "1", "--json", str(target),
    )  # fmt: skip
    assert "weighed by this course" in " ".join(page.split())
    assert json.loads(target.read_text("utf-8"))["inputs"]["course"].endswith("course.toml")


def test_faults_of_records_profile_and_course_are_told_together(records: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("date,place,lie,target_ft,holed\n2026-05-04,green,green,x,1\n")
    profile, course = tmp_path / "player.toml", tmp_path / "course.toml"
    profile.write_text("age = 300")
    course.write_text("holes = 3")
    target = tmp_path / "skill.json"
    given = ["--profile", str(profile), "--course", str(course), "--json", str(target)]
    result = CliRunner().invoke(rangework, ["skill", str(records), str(bad), *given])
    assert result.exit_code == 2
    assert all(str(file) in result.stderr for file in (bad, profile, course))
    assert not target.exists()


@pytest.mark.parametrize(("index", "shown"), [(12.44, "12.4"), (-2.0, "+2.0"), (0.0, "0.0"), (-0.01, "0.0")])
def test_a_handicap_is_written_as_golfers_write_it(index: float, shown: str) -> None:
    assert handicap_text(index) == shown
    assert golfer_name(index) == f"a golfer of handicap {shown}"
