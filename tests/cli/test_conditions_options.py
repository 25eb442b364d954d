"""The day's conditions on the command line: read, told in a line, faults all at once."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.estimate import unknown_bases


def rounds(course: Path, *options: str | Path) -> Result:
    given = ["rounds", "--reference-golfer", "14", "--course", course, "--rounds", "2000", *options]
    return CliRunner().invoke(rangework, [*map(str, given)])


def told(course: Path, folder: Path, *options: str | Path) -> dict[str, Any]:
    result = rounds(course, *options, "--json", folder / "rounds.json")
    assert result.exit_code == 0, result.output
    return {**json.loads((folder / "rounds.json").read_text()), "page": result.stdout}


def with_bearings(course: Path, folder: Path) -> Path:
    """The course, all holes running north, the first one uphill."""
    text = course.read_text("utf-8").replace("stroke_index", "bearing_deg = 0\nstroke_index")
    path = folder / "bearings.toml"
    path.write_text(text.replace("bearing_deg", "climb_ft = 40\nbearing_deg", 1), encoding="utf-8")
    return path


@pytest.mark.slow
def test_a_windy_day(small_course: Path, tmp_path: Path) -> None:
    calm = told(small_course, tmp_path)
    assert "Played in" not in calm["page"]
    assert calm["inputs"]["conditions"] == {}
    file = tmp_path / "day.toml"
    file.write_text('wind = "14 mph from N"\nground = "firm"\n')
    windy = told(with_bearings(small_course, tmp_path), tmp_path, "--conditions", file, "--ground", "normal")
    first = windy["page"].splitlines()[0]
    assert first == "Played in: wind 14 mph from N, climbs as the course states them."
    wind = windy["inputs"]["conditions"]["wind"]
    assert wind == {
        "speed_m_s": pytest.approx(6.2586, abs=1e-3), "from_deg": 0.0, "from_deg_is_clockwise_of": "north",
    }  # fmt: skip
    basis = windy["estimates"]["mean"]["basis"]
    assert "published.conditions.wind" in basis
    assert "assumption.conditions.slope" in basis
    assert not unknown_bases(basis)
    assert windy["mean"] > calm["mean"] + 0.5


def test_faults_are_told_together(small_course: Path) -> None:
    result = rounds(
        small_course, "--wind", "15 from SW", "--temperature", "hot", "--ground", "wet", "--altitude", "9"
    )
    assert result.exit_code == 2
    for option in ("--wind", "--temperature", "--ground", "--altitude"):
        assert option in result.output
    assert "Traceback" not in result.output


def test_a_compass_wind_needs_bearings(small_course: Path) -> None:
    result = rounds(small_course, "--wind", "15 mph from SW")
    assert result.exit_code == 2
    assert "bearing_deg" in result.output
    assert "which way the holes of" in result.output
