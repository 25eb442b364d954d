"""A map without faults: the same course from both formats, anywhere on Earth, and nothing assumed but ratings."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from plain_maps import FORMS, LENGTH_M, Form, plain_nine, write
from same_ground import cells_differing
from shapely import Point

from rangework.course import Course, ground_grid, read_course
from rangework.lie import Ground


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Course:
    return read_course(write(plain_nine(), tmp_path_factory.mktemp("plain")))


@pytest.mark.parametrize("form", FORMS)
def test_what_is_drawn_is_read(form: Form, tmp_path: Path) -> None:
    course = read_course(write(plain_nine(), tmp_path, form, "ellerdune"))
    assert (course.name, course.attribution) == ("ellerdune", "Drawn for a test")
    assert [tee.name for tee in course.tees] == ["white", "red"]
    for number, hole in enumerate(course.holes, 1):
        assert (hole.number, hole.par, hole.stroke_index) == (number, 4, number)
        assert hole.line == pytest.approx(np.array([[0.0, 0.0], [0.0, LENGTH_M]]), abs=0.02)
        assert hole.tees["red"] == pytest.approx((0.0, 40.0), abs=0.02)
        assert hole.pins == {"mapped": pytest.approx((0.0, LENGTH_M + 2), abs=0.02)}
        green = next(area.polygon for area in hole.areas if area.ground is Ground.GREEN)
        assert green.area == pytest.approx(math.pi * 12**2, rel=0.01)


def test_only_heights_name_ratings_and_bounds_are_assumed(plain: Course) -> None:
    assert plain.warnings == ()
    assert plain.assumptions == (
        "level holes, as the map gives no heights (ele) of tees and greens",
        "nothing out of bounds, as neither golf=out_of_bounds nor an outline is mapped (holes 1-9)",
        "tees without course and slope rating, as none is given",
        "name map, as the map names no course",
    )


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("longitude", "latitude"),
    [(0.0, 0.0), (180.0, 20.0), (-179.997, -60.0), (25.0, 89.99), (10.0, 90.0), (10.0, -90.0)],
)
def test_the_ground_is_the_same_anywhere_on_earth(
    longitude: float, latitude: float, form: Form, tmp_path: Path, plain: Course
) -> None:
    there = read_course(write(plain_nine(longitude, latitude), tmp_path, form))
    for one, other in zip(plain.holes, there.holes, strict=True):
        assert cells_differing(one, other, "white", "mapped") < 0.002


def test_green_that_the_antimeridian_splits_is_one(tmp_path: Path) -> None:
    path = write(plain_nine(180.0, 0.0), tmp_path)
    data = json.loads(path.read_text("utf-8"))
    greens = [each for each in data["features"] if each["properties"]["golf"] == "green"]
    low, high = (350 + aside for aside in (-12.0, 12.0))
    low, high = low / 110_574.3, high / 110_574.3  # a degree of latitude at the equator, WGS 84
    halves = [
        [[[180.0, low], [180.0, high], [179.9999, high], [179.9999, low], [180.0, low]]],
        [[[-180.0, low], [-179.9999, low], [-179.9999, high], [-180.0, high], [-180.0, low]]],
    ]
    greens[4]["geometry"] = {"type": "MultiPolygon", "coordinates": halves}
    path.write_text(json.dumps(data), "utf-8")
    hole = read_course(path).holes[4]
    own = [area.polygon for area in hole.areas if area.ground is Ground.GREEN]
    assert len(own) == 1
    # 0.0002 degrees of longitude at the equator: 22.26 m
    assert own[0].area == pytest.approx(24.0 * 22.26, rel=0.01)


def test_holes_know_where_on_earth_they_lie(plain: Course) -> None:
    first = plain.holes[0].placement
    assert first is not None
    east, north = first.from_earth([-30.0, -40.0])
    assert (east, north) == pytest.approx((1200.0, 0.0), abs=0.05)
    assert first.bearing_rad == pytest.approx(0.0, abs=3e-4)


def test_greens_of_other_holes_are_closely_mown_ground(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area(
        {"golf": "green", "name": "practice"}, [(-1170, 150), (-1150, 150), (-1150, 170), (-1170, 170)]
    )
    hole = read_course(write(sheet, tmp_path)).holes[0]
    grid = ground_grid(hole, "white", "mapped")
    assert grid.ground_at(*grid.from_hole([40.0, 160.0])) == Ground.FAIRWAY
    greens = [area.polygon for area in hole.areas if area.ground is Ground.GREEN]
    assert len(greens) == 1
    assert greens[0].contains(Point(0.0, LENGTH_M))
