"""The options that commands share."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from rangework.cli.options import (
    course_option,
    hours_option,
    player_options,
    reference_option,
    run_options,
)

SEEN: dict[str, object] = {}


@click.command()
@player_options
@course_option
@reference_option
@run_options
def command(**options: object) -> None:
    SEEN.clear()
    SEEN.update(options)


def test_defaults() -> None:
    result = CliRunner().invoke(command, ["a.csv", "b.csv", "--course", "c.toml"])
    assert result.exit_code == 0, result.output
    threads = SEEN.pop("threads")
    assert isinstance(threads, int)
    assert threads >= 1
    assert {
        "records": (Path("a.csv"), Path("b.csv")),
        "mappings": (),
        "course": Path("c.toml"),
        "handicap": None,
        "profile": None,
        "reference": None,
        "units": "yards",
        "seed": 0,
        "json_file": None,
    } == SEEN


@pytest.mark.parametrize(("written", "index"), [("12.4", 12.4), ("+2", -2.0), ("-2", -2.0), ("0", 0.0)])
def test_handicap(written: str, index: float) -> None:
    result = CliRunner().invoke(command, ["a.csv", "--course", "c.toml", "--handicap", written])
    assert result.exit_code == 0, result.output
    assert SEEN["handicap"] == index


@pytest.mark.parametrize(
    "wrong",
    [
        ["--handicap", "scratch"],
        ["--handicap", "60"],
        ["--seed", "-1"],
        ["--threads", "0"],
        ["--units", "feet"],
    ],
)
def test_wrong_values_are_usage_errors(wrong: list[str]) -> None:
    assert CliRunner().invoke(command, ["a.csv", "--course", "c.toml", *wrong]).exit_code == 2


def test_results_need_a_folder_before_the_work_begins(tmp_path: Path) -> None:
    target = tmp_path / "none" / "plan.json"
    result = CliRunner().invoke(command, ["a.csv", "--course", "c.toml", "--json", str(target)])
    assert result.exit_code == 2
    assert "does not exist" in result.output


@pytest.mark.parametrize("name", ["shots.csv", "course.toml", "map.OSM"])
def test_records_and_courses_are_never_written_over(tmp_path: Path, name: str) -> None:
    kept = tmp_path / name
    kept.write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(command, ["a.csv", "--course", "c.toml", "--json", str(kept)])
    assert result.exit_code == 2
    assert "would be lost" in result.output
    assert kept.read_text("utf-8") == "mine"


def test_records_are_required() -> None:
    assert CliRunner().invoke(command, ["--course", "c.toml"]).exit_code == 2


@click.command()
@hours_option
def plan(hours: dict[str, float]) -> None:
    SEEN["hours"] = hours


@pytest.mark.parametrize(
    ("written", "hours"),
    [
        (["6"], {"": 6.0}),
        (["1.5"], {"": 1.5}),
        (["range=3", "putting_green=2"], {"range": 3.0, "putting_green": 2.0}),
    ],
)
def test_hours_in_all_or_by_place(written: list[str], hours: dict[str, float]) -> None:
    result = CliRunner().invoke(plan, [word for each in written for word in ("--hours", each)])
    assert result.exit_code == 0, result.output
    assert SEEN["hours"] == hours


@pytest.mark.parametrize(
    "written", [[], ["six"], ["range="], ["6", "range=3"], ["6", "3"], ["range=3", "range=2"]]
)
def test_hours_that_cannot_be_meant_are_usage_errors(written: list[str]) -> None:
    result = CliRunner().invoke(plan, [word for each in written for word in ("--hours", each)])
    assert result.exit_code == 2


@pytest.mark.parametrize(("written", "level"), [("tour", "tour"), ("+2", -2.0), ("10", 10.0)])
def test_the_golfer_to_compare_with(written: str, level: str | float) -> None:
    result = CliRunner().invoke(command, ["a.csv", "--course", "c.toml", "--reference", written])
    assert result.exit_code == 0, result.output
    assert SEEN["reference"] == level
