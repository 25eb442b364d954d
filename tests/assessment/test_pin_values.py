"""What a ball gains by where it ends agrees with the break-even line, and with the ground of the course."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.aim.break_even import gained
from rangework.assessment.pin_values import PinValues, ShotValues
from rangework.course.geometry import Course
from rangework.lie import Ground, Lie
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M


@pytest.fixture(scope="module")
def shot(demo_course: Course) -> ShotValues:
    return PinValues.of(demo_course.holes[1], "middle", "back-left", reference_golfer(12)).shot(
        Lie.FAIRWAY, 120 * YARD_M
    )


def test_it_is_what_the_break_even_line_is_drawn_from(shot: ShotValues) -> None:
    gains, first = gained(shot.pin.strategy, shot.pin.player, shot.ball, shot.strokes)
    grid, (pin_x, pin_y) = shot.pin.played.layout.grid, shot.pin.played.pin_m
    x, y = grid.cell_centres()
    rows, columns = np.indices(gains.shape)
    across, ahead = x[columns + first[1]] - pin_x, y[rows + first[0]] - pin_y
    up_x, up_y = np.subtract(shot.pin.played.pin_m, shot.ball.place_m) / np.hypot(
        *np.subtract(shot.pin.played.pin_m, shot.ball.place_m)
    )
    dry = grid.ground_at(x[columns + first[1]], y[rows + first[0]]) != Ground.WATER
    found = shot.gained(across * up_x + ahead * up_y, across * up_y - ahead * up_x)
    assert found[dry] == pytest.approx(gains[dry], abs=1e-6)


def test_near_the_pin_gains_and_far_from_it_loses(shot: ShotValues) -> None:
    found = shot.gained([0.0, 3.0, 10.0, -40.0], [0.0, 0.0, 0.0, 30.0])
    assert found[0] == pytest.approx(shot.strokes - 2.0, abs=0.01)
    assert found[0] > found[1] > found[2]
    assert found[3] < 0.0


def test_a_ball_that_lands_in_sand_stays_there(demo_course: Course) -> None:
    """The same finish: where it was carried short, and that is a bunker, the carry decides."""
    shot = PinValues.of(demo_course.holes[0], "middle", "front-left", reference_golfer(12)).shot(
        Lie.FAIRWAY, 130 * YARD_M
    )
    long, right = np.meshgrid(np.arange(-40.0, 20.0), np.arange(-30.0, 30.0))
    short = 6.0
    landed = shot._ground(long - short, right)
    ran = np.isin(landed, [Ground.GREEN, Ground.FAIRWAY, Ground.FRINGE])
    carried, finished = shot.gained(long, right, short), shot.gained(long, right)
    assert carried[ran] == pytest.approx(finished[ran])
    sand = landed == Ground.SAND
    assert sand.any()
    assert carried[sand] == pytest.approx(shot.gained(long - short, right)[sand])


def test_a_shot_from_beyond_the_tee_is_a_shot_all_the_same(demo_course: Course) -> None:
    hole = next(hole for hole in demo_course.holes if hole.par == 3)
    shot = PinValues.of(hole, "middle", "middle", reference_golfer(12)).shot(Lie.FAIRWAY, 260 * YARD_M)
    assert shot.ball.distance_m(shot.pin.played.pin_m) == pytest.approx(260 * YARD_M)
    assert 3.0 < shot.strokes < 6.0
