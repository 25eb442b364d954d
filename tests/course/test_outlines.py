"""Outlines against closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon, box

from rangework.course.outlines import POSITIONS_DEG, OvalGreen, oval, pieces, ring, rounded


def green(
    turn_deg: float = 0.0, arrival_deg: float = 0.0, width_m: float = 28.0, depth_m: float = 20.0
) -> OvalGreen:
    return OvalGreen((5.0, 300.0), math.radians(arrival_deg), math.radians(turn_deg), width_m, depth_m, 2.0)


def test_oval_has_the_area_of_an_ellipse() -> None:
    assert oval((3.0, 4.0), 0.7, 20.0, 30.0).area == pytest.approx(math.pi / 4 * 20.0 * 30.0, rel=0.002)


def test_oval_lies_along_its_heading() -> None:
    assert oval((0.0, 0.0), math.pi / 2, 10.0, 30.0).bounds == pytest.approx((-15.0, -5.0, 15.0, 5.0))


def test_ring_around_a_circle() -> None:
    around = ring(oval((0.0, 0.0), 0.0, 20.0, 20.0), 3.0, 5.0)
    assert around.area == pytest.approx(math.pi * (18.0**2 - 13.0**2), rel=0.005)


def test_rounding_takes_four_corners_off_a_rectangle() -> None:
    assert rounded(box(0, 0, 40, 30), 5.0).area == pytest.approx(1200.0 - (4 - math.pi) * 25.0, rel=0.001)


def test_rounding_leaves_what_is_too_thin() -> None:
    assert rounded(box(0, 0, 40, 1), 5.0).equals(box(0, 0, 40, 1))


def test_pieces_of_two_squares() -> None:
    both = box(0, 0, 1, 1).union(box(3, 0, 4, 1))
    assert [piece.area for piece in pieces(both)] == [1.0, 1.0]
    assert pieces(Polygon()) == []


@given(
    st.sampled_from(sorted(POSITIONS_DEG)),
    st.floats(-90.0, 90.0),
    st.floats(-180.0, 180.0),
    st.floats(15.0, 40.0),
    st.floats(15.0, 40.0),
)
def test_edge_is_on_the_outline_and_faces_its_position(
    position: str, turn_deg: float, arrival_deg: float, width_m: float, depth_m: float
) -> None:
    each = green(turn_deg, arrival_deg, width_m, depth_m)
    place, facing_rad = each.edge(position, 0.0)
    assert each.outline().exterior.distance(Point(place)) == pytest.approx(0.0, abs=0.05)
    beyond, _ = each.edge(position, 5.0)
    assert each.outline().distance(Point(beyond)) == pytest.approx(5.0, abs=0.05)
    expected_rad = math.radians(arrival_deg + POSITIONS_DEG[position])
    assert math.cos(facing_rad - expected_rad) == pytest.approx(1.0)


def test_front_is_towards_the_player_and_right_is_right() -> None:
    each = green()
    assert each.edge("front", 0.0)[0] == pytest.approx((5.0, 290.0))
    assert each.edge("right", 0.0)[0] == pytest.approx((19.0, 300.0))
