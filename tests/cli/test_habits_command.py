"""`rangework habits`: the page, its JSON, and what it says where nothing is known of the aim."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.estimate import unknown_bases


def habits(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["habits", *map(str, arguments)])


@pytest.fixture
def few(records: Path, small_course: Path) -> list[str | Path]:
    return [records, "--course", small_course, "--tee", "long", "--handicap", "12", "--draws", "6"]


def test_without_aims_or_rounds_it_says_how_to_find_out(few: list[str | Path], tmp_path: Path) -> None:
    told = habits(*few, "--json", tmp_path / "habits.json")
    assert told.exit_code == 0, told.output
    assert "free strokes are not counted" in " ".join(told.stdout.split())
    assert json.loads((tmp_path / "habits.json").read_text("utf-8"))["free_strokes"] is None


def test_faults_of_aims_and_records_are_told_together(few: list[str | Path], tmp_path: Path) -> None:
    path = tmp_path / "aims.toml"
    path.write_text('[[habit]]\nshots = "chips"\naim = "pin"\n', encoding="utf-8")
    failed = habits("no-such.csv", *few[1:], "--aims", path)
    assert failed.exit_code == 2
    assert "habit[1].shots" in failed.output
    assert "no-such.csv" in failed.output


@pytest.mark.slow
def test_the_page_and_its_numbers(few: list[str | Path], tmp_path: Path) -> None:
    told = habits(*few, "--aims", "pin", "--json", tmp_path / "habits.json")
    assert told.exit_code == 0, told.output
    assert max(map(len, told.stdout.splitlines())) <= 80
    assert "Never toward people" in " ".join(told.stdout.split())
    numbers: dict[str, Any] = json.loads((tmp_path / "habits.json").read_text("utf-8"))
    free = numbers["free_strokes"]
    whole = free["decisions"]["value"] + free["execution"]["value"]
    assert free["total"]["value"] == pytest.approx(whole)
    assert free["decisions"]["low"] <= free["decisions"]["high"]
    assert unknown_bases(numbers["together"]["basis"]) == []
    assert 1 <= len(numbers["rules"]) <= 5
    assert all(rule["saves_alone"]["value"] < free["decisions"]["value"] for rule in numbers["rules"])
    # six players so little known may have hardly any free strokes on average
    assert numbers["share"] is None or 0.0 < numbers["share"]["value"] < 1.05
    assert [habit["shots"] for habit in numbers["habits"]] == ["approach", "tee", "long"]
