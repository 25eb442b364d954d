"""What lies beyond a boundary, and on which side of a coast the sea is, against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point
from shapely.geometry import LineString, box

from rangework.course.maps.boundaries import beyond, sea

AHEAD = LineString([(0, 0), (0, 400)])
DOGLEG = LineString([(0, 0), (0, 250), (200, 250)])


@given(st.floats(10, 60), st.floats(20, 180), st.floats(220, 380))
def test_ground_beyond_a_straight_boundary(aside: float, low: float, high: float) -> None:
    hidden = beyond(LineString([(aside, low), (aside, high)]), AHEAD)
    shown = hidden.intersection(box(-500, -500, aside + 100, 900))
    assert shown.area == pytest.approx(100 * (high - low), rel=1e-6)
    assert not hidden.contains(Point(aside - 1, (low + high) / 2))


def test_direction_of_drawing_does_not_matter() -> None:
    line = [(40, 0), (45, 120), (38, 300), (50, 420)]
    one, other = beyond(LineString(line), AHEAD), beyond(LineString(line[::-1]), AHEAD)
    assert one.symmetric_difference(other).area == pytest.approx(0.0, abs=1.0)


def test_beyond_the_end_of_the_hole_it_fans_out() -> None:
    # seen from the end of the line at (0, 400), the quarter from east to north
    arc = [(30 * math.cos(a), 400 + 30 * math.sin(a)) for a in np.linspace(0, math.pi / 2, 60)]
    hidden = beyond(LineString(arc), AHEAD)
    shown = hidden.intersection(Point(0, 400).buffer(100, quad_segs=64))
    assert shown.area == pytest.approx(math.pi / 4 * (100**2 - 30**2), rel=0.01)


def test_inside_of_a_dogleg() -> None:
    corner = LineString([(40, 0), (40, 210), (200, 210)])
    hidden = beyond(corner, DOGLEG)
    assert hidden.contains(Point(100, 100))
    assert hidden.distance(DOGLEG) >= 39.9


COAST = np.array([(-1000.0, 0.0), (-200.0, 30.0), (200.0, -30.0), (1000.0, 0.0)])


def test_sea_is_on_the_right() -> None:
    around = box(-500, -500, 500, 500)
    # the coast runs east: right of it is south
    south = sea([COAST], around)
    north = sea([COAST[::-1]], around)
    assert south.contains(Point(0, -200))
    assert north.contains(Point(0, 200))
    assert south.area + north.area == pytest.approx(around.area)


def test_coast_in_pieces_and_an_island() -> None:
    around = box(-500, -500, 500, 500)
    island = np.array([(0.0, -300.0), (100.0, -300.0), (100.0, -200.0), (0.0, -200.0), (0.0, -300.0)])
    water = sea([COAST[:3], COAST[2:], island], around)
    assert water.contains(Point(-200, -200))
    assert not water.contains(Point(50, -250))
    assert sea([], around).is_empty
    assert sea([COAST[:2]], around).is_empty
