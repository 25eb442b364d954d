"""Greens of any outline: the same places as on an oval, and sound ones where the outline is odd."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from rangework.course import Area, Hole, ground_grid
from rangework.course.drawn_green import DrawnGreen, green_of
from rangework.course.outlines import POSITIONS_DEG, OvalGreen
from rangework.course.pin_words import LEAST_EDGE_M, PIN_WORDS, pin_by_word
from rangework.lie import Ground

#: A bean round a bunker: its centre of area lies near its edge.
BEAN = LineString([(-14, 0), (-9, 9), (0, 13), (9, 9), (14, 0)]).buffer(8.0)


@given(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5), st.floats(20, 40), st.floats(20, 40))
@pytest.mark.parametrize("word", PIN_WORDS)
def test_an_oval_drawn_has_the_places_of_the_oval(
    word: str, turn_rad: float, arrival_rad: float, width_m: float, depth_m: float
) -> None:
    oval = OvalGreen((3.0, 300.0), arrival_rad, turn_rad, width_m, depth_m, 2.0)
    drawn = DrawnGreen(oval.outline(), arrival_rad)
    assert drawn.room_m == pytest.approx(oval.room_m, abs=0.4)
    assert pin_by_word(drawn, word, 4.0) == pytest.approx(pin_by_word(oval, word, 4.0), abs=0.8)
    if word != "middle":
        (place, faces), (expected, way) = (green.edge(word, 3.0) for green in (drawn, oval))
        assert place == pytest.approx(expected, abs=0.8)
        assert faces == pytest.approx(way)


def test_extents_are_those_that_the_player_sees() -> None:
    drawn = DrawnGreen(box(-10, 290, 10, 320), arrival_rad=0.0)
    assert (drawn.width_m, drawn.depth_m) == pytest.approx((20.0, 30.0))
    aside = DrawnGreen(box(-10, 290, 10, 320), arrival_rad=math.pi / 2)
    assert (aside.width_m, aside.depth_m) == pytest.approx((30.0, 20.0))


def test_a_straight_edge_gives_its_middle() -> None:
    drawn = DrawnGreen(box(-10, 290, 10, 320), arrival_rad=0.0)
    assert drawn.edge("front", 0.0)[0] == pytest.approx((0.0, 290.0))
    assert pin_by_word(drawn, "right", 5.0) == pytest.approx((5.0, 305.0))
    assert pin_by_word(drawn, "back-left", 5.0) == pytest.approx((-5.0, 315.0))


@pytest.mark.parametrize("arrival_deg", range(0, 360, 30))
@pytest.mark.parametrize("word", PIN_WORDS)
def test_pins_on_a_bean_lie_on_it_and_off_its_edge(word: str, arrival_deg: float) -> None:
    drawn = DrawnGreen(BEAN, math.radians(arrival_deg))
    pin = Point(pin_by_word(drawn, word))
    assert BEAN.contains(pin)
    assert BEAN.boundary.distance(pin) > LEAST_EDGE_M - 0.1


def test_a_green_too_small_for_edges_has_its_middle_only() -> None:
    drawn = DrawnGreen(Point(0.0, 300.0).buffer(3.0), 0.0)
    assert {pin_by_word(drawn, word) for word in PIN_WORDS} == {drawn.middle}


@pytest.mark.parametrize("word", POSITIONS_DEG)
def test_every_hole_has_the_pins_of_any_green(word: str) -> None:
    outline = Polygon([(-12, 338), (12, 338), (15, 360), (0, 368), (-15, 360)])
    far = Area(Ground.GREEN, box(-100, 100, -80, 120))
    hole = Hole(
        number=1,
        par=4,
        stroke_index=1,
        tees={"main": (0.0, 0.0)},
        pins={"sunday": (0.0, 350.0)},
        line=np.array([[0.0, 0.0], [0.0, 350.0]]),
        areas=(far, Area(Ground.GREEN, outline)),
    )
    assert green_of(hole).outline() is outline
    grid = ground_grid(hole, "main", word)
    assert grid.ground_at(*grid.pin_m) == Ground.GREEN
