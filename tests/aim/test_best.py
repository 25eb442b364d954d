"""The best target keeps away from trouble, the more so the wider the shots, and knows no left and right."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from aimed_holes import FEW, Scene, mirrored, par_three, scene, spread, tucked_by_water, twelve

from rangework.aim import Base, FromDistance, Target
from rangework.aim.best import best_target
from rangework.aim.values import mean_value
from rangework.lie import Lie
from rangework.units import YARD_M

#: A target may be off the symmetric one by this: the strategy's own points favour a side a little.
STRAIGHT_M = 2.0


def best_place(of: Scene) -> tuple[float, float]:
    """How far right of the pin and beyond it the best target from straight in front of it is."""
    _, shot = best_target(of.outlook, [Target()], FEW, 1.0)
    (x, y), (px, py) = shot.place_m, of.aiming.played.pin_m
    return x - px, y - py


@pytest.fixture(scope="module")
def by_width() -> list[float]:
    """Right of a pin tucked beside water: the best targets of ever wider golfers."""
    grid = par_three(pin_x=9.0, water=True)
    return [best_place(scene(grid, spread(twelve(), times)))[0] for times in (0.1, 0.3, 0.6, 1.0, 1.5)]


def test_wider_shots_are_aimed_farther_from_water(by_width: list[float]) -> None:
    assert all(wider <= narrower for narrower, wider in pairwise(by_width))
    assert by_width[-1] < by_width[0] - 6.0


def test_narrow_shots_are_aimed_at_the_pin(by_width: list[float]) -> None:
    assert abs(by_width[0]) <= STRAIGHT_M


def test_the_short_side_is_kept_away_from() -> None:
    narrow, wide = (
        best_place(scene(par_three(pin_x=9.0), spread(twelve(), times)))[0] for times in (0.1, 1.0)
    )
    assert abs(narrow) <= STRAIGHT_M
    assert wide < narrow - 2.0


def test_a_mirrored_hole_mirrors_the_aim() -> None:
    golfer = replace(twelve(), approach_bias_rad=np.full(4, 0.03), correlation=0.2)
    there = best_place(scene(par_three(pin_x=9.0, sand=True), golfer))
    back = best_place(scene(par_three(pin_x=9.0, sand=True, mirrored=True), mirrored(golfer)))
    assert there[0] < -5.0
    assert back == pytest.approx((-there[0], there[1]), abs=STRAIGHT_M)


def test_a_symmetric_hole_is_aimed_at_straight() -> None:
    assert abs(best_place(scene(par_three(), twelve()))[0]) <= STRAIGHT_M


def test_a_known_bias_is_aimed_off() -> None:
    golfer = replace(twelve(), approach_bias_rad=np.full(4, 0.04))
    straight, off = (best_place(scene(par_three(), each))[0] for each in (twelve(), golfer))
    assert off - straight == pytest.approx(-0.04 * 130.0, abs=STRAIGHT_M)


def test_no_other_target_is_better() -> None:
    """A fine grid of targets around the best, on the points that searched."""
    of = tucked_by_water()
    target, shot = best_target(of.outlook, [], FEW, 1.0)
    found = mean_value(of.outlook, shot, FEW.search)
    x, y = shot.place_m
    around = [
        replace(shot, place_m=(x + dx, y + dy))
        for dx in np.arange(-24.0, 25.0, 3.0)
        for dy in np.arange(-20.0, 21.0, 4.0)
    ]
    assert target.base is Base.PIN
    assert min(mean_value(of.outlook, other, FEW.search) for other in around) >= found - 0.003


def test_the_best_is_told_in_whole_units() -> None:
    target, shot = best_target(tucked_by_water().outlook, [], FEW, YARD_M)
    for length in (target.right_m, target.long_m):
        assert length / YARD_M == pytest.approx(round(length / YARD_M))
    assert tucked_by_water().aiming.place(target) == pytest.approx(shot.place_m)


def test_around_the_green_a_height_is_chosen() -> None:
    """With little green to work with a high shot is worth its poor strikes; with much it is not."""
    short = scene(par_three(pin_x=10.5), spread(twelve(), 1.0), FromDistance(Lie.FAIRWAY, 40.0), fine_m=4.0)
    values = [
        [mean_value(short.outlook, replace(shot, height=height), FEW.value) for height in (0, 1, 2)]
        for _, shot in [best_target(short.outlook, [], FEW, 1.0)]
    ]
    target, shot = best_target(short.outlook, [], FEW, 1.0)
    assert target.height is None
    assert values[0][shot.height] <= min(values[0]) + 0.01
