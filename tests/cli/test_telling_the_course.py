"""What the commands that play tell about a course: where usual pins stand in, and whose data the map is."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.cli.playing import tell_course
from rangework.course import Course


def test_holes_that_have_no_such_pin_are_named(
    demo_course: Course, capsys: pytest.CaptureFixture[str]
) -> None:
    told = tell_course(demo_course, "28 on")
    page = capsys.readouterr().out
    assert told["usual_pins_on"]
    assert f"No pin '28 on' on holes {told['usual_pins_on'][0]}, " in " ".join(page.split())
    assert max(map(len, page.splitlines())) <= 80
    assert told["attribution"] is None


def test_nothing_is_told_where_every_hole_has_the_pin(
    demo_course: Course, capsys: pytest.CaptureFixture[str]
) -> None:
    assert tell_course(demo_course, "back-left") == {"usual_pins_on": (), "attribution": None}
    assert tell_course(demo_course, None)["usual_pins_on"] == ()
    assert capsys.readouterr().out == ""


def test_whose_data_the_map_is(demo_course: Course, capsys: pytest.CaptureFixture[str]) -> None:
    told = tell_course(replace(demo_course, attribution="Invented map"), None)
    assert told["attribution"] == "Invented map"
    assert "Map data: Invented map" in capsys.readouterr().out


@pytest.mark.slow
def test_rounds_tell_it_on_the_page_and_in_the_results(small_course: Path, tmp_path: Path) -> None:
    """The nine holes as a map of their own, with somebody to name."""
    course, out = tmp_path / "nine.geojson", tmp_path / "out.json"
    assert CliRunner().invoke(rangework, ["course", "convert", str(small_course), str(course)]).exit_code == 0
    written = json.loads(course.read_text("utf-8"))
    course.write_text(json.dumps({**written, "attribution": "Invented map"}), encoding="utf-8")
    arguments = ["rounds", "--reference-golfer", "18", "--course", str(course), "--rounds", "20"]
    result = CliRunner().invoke(rangework, [*arguments, "--pin", "12 on, 5 right", "--json", str(out)])
    assert result.exit_code == 0, result.output
    assert "Map data: Invented map" in result.stdout
    told = json.loads(out.read_text("utf-8"))
    assert (told["attribution"], told["usual_pins_on"]) == ("Invented map", [])
