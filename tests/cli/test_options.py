"""The options that commands share."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from rangework.cli.options import course_option, player_options, reference_option, run_options

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


def test_records_are_required() -> None:
    assert CliRunner().invoke(command, ["--course", "c.toml"]).exit_code == 2
