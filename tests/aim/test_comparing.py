"""Targets compared: the best is the best, differences are shared luck's, and what is real is said to be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from aimed_holes import FEW, tucked_by_water, twelve

from rangework.aim import Comparison, Target, compare_targets
from rangework.aim.comparing import SMALLEST, Values
from rangework.estimate import unknown_bases
from rangework.skill.model import Golfer

BASIS = "data"


def plausible(count: int, bias_sd_rad: float) -> list[Golfer]:
    """Golfers of handicap 12 who differ in where their shots start."""
    shifts = bias_sd_rad * np.random.default_rng(3).standard_normal(count)
    return [replace(twelve(), approach_bias_rad=np.full(4, shift)) for shift in shifts]


def compared(targets: Sequence[Target], draws: Sequence[Golfer] = (), **options: object) -> Comparison:
    of = tucked_by_water()
    settings = {"rounds": 40_000, "seed": 1, "threads": 1, "basis": BASIS, "points": FEW, **options}
    return compare_targets(of.strategy, of.golfer, of.aiming, targets, draws=draws, **settings)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def told() -> Comparison:
    return compared([Target(), Target(right_m=-20.0)], plausible(20, 0.005))


def test_named_choices_come_first_and_the_best_last(told: Comparison) -> None:
    assert [choice.target for choice in told.choices[:2]] == [Target(), Target(right_m=-20.0)]
    assert told.best == 2
    assert told.choices[2].strokes.value < min(choice.strokes.value for choice in told.choices[:2])


def test_a_named_choice_that_is_the_best_is_not_told_twice(told: Comparison) -> None:
    again = compared([Target(), told.choices[told.best].target])
    assert len(again.choices) == 2
    assert again.best == 1


def test_every_number_is_an_estimate_with_a_basis(told: Comparison) -> None:
    for choice in told.choices:
        low, high = choice.strokes.low, choice.strokes.high
        assert low is not None
        assert high is not None
        assert low < choice.strokes.value < high
        assert unknown_bases(choice.strokes.basis) == []
        assert sum(choice.scores) == pytest.approx(1.0)
        assert choice.standard_error < 0.006
    assert unknown_bases(told.difference(0, 2).amount.basis) == []


def test_without_draws_there_are_no_ranges() -> None:
    alone = compared([Target()])
    assert alone.choices[0].strokes.low is None
    assert not alone.difference(0, 1).is_real
    assert np.isnan(alone.difference(0, 1).chance)


def test_differences_are_antisymmetric_and_add_up(told: Comparison) -> None:
    there, back = told.difference(0, 2), told.difference(2, 0)
    assert there.amount.value == pytest.approx(-back.amount.value)
    assert there.amount.low == pytest.approx(-(back.amount.high or 0.0))
    both = told.difference(0, 1).amount.value + told.difference(1, 2).amount.value
    assert both == pytest.approx(there.amount.value)
    strokes = [choice.strokes.value for choice in told.choices]
    assert there.amount.value == pytest.approx(strokes[0] - strokes[2])


def test_what_is_well_known_is_real_and_what_is_not_is_not(told: Comparison) -> None:
    assert told.difference(0, told.best).is_real
    unsure = compared([Target(), Target(right_m=-20.0)], plausible(20, 0.06))
    assert not unsure.difference(0, unsure.best).is_real
    assert not told.difference(0, 0).is_real


@pytest.mark.parametrize(
    ("means", "draws", "real"),
    [
        ((0.1, 0.0), [(0.1, 0.0), (0.12, 0.01), (0.11, 0.02)], True),
        ((0.1, 0.0), [(0.1, 0.0), (0.12, 0.01), (0.0, 0.02)], False),
        ((0.1, 0.0), [(0.1, 0.0)] * 98 + [(0.0, 0.1)] * 2, True),
        ((0.1, 0.0), [(0.1, 0.0)] * 97 + [(0.0, 0.1)] * 3, False),
        ((0.0, 0.1), [(0.1, 0.0)] * 100, False),
        ((0.5 * SMALLEST, 0.0), [(0.01, 0.0), (0.012, 0.001), (0.011, 0.002)], False),
        ((0.0, 0.0), [(0.0, 0.0), (0.0, 0.0)], False),
    ],
)
def test_the_rule(
    told: Comparison, means: tuple[float, float], draws: list[tuple[float, float]], real: bool
) -> None:
    values = Values(np.array(means), np.array(draws))
    assert replace(told, values=values).difference(0, 1).is_real == real


def test_the_answer_does_not_depend_on_threads(told: Comparison) -> None:
    again = compared([Target(), Target(right_m=-20.0)], plausible(20, 0.005), threads=2)
    assert again.values.draws == pytest.approx(told.values.draws, abs=0)
    assert [choice.scores for choice in again.choices] == [choice.scores for choice in told.choices]


def test_ranges_widen_with_what_is_not_known(told: Comparison) -> None:
    wider = compared([Target(), Target(right_m=-20.0)], plausible(20, 0.02))
    assert width(wider) > 1.5 * width(told)


def width(of: Comparison) -> float:
    amount = of.difference(0, 1).amount
    assert amount.low is not None
    assert amount.high is not None
    return amount.high - amount.low


@pytest.mark.slow
def test_for_a_score_the_best_has_the_largest_chance() -> None:
    told = compared([Target(), Target(right_m=-20.0)], plausible(6, 0.005), strokes_left=4)
    chances = [choice.reached.value for choice in told.choices if choice.reached]
    assert len(chances) == len(told.choices)
    assert told.best == int(np.argmax(chances))
    assert told.unit == "share"
    assert told.difference(0, told.best).amount.value == pytest.approx(max(chances) - chances[0])
    assert all(choice.strokes.low is not None for choice in told.choices)
