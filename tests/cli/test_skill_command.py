"""`rangework skill` prints a page of 80 columns and the same numbers as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.skill.parts import PART_IDS

PART_KEYS = {"part", "unit", "estimate", "low", "high", "reference", "shots", "basis"}


@pytest.mark.slow
@pytest.mark.parametrize("units", ["yards", "metres"])
def test_the_page_and_its_numbers(records: Path, tmp_path: Path, units: str) -> None:
    target = tmp_path / "skill.json"
    arguments = ["skill", str(records), "--handicap", "12", "--units", units, "--json", str(target)]
    result = CliRunner().invoke(rangework, arguments)
    assert result.exit_code == 0, result.output
    assert max(map(len, result.stdout.splitlines())) <= 80
    told = json.loads(target.read_text("utf-8"))
    assert (told["schema"], told["command"], told["seed"]) == (1, "skill", 0)
    assert told["inputs"]["handicap"] == 12.0
    assert [part["part"] for part in told["parts"]] == list(PART_IDS)
    assert all(
        part.keys() >= PART_KEYS and part["low"] <= part["estimate"] <= part["high"] for part in told["parts"]
    )
    assert {club["club"] for club in told["clubs"]} == {"driver", "seven"}
    assert all(putt["make"]["basis"] for putt in told["putts"])


def test_faults_of_records_and_profile_are_told_together(records: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("date,place,lie,target_ft,holed\n2026-05-04,green,green,x,1\n")
    profile = tmp_path / "player.toml"
    profile.write_text("age = 300")
    target = tmp_path / "skill.json"
    arguments = ["skill", str(records), str(bad), "--profile", str(profile), "--json", str(target)]
    result = CliRunner().invoke(rangework, arguments)
    assert result.exit_code == 2
    assert str(bad) in result.stderr
    assert str(profile) in result.stderr
    assert not target.exists()
