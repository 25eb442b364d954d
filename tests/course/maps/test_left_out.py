"""What a map leaves out: a hole is still whole, and what was put in its place is listed."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from map_sheet import MapSheet
from plain_maps import (
    FORMS,
    LENGTH_M,
    Form,
    first_hole_x,
    leave_out,
    on_first_hole,
    plain_nine,
    rectangle,
    retag,
    write,
)

from rangework.course import Course, Hole, ground_grid, read_course
from rangework.course.pin_words import PIN_WORDS
from rangework.lie import Ground
from rangework.units import YARD_M


def read(sheet: MapSheet, folder: Path, form: Form = "geojson") -> Course:
    return read_course(write(sheet, folder, form))


def area_m2(hole: Hole, ground: Ground) -> float:
    return float(sum(area.polygon.area for area in hole.areas if area.ground is ground))


def assumed(course: Course, text: str) -> bool:
    return any(text in each for each in course.assumptions)


def ground_at(hole: Hole, x: float, y: float) -> Ground:
    """The ground at a place of the hole's plane."""
    grid = ground_grid(hole, next(iter(hole.tees)), next(iter(hole.pins)))
    return Ground(int(grid.ground_at(*grid.from_hole([x, y]))))


@pytest.mark.parametrize("form", FORMS)
def test_green(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: on_first_hole("green")(drawn) or on_first_hole("fringe")(drawn))
    leave_out(sheet, on_first_hole("pin"))
    course = read(sheet, tmp_path, form)
    hole = course.holes[0]
    assert area_m2(hole, Ground.GREEN) == pytest.approx(math.pi / 4 * 30 * 24 * YARD_M**2, rel=0.01)
    assert assumed(course, "as no golf=green is there (hole 1)")
    assert assumed(course, "no golf=fringe is mapped (hole 1)")
    assert set(hole.pins) == set(PIN_WORDS)


def test_pins_are_named_by_their_place_on_the_green(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("pin"))
    course = read(sheet, tmp_path)
    pins = course.holes[0].pins
    assert list(pins)[:3] == ["front-left", "middle", "back-right"]
    reach = 12.0 - 5 * YARD_M
    assert pins["middle"] == pytest.approx((0.0, LENGTH_M), abs=0.1)
    assert pins["front"] == pytest.approx((0.0, LENGTH_M - reach), abs=0.1)
    assert pins["right"] == pytest.approx((reach, LENGTH_M), abs=0.1)
    corner = reach / math.sqrt(2)
    assert pins["back-left"] == pytest.approx((-corner, LENGTH_M + corner), abs=0.3)
    assert assumed(course, "as no golf=pin is mapped (hole 1)")


def test_fairway(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("fairway"))
    course = read(sheet, tmp_path)
    assert assumed(course, "a fairway along the line of play, as no golf=fairway is mapped there (hole 1)")
    hole = course.holes[0]
    # 60 yd beyond the red tee at 40 m, 32 yd wide
    start = 40 + 60 * YARD_M
    assert ground_at(hole, 0.0, start + 2) == Ground.FAIRWAY
    assert ground_at(hole, 0.0, start - 2) == Ground.ROUGH
    assert ground_at(hole, 15.5 * YARD_M, 200.0) == Ground.FAIRWAY
    assert ground_at(hole, 16.5 * YARD_M, 200.0) == Ground.ROUGH


def test_fairway_of_a_par_three(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("fairway"))
    retag(sheet, on_first_hole("hole"), par="3")
    course = read(sheet, tmp_path)
    assert assumed(course, "no fairway on a par 3")
    assert ground_at(course.holes[0], 0.0, 200.0) == Ground.ROUGH


def test_tees(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("tee"))
    course = read(sheet, tmp_path)
    assert course.holes[0].tees == {"white": (0.0, 0.0), "red": (0.0, 0.0)}
    assert assumed(course, "all tees where the line of play begins, as no golf=tee is mapped there (hole 1)")


def test_one_tee_of_a_set(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: on_first_hole("tee")(drawn) and drawn.tags["tee"] == "white")
    course = read(sheet, tmp_path)
    first = course.holes[0]
    # the line begins 40 m behind the only tee that is mapped
    assert first.tees["red"] == pytest.approx(first.tees["white"])
    assert assumed(course, "white tee where another tee of the hole is, as the map shows none (hole 1)")


def test_names_of_tees(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, lambda drawn: drawn.tags.get("golf") == "tee", tee=None)
    course = read(sheet, tmp_path)
    assert [tee.name for tee in course.tees] == ["back", "forward"]
    assert course.holes[3].tees["forward"] == pytest.approx((0.0, 40.0), abs=0.02)
    assert assumed(course, "tees called back, forward by their length")


@pytest.mark.parametrize(("metres", "par"), [(220, 3), (240, 4), (400, 4), (450, 5), (640, 6)])
def test_par_by_length(tmp_path: Path, metres: float, par: int) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: drawn.tags.get("golf") != "hole" or drawn.tags["ref"] == "1")
    x = first_hole_x()
    sheet.line({"golf": "hole", "ref": "1"}, [(x, 0), (x, metres)])
    course = read(sheet, tmp_path)
    assert course.holes[0].par == par
    assert assumed(course, "par by the longest tee's length, as none is mapped (hole 1)")


def test_par_and_stroke_index_of_the_tees_serve_the_hole(tmp_path: Path) -> None:
    sheet = plain_nine()
    by_tee = {"par:red": "5", "par:white": "4", "par:blue": "4", "handicap:white": "1"}
    retag(sheet, on_first_hole("hole"), par=None, handicap=None, **by_tee)
    hole = read(sheet, tmp_path).holes[0]
    assert (hole.par, hole.stroke_index) == (4, 1)


def test_stroke_index_left_over(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, lambda drawn: drawn.tags.get("ref") in ("4", "7"), handicap=None)
    course = read(sheet, tmp_path)
    assert sorted(hole.stroke_index for hole in course.holes) == list(range(1, 10))
    assert {course.holes[3].stroke_index, course.holes[6].stroke_index} == {4, 7}
    assert assumed(course, "stroke index by length among those left over, as none is mapped (holes 4, 7)")


@pytest.mark.parametrize("odd", ["9", "12"])
def test_stroke_indexes_that_are_no_order_are_set_aside(tmp_path: Path, odd: str) -> None:
    sheet = plain_nine()
    retag(sheet, on_first_hole("hole"), handicap=odd)
    course = read(sheet, tmp_path)
    assert sorted(hole.stroke_index for hole in course.holes) == list(range(1, 10))
    assert any("set aside" in str(warning) for warning in course.warnings)


def test_number_of_the_only_line_without_one(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, on_first_hole("hole"), ref=None)
    course = read(sheet, tmp_path)
    assert len(course.holes) == 9
    assert assumed(course, "hole 1 is the only line without ref")


def test_number_in_the_name(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(
        sheet, lambda drawn: drawn.tags.get("golf") == "hole" and drawn.tags["ref"] < "3", ref=None, name=""
    )
    for number in (1, 2):
        x = first_hole_x() + 300 * (number - 1)
        leave_out(sheet, lambda drawn, x=x: drawn.tags.get("golf") == "hole" and drawn.rings[0][0][0] == x)
        sheet.line({"golf": "hole", "name": f"Hole {number}, the Anvil"}, [(x, 0), (x, LENGTH_M)])
    course = read(sheet, tmp_path)
    assert [hole.number for hole in course.holes] == list(range(1, 10))
    assert assumed(course, "hole 2 is so numbered by its name")


@pytest.mark.parametrize("form", FORMS)
def test_line_drawn_from_green_to_tee(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    x = first_hole_x()
    sheet.line({"golf": "hole", "ref": "1", "par": "4", "handicap": "1"}, [(x, LENGTH_M), (x, 0)])
    course = read(sheet, tmp_path, form)
    assert course.holes[0].tees["red"] == pytest.approx((0.0, 40.0), abs=0.02)
    assert assumed(course, "line of play turned round")


def test_line_that_stops_short_of_its_green_or_runs_over_it(tmp_path: Path) -> None:
    x = first_hole_x()
    for end in (LENGTH_M - 45, LENGTH_M + 9):
        sheet = plain_nine()
        leave_out(sheet, on_first_hole("hole"))
        sheet.line(
            {"golf": "hole", "ref": "1", "par": "4", "handicap": "1"}, [(x, 0), (x + 3, 200), (x, end)]
        )
        course = read(sheet, tmp_path)
        hole, placement = course.holes[0], course.holes[0].placement
        assert assumed(course, "carried on to the green 33 m from its end") is (end < LENGTH_M)
        assert placement is not None
        end_of_line = placement.to_earth(hole.line[-1])
        assert placement.from_earth(end_of_line) == pytest.approx(hole.line[-1], abs=1e-6)
        greens = [area.polygon for area in hole.areas if area.ground is Ground.GREEN]
        assert greens[0].centroid.coords[0] == pytest.approx(hole.line[-1], abs=0.1)
        assert len(hole.line) == 3


def test_bounds_by_the_outline_of_the_course(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"leisure": "golf_course", "name": "Ellerdune"}, rectangle(-1240, -60, 1400, 420))
    course = read(sheet, tmp_path)
    assert course.name == "Ellerdune"
    assert assumed(course, "outside the course's outline is out of bounds")
    assert ground_at(course.holes[0], -45.0, 100.0) == Ground.OUT
    assert ground_at(course.holes[0], -35.0, 100.0) == Ground.ROUGH
    assert ground_at(course.holes[4], -45.0, 100.0) == Ground.ROUGH


@pytest.mark.parametrize("form", FORMS)
def test_names_of_courses(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.area({"leisure": "golf_course"}, rectangle(-1240, -60, 1400, 420))
    assert read(sheet, tmp_path, form).name == "map"
    sheet.point({"leisure": "golf_course", "name": "Ellerdune"}, (0.0, 100.0))
    assert read(sheet, tmp_path, form).name == "Ellerdune"


def test_outline_that_cuts_through_a_hole_bounds_nothing_there(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"leisure": "golf_course", "name": "Ellerdune"}, rectangle(-1240, 100, 1400, 420))
    course = read(sheet, tmp_path)
    assert assumed(course, "the hole leaves the course's outline (holes 1-9)")
    assert all(area_m2(hole, Ground.OUT) == 0 for hole in course.holes)


def test_what_is_assumed_on_one_hole_is_there_for_its_neighbours(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("green"))
    x = first_hole_x() + 300
    leave_out(sheet, lambda drawn: drawn.tags.get("golf") == "hole" and drawn.rings[0][0][0] == x)
    # the second hole now passes the end of the first
    sheet.line(
        {"golf": "hole", "ref": "2", "par": "4", "handicap": "2"}, [(x - 270, LENGTH_M - 20), (x, LENGTH_M)]
    )
    course = read(sheet, tmp_path)
    first, second = course.holes[:2]
    assert first.placement is not None
    assert second.placement is not None
    there = second.placement.from_earth(first.placement.to_earth([0.0, LENGTH_M]))
    assert ground_at(second, *there.tolist()) == Ground.FAIRWAY
    assert np.isfinite(there).all()
