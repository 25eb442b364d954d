"""Where targets lie as the player sees them, and which cannot be aimed at."""

from __future__ import annotations

import math

import numpy as np
import pytest
from aimed_holes import Scene, par_three, scene, twelve
from synthetic_holes import drawn_hole

from rangework.aim import (
    Base,
    FromDistance,
    FromPoint,
    PlayedHole,
    Shot,
    Target,
    check_targets,
    place_ball,
    usual_targets,
)
from rangework.aim.targets import Aiming, Fault
from rangework.errors import InputError
from rangework.lie import Ground, Lie
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player
from rangework.units import YARD_M


@pytest.fixture(scope="module")
def beside() -> Aiming:
    """100 m short and 30 m left of the pin of a par 3."""
    return scene(par_three(), twelve(), FromPoint((-30.0, 30.0))).aiming


@pytest.fixture(scope="module")
def from_tee() -> Aiming:
    """The tee of a bent par 5: 200 m straight on, then to the right; trees to the left of the tee."""

    def draw(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        ground = np.zeros(x.shape, dtype=np.uint8)
        ground[np.hypot(x, y - 420.0) < 12.0] = int(Ground.GREEN)
        ground[(x < -40.0) & (y > 350.0)] = int(Ground.TREES)
        return ground

    grid = drawn_hole(420.0, 5, draw)
    played = PlayedHole(
        lay_out(grid, coarse_step_m=25.0, fine_step_m=12.0),
        np.array([(0.0, 0.0), (-60.0, 200.0), (0.0, 420.0)]),
        (0.0, 420.0),
    )
    player = compile_player(twelve())
    return Aiming(played, place_ball(played, player), player)


def seen(aiming: Aiming, target: Target) -> tuple[float, float]:
    """How far right of the pin and beyond it a target is, looking from the ball."""
    (bx, by), (px, py), (x, y) = aiming.ball.place_m, aiming.played.pin_m, aiming.place(target)
    far = math.dist((bx, by), (px, py))
    right, on = (px - bx) / far, (py - by) / far
    return (x - px) * on - (y - py) * right, (x - px) * right + (y - py) * on


def test_right_and_long_are_as_the_player_sees_them(beside: Aiming) -> None:
    assert beside.place(Target()) == beside.played.pin_m
    assert seen(beside, Target(right_m=5.0)) == pytest.approx((5.0, 0.0))
    assert seen(beside, Target(long_m=-7.0)) == pytest.approx((0.0, -7.0))
    assert seen(beside, Target(right_m=-5.0, long_m=3.0)) == pytest.approx((-5.0, 3.0))


def test_lay_ups_and_carries_follow_the_line_of_play(from_tee: Aiming) -> None:
    x, y = from_tee.place(Target(Base.LAY_UP, 230.0))
    assert math.dist((x, y), from_tee.played.pin_m) == pytest.approx(230.0)
    assert x < -50.0
    place = from_tee.place(Target(Base.CARRY, 150.0))
    assert place[0] / place[1] == pytest.approx(-60.0 / 200.0)
    assert from_tee.carry_m(Shot(place)) == pytest.approx(150.0, abs=0.01)
    longest = from_tee.place(Target(Base.LONGEST))
    assert from_tee.ball.distance_m(longest) == pytest.approx(from_tee.longest_m)


def test_a_shot_runs_on_after_its_carry(from_tee: Aiming) -> None:
    shot = Shot(from_tee.place(Target(Base.LONGEST)))
    assert 0.85 * from_tee.longest_m < from_tee.carry_m(shot) < 0.97 * from_tee.longest_m


@pytest.mark.parametrize(
    ("target", "fault"),
    [
        (Target(), Fault.OUT_OF_REACH),
        (Target(Base.CARRY, 300.0), Fault.OUT_OF_REACH),
        (Target(Base.CARRY, 1000.0), Fault.OUT_OF_REACH),
        (Target(Base.LAY_UP, 420.0), Fault.BEHIND),
        (Target(Base.LAY_UP, 1000.0), Fault.BEHIND),
        (Target(Base.CARRY, 120.0, right_m=150.0), Fault.OFF_THE_MAP),
        (Target(Base.CARRY, 120.0, height=2), Fault.NO_HEIGHT),
        (Target(Base.LONGEST), None),
        (Target(Base.LAY_UP, 240.0), None),
    ],
)
def test_what_cannot_be_aimed_at(from_tee: Aiming, target: Target, fault: Fault | None) -> None:
    assert from_tee.fault(target) is fault


def test_among_trees_the_green_is_not_open(from_tee: Aiming) -> None:
    ball = place_ball(from_tee.played, from_tee.player, FromDistance(Lie.RECOVERY, 60.0))
    trees = Aiming(from_tee.played, ball, from_tee.player)
    assert trees.fault(Target()) is Fault.NOT_OPEN
    assert trees.fault(Target(long_m=-40.0)) is None


def test_faults_of_all_targets_are_told_together(from_tee: Aiming) -> None:
    with pytest.raises(InputError) as caught:
        check_targets(from_tee, [Target(), Target(Base.LONGEST), Target(Base.LAY_UP, 500.0)], "yards")
    first, second = map(str, caught.value.problems)
    assert "'at the pin'" in first
    assert f"{from_tee.longest_m / YARD_M:.0f} yd" in first
    assert "'lay up to 546.8 yd'" in second


def test_usual_targets_depend_on_what_is_in_reach(from_tee: Aiming, beside: Aiming) -> None:
    assert [t.base for t in usual_targets(from_tee, YARD_M)] == [Base.LONGEST, Base.CARRY, Base.CARRY]
    assert all(from_tee.fault(target) is None for target in usual_targets(from_tee, YARD_M))
    assert usual_targets(beside, YARD_M) == [Target()]
    tucked = scene(par_three(pin_x=9.0), twelve(), middle_x=-9.0).aiming
    assert usual_targets(tucked, YARD_M) == [Target(), Target(Base.MIDDLE)]


def test_heights_are_a_choice_around_the_green_only(beside: Aiming) -> None:
    assert beside.heights(beside.played.pin_m) == (1,)
    near: Scene = scene(par_three(), twelve(), FromDistance(Lie.FAIRWAY, 30.0))
    assert near.aiming.heights(near.aiming.played.pin_m) == (0, 1, 2)
