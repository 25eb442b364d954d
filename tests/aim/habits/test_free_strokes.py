"""Free strokes: none for who aims best, exact sums, and the same number by two routes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from marsh_holes import Scene, played

from rangework.aim.habits.free_strokes import FreeStrokes, free_strokes
from rangework.aim.habits.rules import Rule, usual_habits
from rangework.aim.habits.shots import Kind, Shots
from rangework.aim.targets import Base
from rangework.course.geometry import Course
from rangework.estimate import unknown_bases
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.reference import reference_golfer

ROUNDS = 60_000


def lost(scene: Scene, habits: tuple[Rule, ...], **options: object) -> FreeStrokes:
    settings = {"rounds": ROUNDS, "threads": 1, "basis": "data", **options}
    return free_strokes(scene.ground, scene.coarse, scene.golfer, habits, **settings)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def at_pins(twenty: Scene) -> FreeStrokes:
    draws = [
        replace(twenty.golfer, approach_direction=twenty.golfer.approach_direction * wide)
        for wide in (0.9, 1, 1.1)
    ]
    layouts = [strategy.layout for strategy in twenty.ground.strategies]
    player = compile_player(reference_golfer(5.0))
    reference = (player, solve_course(layouts, player, threads=1))
    return lost(twenty, usual_habits(Base.PIN), draws=draws, reference=reference)


@pytest.mark.parametrize("habits", [(), tuple(Rule(Shots(kind), None) for kind in Kind)])
def test_who_aims_best_has_no_free_strokes(twenty: Scene, habits: tuple[Rule, ...]) -> None:
    found = lost(twenty, habits, rounds=2000)
    assert found.decisions.value == 0.0
    assert found.expected == pytest.approx(0.0, abs=1e-9)


def test_decisions_and_execution_sum_to_the_whole(at_pins: FreeStrokes) -> None:
    assert at_pins.execution is not None
    assert at_pins.total is not None
    assert at_pins.execution_draws is not None
    whole = at_pins.decisions.value + at_pins.execution.value
    assert at_pins.total.value == pytest.approx(whole, abs=1e-12)
    assert np.mean(at_pins.draws + at_pins.execution_draws) == pytest.approx(whole, abs=1e-12)
    assert sum(each.value for each in at_pins.by_kind.values()) == pytest.approx(at_pins.decisions.value)
    assert unknown_bases(at_pins.total.basis) == []


def test_the_more_scattered_lose_more_by_execution(at_pins: FreeStrokes) -> None:
    assert at_pins.execution_draws is not None
    assert np.all(np.diff(at_pins.execution_draws) > 0.0)


def test_rounds_and_expectation_agree(twenty: Scene) -> None:
    for base in (Base.PIN, Base.MIDDLE):
        found = lost(twenty, usual_habits(base))
        assert found.expected is not None
        assert abs(found.in_rounds - found.expected) < 3.0 * found.standard_error + 0.01
        assert found.standard_error < 0.01


@pytest.mark.slow
def test_aiming_at_every_pin_costs_the_weaker_player_more(demo_course: Course) -> None:
    """On a course of all kinds of holes; where every pin stands by water it costs a scratch golfer as much."""
    approaches = (usual_habits(Base.PIN)[0],)
    costs = []
    for index in (0.0, 20.0):
        golfer = reference_golfer(index)
        ground = played(demo_course, golfer, "tucked")
        scene = Scene(demo_course, golfer, ground, ground.coarse(demo_course))
        costs.append(lost(scene, approaches))
    better, weaker = costs
    error = np.hypot(weaker.standard_error, better.standard_error)
    assert better.decisions.value > 3.0 * better.standard_error
    assert weaker.decisions.value > better.decisions.value + 3.0 * error
