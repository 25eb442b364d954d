"""The two courses that come with rangework."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
import pytest
import shapely

from rangework.course import Course, Hole, ground_grid, read_course
from rangework.course.ground_grid import PAINTING_ORDER
from rangework.lie import Ground
from rangework.units import YARD_M

EXAMPLE = Path(__file__).parents[2] / "examples" / "nine-holes.toml"


@pytest.fixture(scope="module")
def demo() -> Course:
    with as_file(files("rangework.demo") / "files" / "course.toml") as path:
        return read_course(path)


def length_yd(hole: Hole, tee: str) -> float:
    """Along the line of play, the tees of the demo all lying on its first leg."""
    line_m = np.hypot(*np.diff(hole.line, axis=0).T).sum()
    return float(line_m - hole.tees[tee][1]) / YARD_M


def test_par_72_with_four_short_and_four_long_holes(demo: Course) -> None:
    pars = [hole.par for hole in demo.holes]
    assert (len(pars), sum(pars), pars.count(3), pars.count(5)) == (18, 72, 4, 4)
    assert sorted(hole.stroke_index for hole in demo.holes) == list(range(1, 19))


def test_nothing_is_assumed_or_odd(demo: Course) -> None:
    assert demo.assumptions == ()
    assert demo.warnings == ()


def test_every_hole_has_three_pins_one_of_them_tucked(demo: Course) -> None:
    for hole in demo.holes:
        green = next(area.polygon for area in hole.areas if area.ground is Ground.GREEN)
        edge_yd = {
            name: green.exterior.distance(shapely.Point(pin)) / YARD_M for name, pin in hole.pins.items()
        }
        assert len(edge_yd) >= 3
        assert edge_yd["tucked"] == pytest.approx(4.0, abs=0.05)
        assert min(edge_yd.values()) >= 3.95


@pytest.mark.parametrize("tee", ["back", "middle", "forward"])
def test_ratings_are_near_the_length_formulas(demo: Course, tee: str) -> None:
    # Length part of the course rating, before obstacles: men L/220 + 40.9, women L/180 + 40.1 (yards).
    # From memory: United States Golf Association course rating system. Obstacles: assumed 0.5 to 3 strokes.
    yards = sum(length_yd(hole, tee) for hole in demo.holes)
    tees = next(each for each in demo.tees if each.name == tee)
    assert tees.men is not None
    assert 0.5 <= tees.men.course_rating - (yards / 220 + 40.9) <= 3.0
    if tees.women is not None:
        assert 0.5 <= tees.women.course_rating - (yards / 180 + 40.1) <= 3.0


def test_middle_tee_is_about_6500_yards(demo: Course) -> None:
    assert sum(length_yd(hole, "middle") for hole in demo.holes) == pytest.approx(6500, abs=60)


def test_holes_are_distinct(demo: Course) -> None:
    told = {tuple((area.ground, round(area.polygon.area)) for area in hole.areas) for hole in demo.holes}
    assert len(told) == 18
    kinds = {area.ground for hole in demo.holes for area in hole.areas}
    assert kinds == set(PAINTING_ORDER)


def test_grids_keep_the_areas_that_nothing_covers(demo: Course) -> None:
    for hole in demo.holes:
        grid = ground_grid(hole, "middle", "tucked")
        for kind in (Ground.GREEN, Ground.FAIRWAY):
            seen = shapely.union_all([each.polygon for each in hole.areas if each.ground is kind])
            later = PAINTING_ORDER[PAINTING_ORDER.index(kind) + 1 :]
            over = shapely.union_all([each.polygon for each in hole.areas if each.ground in later])
            area_m2 = seen.difference(over).area
            cells = np.count_nonzero(grid.ground == kind) * grid.cell_m**2
            assert cells == pytest.approx(area_m2, rel=0.01)


def test_tees_lie_on_open_ground_and_pins_on_greens(demo: Course) -> None:
    for hole in demo.holes:
        for tee in hole.tees:
            for pin in hole.pins:
                grid = ground_grid(hole, tee, pin)
                assert grid.ground_at(*grid.tee_m) in (Ground.ROUGH, Ground.FAIRWAY)
                assert grid.ground_at(*grid.pin_m) == Ground.GREEN


def test_nine_hole_example() -> None:
    course = read_course(EXAMPLE)
    assert (len(course.holes), sum(hole.par for hole in course.holes)) == (9, 33)
    assert course.warnings == ()
    assert course.assumptions == ()
