"""`rangework assess ladder` as a coach runs it."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from rangework.cli.main import rangework


def run(*arguments: str) -> str:
    done = CliRunner().invoke(rangework, ["assess", "ladder", *arguments])
    assert done.exit_code == 0, done.output
    return done.stdout


def test_numbers_go_to_json(tmp_path: Path) -> None:
    file = tmp_path / "ladder.json"
    run("--chance", "0.5", "--rungs", "5", "--on-miss", "down", "--cap", "45", "--json", str(file))
    told = json.loads(file.read_text("utf-8"))
    assert told["command"] == "assess ladder"
    assert told["expected_balls"] == 30.0
    assert told["cap_for_80_percent"] == 45
    assert told["chance_within_cap"] >= 0.8
    assert told["sd_balls"] > 20.0
    assert told["with_uncertainty"] is None


def test_chances_of_their_own(tmp_path: Path) -> None:
    text = run("--chance", "0.9", "--chance", "0.5", "--on-miss", "stay", "--seen", "20", "--minutes", "12")
    assert "2 rungs" in text
    assert "known from" in text
    assert "24 balls" in text


def test_all_faults_at_once() -> None:
    done = CliRunner().invoke(
        rangework, ["assess", "ladder", "--chance", "two", "--rungs", "0", "--cap", "x"]
    )
    assert done.exit_code == 2
    assert done.stderr.count("expected") == 3
