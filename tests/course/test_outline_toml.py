"""Course files that give points: lines, tees, outlines and pins on any plane."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from rangework.course import Hole, ground_grid, read_course
from rangework.errors import InputError
from rangework.lie import Ground

WriteNine = Callable[..., Path]

#: A hole due east, drawn on a plane whose origin is far off: 300 m, then 100 m south.
DRAWN = """
par = 4
line_m = [[1000, 500], [1300, 500], [1300, 400]]
tees_m = { main = [1000, 500] }
green = { outline_m = [[1285, 385], [1315, 385], [1315, 415], [1285, 415]], fringe_m = 0 }
fairway = [{ outline_m = [[1150, 480], [1280, 480], [1280, 420], [1320, 420], [1320, 520], [1150, 520]] }]
bunkers = [{ outline_m = [[1200, 530], [1220, 530], [1220, 550], [1200, 550]] }]
water = [{ outline_m = [[1200, 440], [1260, 440], [1260, 470], [1200, 470]], \
without_m = [[[1220, 450], [1240, 450], [1240, 460], [1220, 460]]] }]
pins = { sunday = { point_m = [1290, 395] } }
"""


def drawn_hole(write_nine: WriteNine, first: str = DRAWN) -> Hole:
    return read_course(write_nine(first)).holes[0]


def at(hole: Hole, x: float, y: float) -> Ground:
    grid = ground_grid(hole, "main", next(iter(hole.pins)))
    return Ground(int(grid.ground_at(*grid.from_hole([x, y]))))


def test_points_are_turned_to_the_hole(write_nine: WriteNine) -> None:
    hole = drawn_hole(write_nine)
    # north of the line is left of a hole that runs east
    assert hole.line == pytest.approx(np.array([[0.0, 0.0], [0.0, 300.0], [100.0, 300.0]]))
    assert at(hole, -40.0, 210.0) == Ground.SAND
    assert at(hole, 45.0, 205.0) == Ground.WATER
    assert at(hole, 45.0, 230.0) == Ground.ROUGH
    assert at(hole, 0.0, 200.0) == Ground.FAIRWAY
    assert hole.pins["sunday"] == pytest.approx((105.0, 290.0))


def test_yards_and_metres_and_words_on_a_drawn_green(write_nine: WriteNine) -> None:
    hole = drawn_hole(write_nine, DRAWN.replace("pins = { sunday = { point_m = [1290, 395] } }", ""))
    assert set(hole.pins) == {"front-left", "middle", "back-right"}
    assert hole.pins["middle"] == pytest.approx((100.0, 300.0))
    yards = "par = 4\nline_yd = [[0, 0], [0, 400]]\nlength_yd = 380\n"
    first = drawn_hole(write_nine, yards)
    assert first.line[-1] == pytest.approx((0.0, 365.76))
    assert first.tees["main"] == pytest.approx((0.0, 20 * 0.9144))


def test_line_alone_gives_the_only_tee_its_place(write_nine: WriteNine) -> None:
    hole = drawn_hole(write_nine, "par = 4\nline_m = [[0, 0], [0, 350]]")
    assert hole.tees == {"main": (0.0, 0.0)}


def test_place_on_earth(write_nine: WriteNine) -> None:
    position = "position = { longitude = -30.5, latitude = 12.25, bearing_deg = 90 }\n"
    hole = drawn_hole(write_nine, position + DRAWN)
    assert hole.placement is not None
    east, north = hole.placement.to_earth([0.0, 300.0])
    assert (east > -30.5, north) == (True, pytest.approx(12.25, abs=1e-5))
    assert hole.placement.bearing_rad == pytest.approx(math.pi / 2)


def test_fringe_outlines_take_the_place_of_the_ring(write_nine: WriteNine) -> None:
    fringe = "fringe = [{ outline_m = [[1280, 380], [1320, 380], [1320, 420], [1280, 420]] }]\n"
    hole = drawn_hole(write_nine, DRAWN.replace(", fringe_m = 0", "") + fringe)
    areas = [area.polygon.area for area in hole.areas if area.ground is Ground.FRINGE]
    assert areas == pytest.approx([1600.0])


def test_attribution_and_assumptions_are_kept(write_nine: WriteNine) -> None:
    top = 'attribution = "Drawn by hand"\nassumed = ["green by eye"]'
    course = read_course(write_nine(DRAWN, top=top))
    assert course.attribution == "Drawn by hand"
    assert course.assumptions[0] == "green by eye"


@pytest.mark.parametrize(
    ("old", "new", "place", "expected"),
    [
        ("[1300, 400]]\ntees", "[1300]]\ntees", "line_m", "2 or more points as"),
        ("line_m = [[1000, 500], [1300, 500], [1300, 400]]", "line_m = 3", "line_m", "2 or more points"),
        (
            "line_m = [[1000, 500], [1300, 500], [1300, 400]]",
            "line_m = [[1, 2], [1, 2]]",
            "line_m",
            "40 to 900 yd",
        ),
        ("[1300, 400]]\ntees", "[1300, 1e9]]\ntees", "line_m", "2 or more points as"),
        ("[1300, 400]]\ntees", "[1300, nan]]\ntees", "line_m", "2 or more points as"),
        (
            "[1300, 500], [1300, 400]]\ntees",
            "[1300, 500], [1100, 400], [1100, 600]]\ntees",
            "line_m",
            "does not cross itself",
        ),
        ("main = [1000, 500]", "main = [1000]", "tees_m.main", "a point as [right, forward]"),
        ("main = [1000, 500]", "man = [1000, 500]", "tees_m.man", "Did you mean main?"),
        ("main = [1000, 500]", "main = [1050, 500]", "tees_m.main", "begins at the longest tee"),
        ("tees_m = { main = [1000, 500] }", "tees_m = []", "tees_m", "points by name"),
        ("[1285, 385], [1315, 385]", "[1315, 385], [1285, 385]", "green.outline_m", "does not cross itself"),
        (", [1240, 460], [1220, 460]]] }", "]] }", "water[1].without_m", "a list of outlines"),
        ("point_m = [1290, 395]", "point_m = [1290]", "pins.sunday.point_m", "a point as"),
        ("point_m = [1290, 395]", "point_m = [1290, 450]", "pins.sunday", "a pin on the green"),
        ("fringe_m = 0 }", "fringe_m = 0 }\ndoglegs = []", "doglegs", "either line or doglegs"),
        (
            "par = 4",
            "par = 4\nposition = { longitude = 200, latitude = 0, bearing_deg = 0 }",
            "position.longitude",
            "to 180",
        ),
        ("par = 4", "par = 4\nfringe = [{}]", "fringe[1].outline_m", "the fringe's outline"),
    ],
)
def test_faults_of_points(write_nine: WriteNine, old: str, new: str, place: str, expected: str) -> None:
    assert old in DRAWN
    with pytest.raises(InputError) as caught:
        read_course(write_nine(DRAWN.replace(old, new), top="[tees.main]"))
    told = [str(each) for each in caught.value.problems if each.place == f"holes[1].{place}"]
    assert any(expected in each for each in told)


def test_tee_drawn_in_water_is_only_told(write_nine: WriteNine) -> None:
    pond = "[1200, 440], [1260, 440], [1260, 470], [1200, 470]"
    first = DRAWN.replace(pond, "[990, 490], [1010, 490], [1010, 510], [990, 510]").replace(
        ", without_m = [[[1220, 450], [1240, 450], [1240, 460], [1220, 460]]]", ""
    )
    course = read_course(write_nine(first))
    assert [warning.place for warning in course.warnings] == ["holes[1].tees_m"]
