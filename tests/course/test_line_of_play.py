"""The line of play: lengths, headings, and ground beside it, against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from rangework.course.line_of_play import Bend, line_of_play, offset_point

STRAIGHT = line_of_play(400.0)
RIGHT_ANGLE = line_of_play(300.0, [Bend(200.0, 200.0, math.pi / 2)])


def test_dogleg_right_turns_to_the_right() -> None:
    assert RIGHT_ANGLE.points == pytest.approx(np.array([[0.0, 0.0], [0.0, 200.0], [100.0, 200.0]]))
    assert RIGHT_ANGLE.heading_rad(250.0) == pytest.approx(math.pi / 2)
    # right of a line that runs to the right is back towards the tee
    assert RIGHT_ANGLE.place(250.0, 10.0) == pytest.approx((50.0, 190.0))


def test_places_run_on_straight_behind_the_tee_and_beyond_the_green() -> None:
    assert RIGHT_ANGLE.place(-20.0, 5.0) == pytest.approx((5.0, -20.0))
    assert RIGHT_ANGLE.place(330.0) == pytest.approx((130.0, 200.0))


@given(
    st.floats(100.0, 500.0),
    st.lists(st.tuples(st.floats(0.05, 0.95), st.floats(0.0, 0.3), st.floats(-0.6, 0.6)), max_size=3),
)
def test_bends_never_change_the_length(length_m: float, wanted: list[tuple[float, float, float]]) -> None:
    bends: list[Bend] = []
    for start, run, turn_rad in sorted(wanted):
        from_m = max(start * length_m, bends[-1].to_m if bends else 0.0)
        bends.append(Bend(from_m, min(from_m + run * length_m, length_m), turn_rad))
    line = line_of_play(length_m, bends)
    assert np.hypot(*np.diff(line.points, axis=0).T).sum() == pytest.approx(length_m)
    if all(bend.to_m < length_m for bend in bends):
        turned = sum(bend.turn_rad for bend in bends)
        assert line.heading_rad(length_m) == pytest.approx(turned, abs=1e-9)


def test_band_and_strip_of_a_straight_line_are_rectangles() -> None:
    assert STRAIGHT.band(100.0, 350.0, 30.0).area == pytest.approx(250.0 * 30.0)
    right = STRAIGHT.strip(100.0, 350.0, 20.0, 15.0, "right")
    assert right.area == pytest.approx(250.0 * 15.0)
    assert right.bounds == pytest.approx((20.0, 100.0, 35.0, 350.0))
    assert STRAIGHT.strip(100.0, 350.0, 20.0, 15.0, "both").area == pytest.approx(2 * 250.0 * 15.0)


def test_strip_outside_a_right_angle_has_a_quarter_ring_at_the_corner() -> None:
    strip = RIGHT_ANGLE.strip(100.0, 300.0, 20.0, 10.0, "left")
    quarter_ring = math.pi / 4 * (30.0**2 - 20.0**2)
    assert strip.area == pytest.approx(200.0 * 10.0 + quarter_ring, rel=0.002)


def test_strip_inside_a_right_angle_keeps_its_distance_from_both_legs() -> None:
    strip = RIGHT_ANGLE.strip(100.0, 300.0, 20.0, 10.0, "right")
    # an L of two legs, 80 m long at the outer offset, less the corner they share
    assert strip.area == pytest.approx(2 * 80.0 * 10.0 - 10.0**2, rel=0.002)
    assert strip.distance(RIGHT_ANGLE.extended) == pytest.approx(20.0, abs=0.01)


@pytest.mark.parametrize("turn_deg", [-80, -35, 0, 20, 75])
def test_sides_do_not_overlap_and_lie_where_they_should(turn_deg: float) -> None:
    line = line_of_play(400.0, [Bend(220.0, 220.0, math.radians(turn_deg))])
    left, right = (line.strip(0.0, 400.0, 10.0, 20.0, side) for side in ("left", "right"))
    assert left.intersection(right).area == pytest.approx(0.0, abs=1e-6)
    assert right.contains(Point(line.place(300.0, 20.0)))
    assert left.contains(Point(line.place(100.0, -20.0)))


def test_a_line_that_turns_back_on_itself_is_known() -> None:
    turn = math.radians(100.0)
    spiral = line_of_play(
        600.0, [Bend(200.0, 200.0, turn), Bend(300.0, 300.0, turn), Bend(400.0, 400.0, turn)]
    )
    assert spiral.crosses_itself()
    assert not RIGHT_ANGLE.crosses_itself()


@given(st.floats(-4.0, 4.0), st.floats(-100.0, 100.0), st.floats(-100.0, 100.0))
def test_offsets_keep_their_length(heading_rad: float, right_m: float, forward_m: float) -> None:
    x, y = offset_point((3.0, 4.0), heading_rad, right_m, forward_m)
    assert math.hypot(x - 3.0, y - 4.0) == pytest.approx(math.hypot(right_m, forward_m), abs=1e-9)
