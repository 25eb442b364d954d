"""Notes of a hole: the same targets as a single shot's, from where the shots before leave the player."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rangework.aim.best import best_target
from rangework.aim.club_names import NamedClub
from rangework.aim.hole_notes import WORTH_A_NOTE, HoleNote, NoteTaker
from rangework.aim.objectives import FewestStrokes
from rangework.aim.places import FromDistance, place_ball
from rangework.aim.played_hole import PlayedHole
from rangework.aim.targets import Aiming
from rangework.aim.values import AimPoints, best_height, mean_value
from rangework.course import Course
from rangework.course.ground_grid import ground_grid
from rangework.course.pin_words import PIN_WORDS
from rangework.lie import Lie
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player, solve_hole
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M

TAKER = NoteTaker(compile_player(reference_golfer(12)), {"seven iron": 128.0}, YARD_M)


@pytest.fixture(scope="module")
def short_hole(demo_course: Course) -> HoleNote:
    return TAKER.hole(demo_course.holes[3], "middle", PIN_WORDS)


@pytest.fixture(scope="module")
def long_hole(demo_course: Course) -> HoleNote:
    return TAKER.hole(demo_course.holes[2], "middle", ["tucked", "middle", "12 on, 8 left"])


def test_a_par_three_has_one_shot_for_each_pin(short_hole: HoleNote) -> None:
    assert short_hole.way == ()
    (tee,) = short_hole.approaches
    assert tee.from_m is None
    assert set(tee.by_pin) == set(PIN_WORDS)


def test_a_par_five_is_noted_to_the_green(long_hole: HoleNote) -> None:
    longest = float(TAKER.player.longest[int(Lie.FAIRWAY)])
    assert [each.from_m is None for each in long_hole.way] == [True, *[False] * (len(long_hole.way) - 1)]
    assert len(long_hole.way) >= 2
    before = long_hole.way[-1].from_m or math.inf
    for approach in long_hole.approaches:
        assert approach.from_m is not None
        assert 30.0 <= approach.from_m < before
        assert list(approach.by_pin) == ["tucked", "middle", "12 on, 8 left"]
        assert (approach.from_m / YARD_M) % 10.0 == pytest.approx(0.0, abs=1e-6)
    assert min(each.from_m or 0.0 for each in long_hole.approaches) <= longest


@pytest.mark.parametrize("pin", ["left", "back-right", "front"])
def test_notes_agree_with_a_single_shot(demo_course: Course, short_hole: HoleNote, pin: str) -> None:
    """The noted target, valued on a finer lattice with more points, is about as good as the best found there."""
    hole, points = demo_course.holes[3], AimPoints.usual()
    layout = lay_out(ground_grid(hole, "middle", pin), coarse_step_m=6.0, fine_step_m=2.5)
    played = PlayedHole.of(hole, layout)
    aiming = Aiming(played, place_ball(played, TAKER.player), TAKER.player)
    own = FewestStrokes(solve_hole(layout, TAKER.player), aiming).own
    _, best = best_target(own, [], points, YARD_M)
    noted = short_hole.approaches[0].by_pin[pin]
    shot = best_height(own, aiming.place(noted.target), points.search)
    assert mean_value(own, shot, points.value) <= mean_value(own, best, points.value) + 0.008
    assert noted.strokes == pytest.approx(mean_value(own, shot, points.value), abs=0.02)


def test_what_saves_too_little_is_the_pin(short_hole: HoleNote) -> None:
    shots = list(short_hole.approaches[0].by_pin.values())
    assert {shot.at_pin for shot in shots} == {True, False}
    for shot in shots:
        assert shot.saved is not None
        assert shot.at_pin == (shot.saved < WORTH_A_NOTE)
        assert shot.off_pin_m is not None


def test_aims_are_on_the_safe_side_of_the_pin(short_hole: HoleNote) -> None:
    """Pins on the left are aimed at to the right of them, and the other way round."""
    shots = short_hole.approaches[0].by_pin
    for left, right in (("left", "right"), ("back-left", "back-right")):
        (off_left, _), (off_right, _) = shots[left].off_pin_m or (0, 0), shots[right].off_pin_m or (0, 0)
        assert off_left > 0.0 > off_right


def test_a_club_is_named_for_what_it_carries(demo_course: Course) -> None:
    note = TAKER.hole(demo_course.holes[6], "middle", ["middle"])
    shot = note.approaches[0].by_pin["middle"]
    reached = 0.85 * 128.0 <= shot.carry_m <= 1.06 * 128.0
    assert shot.club == (NamedClub("seven iron", shot.carry_m < 0.97 * 128.0) if reached else None)


def test_approaches_start_where_the_balls_finish(demo_course: Course) -> None:
    """Half of the balls in play from the best tee shot leave what lies between the two lengths noted."""
    hole = demo_course.holes[0]
    note = TAKER.hole(hole, "middle", ["middle"])
    layout = lay_out(ground_grid(hole, "middle", "middle"))
    played = PlayedHole.of(hole, layout)
    near, far = sorted(each.from_m or 0.0 for each in note.approaches)
    target_m = note.way[0].shot.distance_m
    assert near - 10.0 < note.length_m - target_m < far + 20.0
    assert np.hypot(*played.pin_m) > far
    for length_m in (near, far):
        assert place_ball(played, TAKER.player, FromDistance(Lie.FAIRWAY, length_m)).lie is Lie.FAIRWAY
