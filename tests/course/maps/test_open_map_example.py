"""The open map of the examples: the same course from both files, all its faults found, and made by its script."""

from __future__ import annotations

from pathlib import Path

import pytest
from draw_open_map import draw
from same_ground import cells_differing

from rangework.course import Course, read_course
from rangework.lie import Ground

EXAMPLES = Path(__file__).parents[3] / "examples"
FORMS = ("geojson", "osm")


@pytest.fixture(scope="module", params=FORMS)
def outer(request: pytest.FixtureRequest) -> Course:
    return read_course(EXAMPLES / f"open-map.{request.param}#Ossenfold Outer")


def test_the_files_are_what_the_script_draws() -> None:
    sheet = draw()
    assert (EXAMPLES / "open-map.geojson").read_text("utf-8") == sheet.geojson()
    assert (EXAMPLES / "open-map.osm").read_text("utf-8") == sheet.osm()


@pytest.mark.parametrize("form", FORMS)
def test_the_files_are_of_modest_size(form: str) -> None:
    assert (EXAMPLES / f"open-map.{form}").stat().st_size < 300_000


def test_the_whole_course_is_there(outer: Course) -> None:
    assert (outer.name, len(outer.holes), sum(hole.par for hole in outer.holes)) == (
        "Ossenfold Outer",
        18,
        72,
    )
    assert sorted(hole.stroke_index for hole in outer.holes) == list(range(1, 19))
    assert [tee.name for tee in outer.tees] == ["white", "yellow", "red"]
    assert outer.attribution.startswith("Invented map")
    kinds = {area.ground for hole in outer.holes for area in hole.areas}
    assert kinds == set(Ground) - {Ground.ROUGH}


@pytest.mark.parametrize(
    ("fault", "holes"),
    [
        ("hole 10 belongs to Ossenfold Outer", ""),
        ("natural=tree 6 m wide", ""),
        ("waterway=stream 2 m wide", ""),
        ("line of play turned round", "(hole 4)"),
        ("half of a double green", "(holes 15, 17)"),
        ("as no golf=green is there", "(hole 7)"),
        ("all tees where the line of play begins", "(hole 2)"),
        ("red tee where another tee of the hole is", "(holes 6, 9, 13)"),
        ("par by the longest tee's length", "(hole 5)"),
        ("fringe 2 yd wide", "(holes 1-18)"),
        ("a fairway along the line of play", "(hole 3)"),
        ("as no golf=pin is mapped", "(holes 3-7, 9-13, 16, 18)"),
        ("stroke index by length", "(hole 16)"),
        ("an even climb from tee to green", "(holes 1, 8, 11, 18)"),
        ("no height (ele) of its green", "(hole 9)"),
        ("no height (ele) of its tee (", "(hole 14)"),
        ("without course and slope rating", ""),
    ],
)
def test_every_fault_is_told(outer: Course, fault: str, holes: str) -> None:
    told = [text for text in outer.assumptions if fault in text]
    assert len(told) == 1
    assert told[0].endswith(holes)


def test_what_is_odd_is_told(outer: Course) -> None:
    told = "\n".join(map(str, outer.warnings))
    assert len(outer.warnings) == 4
    for word in ("Did you mean fairway?", "a pin on a green", "dist is '823 m'", "ele is 'no number'"):
        assert word in told


def test_both_files_hold_the_same_course() -> None:
    one, other = (read_course(EXAMPLES / f"open-map.{form}#Ossenfold Outer") for form in FORMS)
    assert sorted(one.assumptions) == sorted(other.assumptions)
    for hole, same in zip(one.holes, other.holes, strict=True):
        assert hole.pins.keys() == same.pins.keys()
        assert hole.climb_m == same.climb_m
        assert cells_differing(hole, same, "white", next(iter(hole.pins))) < 0.001


def test_the_short_course_beside_it() -> None:
    inner = read_course(EXAMPLES / "open-map.osm#Ossenfold Inner")
    assert [hole.par for hole in inner.holes] == [3] * 9
    assert any("outside the course's outline" in text for text in inner.assumptions)
