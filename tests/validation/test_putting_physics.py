"""Capture speeds and green-speed kinematics (published/green_speed.py). Nothing here is fitted."""

from __future__ import annotations

import math

import pytest
from published.green_speed import (
    BALL_ACROSS_M,
    CAPTURE_SPEED,
    FREE_FALL_SPEED,
    GREEN_SPEED,
    HOLE_ACROSS_M,
)

from rangework.skill.putting import (
    CAPTURE_SPEED_M_S,
    STIMPMETER_SPEED_M_S,
    capture_past_m,
    make_probability,
    tour_putting,
)
from rangework.skill.putting_kernels import HOLE_RADIUS_M, capture_angle_kernel
from rangework.units import FOOT_M

GRAVITY_M_S2 = 9.81
BALL_RADIUS_M = BALL_ACROSS_M / 2


def past_at_m(speed_m_s: float, stimp_ft: float) -> float:
    """Roll past the hole of a ball at a speed, from the model's own roll at the greatest capture speed."""
    return capture_past_m(stimp_ft) * (speed_m_s / CAPTURE_SPEED_M_S) ** 2


def test_hole() -> None:
    assert pytest.approx(HOLE_ACROSS_M / 2, abs=5e-5) == HOLE_RADIUS_M


@pytest.mark.parametrize(("offset", "speed_m_s"), CAPTURE_SPEED)
@pytest.mark.parametrize("stimp_ft", [8.0, 11.0, 13.0])
def test_capture_speed_by_offset(offset: float, speed_m_s: float, stimp_ft: float) -> None:
    distance_m, edge_m = 3.0, offset * HOLE_RADIUS_M
    for faster, taken in ((-0.003, True), (0.003, False)):
        past = past_at_m(speed_m_s + faster, stimp_ft)
        angle = capture_angle_kernel(distance_m, past, capture_past_m(stimp_ft))
        assert (distance_m * math.sin(angle) > edge_m) is taken


def test_a_ball_that_dies_at_the_hole_has_all_of_its_width() -> None:
    """Offset / radius 1 at speed 0, the last row of the same table."""
    assert 3.0 * math.sin(capture_angle_kernel(3.0, 0.0, capture_past_m())) == pytest.approx(HOLE_RADIUS_M)


@pytest.mark.parametrize(
    ("stimp_ft", "deceleration", "at_1_63", "at_1_314", "three_ft", "seventeen_in"), GREEN_SPEED
)
def test_green_speed(
    stimp_ft: float,
    deceleration: float,
    at_1_63: float,
    at_1_314: float,
    three_ft: float,
    seventeen_in: float,
) -> None:
    rolled_m = stimp_ft * FOOT_M
    assert STIMPMETER_SPEED_M_S**2 / (2 * rolled_m) == pytest.approx(deceleration, abs=6e-5)
    assert capture_past_m(stimp_ft) / FOOT_M == pytest.approx(at_1_63, abs=0.006)
    assert past_at_m(FREE_FALL_SPEED, stimp_ft) / FOOT_M == pytest.approx(at_1_314, abs=0.006)
    assert past_at_m(three_ft, stimp_ft) / FOOT_M == pytest.approx(3.0, abs=0.01)
    assert past_at_m(seventeen_in, stimp_ft) / FOOT_M == pytest.approx(17 / 12, abs=0.005)
    assert capture_past_m(stimp_ft) == pytest.approx(CAPTURE_SPEED_M_S**2 / (2 * deceleration), rel=2e-4)


def test_a_ball_that_may_fall_freely_is_slower_than_the_capture_speed() -> None:
    """(2R - r) sqrt(g / 2r) = 1.314 m/s, geometry, COMPUTED: below 1.63, which allows for the far rim."""
    free_fall = (2 * HOLE_RADIUS_M - BALL_RADIUS_M) * math.sqrt(GRAVITY_M_S2 / (2 * BALL_RADIUS_M))
    assert free_fall == pytest.approx(FREE_FALL_SPEED, abs=0.002)
    assert free_fall < CAPTURE_SPEED_M_S


def test_faster_greens_forgive_a_roll_past_the_hole() -> None:
    """From the kinematics: the same roll past is a slower ball at the hole."""
    makes = [float(make_probability(6 * FOOT_M, tour_putting(), stimp)) for stimp in (7, 9, 11, 13)]
    assert makes == sorted(makes)
    assert makes[-1] - makes[0] < 0.1
