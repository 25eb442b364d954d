"""Rules: found where the ground asks for them, none where there is nothing to save, and told on what did not choose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from marsh_holes import Scene, played

from rangework.aim.habits.candidates import Aims, candidate_rules
from rangework.aim.habits.choosing import LEAST, MOST_RULES, Chooser, choose_rules
from rangework.aim.habits.free_strokes import drawn_values
from rangework.aim.habits.rules import Rule, usual_habits
from rangework.aim.habits.screening import screen
from rangework.aim.habits.shots import Kind
from rangework.aim.habits.valuing import RulePoints, expected_by_hole
from rangework.aim.targets import Base
from rangework.lie import Lie

AT_PINS = usual_habits(Base.PIN)


def aims_of(scene: Scene) -> Aims:
    player = scene.ground.planner
    return Aims("yards", player.table[Lie.TEE], float(player.longest[Lie.TEE]))


@pytest.fixture(scope="module")
def chooser(twenty: Scene) -> Chooser:
    other = played(twenty.course, twenty.golfer, "right-back", 14.0, 7.0)
    wider = replace(twenty.golfer, approach_direction=1.1 * twenty.golfer.approach_direction)
    return Chooser.of([other], twenty.golfer, [wider], threads=1)


@pytest.fixture(scope="module")
def rules(chooser: Chooser, twenty: Scene) -> tuple[Rule, ...]:
    return choose_rules(chooser, AT_PINS, aims_of(twenty))


def test_with_water_short_and_right_the_rule_for_right_pins_is_left_of_them(rules: tuple[Rule, ...]) -> None:
    assert 1 <= len(rules) <= MOST_RULES
    approach = next(rule for rule in rules if rule.shots.kind is Kind.APPROACH)
    assert approach.target is not None
    assert approach.target.base is Base.MIDDLE or approach.inward > 0.0 or approach.target.right_m < 0.0
    assert approach.target.right_m <= 0.0


def test_rules_keep_most_of_the_free_strokes_with_pins_and_players_that_did_not_choose(
    rules: tuple[Rule, ...], twenty: Scene
) -> None:
    narrower = replace(twenty.golfer, approach_direction=0.93 * twenty.golfer.approach_direction)
    lists = [AT_PINS, (*rules, *AT_PINS)]
    policies = [twenty.coarse.with_rules(each) for each in lists]
    values = drawn_values([*policies, twenty.coarse.strategies], twenty.golfer, [narrower], threads=1)
    share = (values[:, 0] - values[:, 1]) / (values[:, 0] - values[:, 2])
    assert np.all(share > 0.5)
    assert np.all(share < 1.02)


def test_who_aims_best_needs_no_rule(chooser: Chooser, twenty: Scene) -> None:
    assert choose_rules(chooser, (), aims_of(twenty)) == ()


def test_the_screen_ranks_as_exact_values_do(chooser: Chooser, twenty: Scene) -> None:
    course, aims = chooser.courses[0], aims_of(twenty)
    ranked = screen([course], AT_PINS, aims).ranked(aims, np.ones(1, dtype=np.bool_), LEAST)
    now = expected_by_hole(course.with_rules(AT_PINS), course.planner, RulePoints.few()).sum()
    for saved, rule in ranked[:: len(ranked) // 4]:
        strategies = course.with_rules([rule, *AT_PINS])
        exact = now - expected_by_hole(strategies, course.planner, RulePoints.few()).sum()
        assert saved == pytest.approx(exact, rel=0.15, abs=0.01)


def test_candidates_have_few_conditions_and_round_lengths(twenty: Scene) -> None:
    rules = list(candidate_rules(aims_of(twenty)))
    assert len(rules) == len(set(rules)) > 1000
    assert max(rule.shots.conditions for rule in rules) <= 3
    carries = {rule.target.length_m for rule in rules if rule.target and rule.target.base is Base.CARRY}
    assert all(abs(carry / 9.144 - round(carry / 9.144)) < 1e-6 for carry in carries if carry)
