"""Course files: what their words mean on the ground."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Point

from rangework.course import Hole, read_course
from rangework.lie import Ground
from rangework.units import YARD_M

WriteNine = Callable[..., Path]


def first_hole(write_nine: WriteNine, first: str) -> Hole:
    return read_course(write_nine(first)).holes[0]


def area_of(hole: Hole, ground: Ground) -> float:
    return float(sum(area.polygon.area for area in hole.areas if area.ground is ground))


def covers(hole: Hole, ground: Ground, x_yd: float, y_yd: float) -> bool:
    point = Point(x_yd * YARD_M, y_yd * YARD_M)
    return any(area.polygon.contains(point) for area in hole.areas if area.ground is ground)


def test_the_least_a_hole_needs(write_nine: WriteNine) -> None:
    course = read_course(write_nine("par = 4\nlength_yd = 380"))
    hole = course.holes[0]
    assert (course.name, len(course.holes), [tee.name for tee in course.tees]) == ("Test", 9, ["main"])
    assert hole.line == pytest.approx(np.array([[0.0, 0.0], [0.0, 380 * YARD_M]]))
    assert set(hole.pins) == {"front-left", "middle", "back-right"}
    assert sorted(each.stroke_index for each in course.holes) == list(range(1, 10))
    assert all("(holes 1-9)" in text for text in course.assumptions if "where" in text)
    told = " ".join(course.assumptions)
    for word in ("fairway 32 yd", "green 30 yd", "fringe 2 yd", "pins", "stroke indexes", "rating"):
        assert word in told


def test_green_and_fringe_areas_are_closed_forms(write_nine: WriteNine) -> None:
    hole = first_hole(
        write_nine, "par = 4\nlength_m = 350\ngreen = { width_m = 30, depth_m = 24, fringe_m = 2 }"
    )
    assert area_of(hole, Ground.GREEN) == pytest.approx(math.pi / 4 * 30 * 24, rel=0.002)
    # the ring of width r around a convex outline of length p has area p r + pi r^2 (Steiner)
    a, b = 15.0, 12.0
    perimeter = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b)))  # Ramanujan
    assert area_of(hole, Ground.FRINGE) == pytest.approx(perimeter * 2 + math.pi * 4, rel=0.005)


def test_fairway_area_is_a_rectangle_less_its_rounded_corners(write_nine: WriteNine) -> None:
    hole = first_hole(
        write_nine, "par = 4\nlength_m = 350\nfairway = { width_m = 30, from_m = 100, to_m = 300 }"
    )
    radius_m = 30 / 4
    expected = 200 * 30 - (4 - math.pi) * radius_m**2
    assert area_of(hole, Ground.FAIRWAY) == pytest.approx(expected, rel=0.001)


def test_tees_lie_on_the_line_at_their_lengths(write_nine: WriteNine) -> None:
    first = "par = 4\nlength_yd = { back = 400, front = 300 }\ndoglegs = [{ at_yd = 50, turn_deg = 90 }]"
    others = "[[holes]]\npar = 4\nlength_yd = { back = 400, front = 300 }\n"
    hole = read_course(write_nine(first, others=others)).holes[0]
    assert hole.tees["back"] == pytest.approx((0.0, 0.0))
    assert hole.tees["front"] == pytest.approx((50 * YARD_M, 50 * YARD_M))


@pytest.mark.parametrize(
    ("bunker", "inside", "outside"),
    [
        ('side = "right", at_yd = 250, offset_yd = 20, width_yd = 10', (25, 250), (18, 250)),
        ('side = "left", before_green_yd = 100, offset_yd = 20, width_yd = 10', (-25, 280), (25, 280)),
        ('side = "centre", at_yd = 250', (0, 250), (0, 260)),
        ('side = "across", from_yd = 250, to_yd = 270, width_yd = 40', (18, 260), (22, 260)),
        ('side = "right", from_yd = 200, to_yd = 300, offset_yd = 20, width_yd = 10', (25, 230), (25, 310)),
        ('green = "front", gap_yd = 2, width_yd = 8', (0, 380 - 12 - 6), (0, 380 - 12 - 1)),
        ('green = "right", gap_yd = 2, width_yd = 8', (15 + 6, 380), (15 + 11, 380)),
        ('green = "around", gap_yd = 2, width_yd = 8', (0, 380 + 12 + 6), (0, 380 + 12 + 11)),
    ],
)
def test_every_way_of_saying_where(
    write_nine: WriteNine, bunker: str, inside: tuple[float, float], outside: tuple[float, float]
) -> None:
    hole = first_hole(write_nine, f"par = 4\nlength_yd = 380\nbunkers = [{{ {bunker} }}]")
    assert covers(hole, Ground.SAND, *inside)
    assert not covers(hole, Ground.SAND, *outside)


@pytest.mark.parametrize(
    ("kind", "ground"),
    [
        ("bunkers", Ground.SAND),
        ("water", Ground.WATER),
        ("trees", Ground.TREES),
        ("out", Ground.OUT),
        ("short_grass", Ground.FAIRWAY),
    ],
)
def test_every_kind_becomes_its_ground(write_nine: WriteNine, kind: str, ground: Ground) -> None:
    where = 'side = "both", offset_yd = 30, width_yd = 20, from_yd = 100, to_yd = 300'
    text = f"par = 4\nlength_yd = 380\n{kind} = [{{ {where} }}]"
    hole = first_hole(write_nine, text)
    assert covers(hole, ground, 40, 200)
    assert covers(hole, ground, -40, 200)
    assert not covers(hole, ground, 25, 200)


@pytest.mark.parametrize(
    ("pin", "x_yd", "y_yd"),
    [
        ('"middle"', 0, 0),
        ('"right"', 20 - 5, 0),
        ('{ at = "front", edge_yd = 4 }', 0, -20 + 4),
        ("{ front_paces = 12 }", 0, -8),
        ("{ back_yd = 12 }", 0, 8),
        ("{ left_yd = 6 }", -14, 0),
        ("{ front_yd = 20, right_yd = 5 }", 15, 0),
        # on a circle of 20 yd the edge at half depth is at sqrt(3) / 2
        ("{ front_yd = 10, left_yd = 10 }", -20 * math.sqrt(3) / 2 + 10, -10),
        ('{ at = "left", edge_yd = 2, near_edge = true }', -18, 0),
    ],
)
@pytest.mark.parametrize("turn_deg", [0, 40])
def test_pins_by_word_and_by_paces(
    write_nine: WriteNine, pin: str, x_yd: float, y_yd: float, turn_deg: float
) -> None:
    # a round green looks the same however it is turned
    green = f"green = {{ width_yd = 40, depth_yd = 40, turn_deg = {turn_deg} }}"
    hole = first_hole(write_nine, f"par = 4\nlength_yd = 380\n{green}\npins = {{ one = {pin} }}")
    expected = (x_yd * YARD_M, (380 + y_yd) * YARD_M)
    assert hole.pins["one"] == pytest.approx(expected, abs=0.08)


def test_metres_and_yards_say_the_same(write_nine: WriteNine) -> None:
    in_yards = first_hole(write_nine, "par = 4\nlength_yd = 400\ngreen = { width_yd = 30 }")
    in_metres = first_hole(write_nine, "par = 4\nlength_m = 365.76\ngreen = { width_m = 27.432 }")
    assert in_metres.line == pytest.approx(in_yards.line)
    assert area_of(in_metres, Ground.GREEN) == pytest.approx(area_of(in_yards, Ground.GREEN))


def test_every_hole_serves_where_a_hole_says_nothing(write_nine: WriteNine) -> None:
    top = "[every_hole]\ngreen = { width_yd = 20, depth_yd = 20 }\nfairway = { width_yd = 28 }"
    first = "par = 4\nlength_m = 350\ngreen = { width_m = 30 }\nfairway = [{ from_m = 200, to_m = 300 }]"
    course = read_course(write_nine(first, top=top))
    depth_m = 20 * YARD_M
    assert area_of(course.holes[0], Ground.GREEN) == pytest.approx(math.pi / 4 * 30 * depth_m, rel=0.002)
    assert area_of(course.holes[1], Ground.GREEN) == pytest.approx(math.pi / 4 * depth_m**2, rel=0.002)
    left, near, right, far = next(
        a.polygon for a in course.holes[0].areas if a.ground is Ground.FAIRWAY
    ).bounds
    assert (right - left, far - near) == pytest.approx((28 * YARD_M, 100.0), abs=0.05)


def test_no_fairway(write_nine: WriteNine) -> None:
    assert area_of(first_hole(write_nine, "par = 3\nlength_yd = 150\nfairway = false"), Ground.FAIRWAY) == 0.0
