"""A course from an open map with all its faults, through every command that takes one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework

EXAMPLES = Path(__file__).parents[2] / "examples"
COURSE = f"{EXAMPLES / 'open-map.osm'}#Ossenfold Outer"
CREDIT = "Map data: Invented map"


def told(out: Path, *arguments: object) -> tuple[str, dict[str, Any]]:
    """What a command prints, its line breaks taken as blanks, and its results."""
    result = CliRunner().invoke(rangework, [*map(str, arguments), "--json", str(out)])
    assert result.exit_code == 0, result.output
    return " ".join(result.stdout.split()), json.loads(out.read_text("utf-8"))


@pytest.mark.slow
def test_an_open_map_goes_through_every_command(records: Path, tmp_path: Path) -> None:
    out, player = tmp_path / "out.json", (records, "--handicap", "12", "--course", COURSE)
    page, results = told(out, "course", "check", COURSE)
    assert CREDIT in page
    assert len(results["assumptions"]) > 5

    picture = tmp_path / "seventh.svg"
    drawn = CliRunner().invoke(rangework, ["course", "draw", COURSE, "--hole", "7", "--to", str(picture)])
    assert drawn.exit_code == 0, drawn.output
    assert picture.stat().st_size > 10_000

    page, results = told(out, "rounds", *player, "--rounds", "20", "--draws", "2", "--pin", "12 on, 6 left")
    assert CREDIT in page
    assert 70.0 < results["mean"] < 110.0

    page, results = told(out, "aim", *player, "--hole", "8", "--pin", "back-left", "--draws", "2")
    assert CREDIT in page
    assert results["best"]["expected_strokes"] < 6.0

    page, results = told(out, "plan", *player, "--hours", "4", "--draws", "2")
    assert CREDIT in page
    assert results["attribution"].startswith("Invented map")
    assert results["strokes_saved"] > 0.0
