"""`rangework worth` prints a page of 80 columns and the same numbers as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.cli.worth_page import name_in_units
from rangework.demo.scenario import demo_files
from rangework.skill.parts import PART_IDS


@pytest.fixture
def course(tmp_path: Path) -> Path:
    path = tmp_path / "course.toml"
    (file,) = (file for file in demo_files() if file.name == "course.toml")
    path.write_bytes(file.read_bytes())
    return path


@pytest.mark.parametrize(
    ("part", "yards", "metres"),
    [
        ("chip", "chips (under 20 yd)", "chips (under 18 m)"),
        ("pitch", "pitches (20-50 yd)", "pitches (18-46 m)"),
        ("approach_100_150.bias", "approach 100-150 yd, bias", "approach 91-137 m, bias"),
        ("approach_200_up.bias", "approach 200 yd and more, bias", "approach 183 m and more, bias"),
        ("putt.line", "putting, line", "putting, line"),
    ],
)
def test_distances_in_names_of_parts_are_in_the_users_units(part: str, yards: str, metres: str) -> None:
    assert name_in_units(part, "yards") == yards
    assert name_in_units(part, "metres") == metres


@pytest.mark.slow
def test_the_page_and_its_numbers(records: Path, course: Path, tmp_path: Path) -> None:
    target = tmp_path / "worth.json"
    arguments = ["worth", str(records), "--course", str(course), "--handicap", "12", "--json", str(target)]
    result = CliRunner().invoke(rangework, arguments)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert "+5.5 yd" in result.stdout
    told = json.loads(target.read_text("utf-8"))
    assert [part["part"] for part in told["parts"]] == list(PART_IDS)
    assert all(part["standard_error"] <= 0.005 for part in told["parts"])
    saved = {part["part"]: part["strokes_saved"] for part in told["parts"]}
    assert saved["putt.line"] > 0.1
    assert saved["tee.carry"] > 0.1


@pytest.mark.slow
@pytest.mark.parametrize("wrong", [["--tee", "moon"], ["--pin", "moon"]])
def test_names_that_the_course_lacks_are_told(records: Path, course: Path, wrong: list[str]) -> None:
    result = CliRunner().invoke(rangework, ["worth", str(records), "--course", str(course), *wrong])
    assert result.exit_code == 2
    assert "expected one of" in result.stderr


def test_faults_of_records_and_course_are_told_together(tmp_path: Path) -> None:
    result = CliRunner().invoke(
        rangework, ["worth", str(tmp_path / "none.csv"), "--course", str(tmp_path / "none.toml")]
    )
    assert result.exit_code == 2
    assert "none.csv" in result.stderr
    assert "none.toml" in result.stderr
