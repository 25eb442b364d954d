"""Responses learned from tests: little from little, nothing from no response, and much where much is known."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from response_study import FIRST, HANDICAP, PARTS, WEEKS, learned, measured, moved, one_hour_a_week

from rangework.assessment import learning
from rangework.assessment.learning import learn
from rangework.assessment.part_tests import PartMeasure
from rangework.plan.drills import CHANCE_USELESS, drill_catalogue
from rangework.plan.response import responses_for
from rangework.skill.parts import PART_IDS

DIRECTION = PARTS[1]


def measures(change: float, error: float, part: str = DIRECTION, start: float = 0.0) -> list[PartMeasure]:
    days = (FIRST, FIRST + timedelta(days=7 * WEEKS))
    return [PartMeasure(part, day, 60, start + at * change, error) for at, day in enumerate(days)]


@pytest.fixture
def surely(monkeypatch: pytest.MonkeyPatch) -> None:
    """A world in which days do not differ and nothing but practice changes a part."""
    for name in ("DAY_LOG_SPREAD", "OTHER_LOG_SPREAD", "DAY_TURN_RAD", "OTHER_TURN_RAD"):
        monkeypatch.setattr(learning, name, 1e-4)


def test_no_response_leaves_the_prior_within_a_sixth() -> None:
    """2 x 60 balls without any true response, for each of the simulated players."""
    ratios = np.array([moved(learned(seed)) for seed in range(20)])
    assert np.all(np.abs(ratios - 1.0) <= 1.0 / 6.0)
    assert abs(ratios.mean() - 1.0) <= 0.05


@pytest.mark.usefixtures("surely")
def test_where_much_is_known_much_is_learned() -> None:
    """Negative control: the same absence of a change, surely known, takes most of the response away."""
    log = one_hour_a_week(DIRECTION, 8.0)
    nothing = learn(responses_for(HANDICAP), measures(0.0, 1e-2), log)
    assert moved(nothing) < 0.75
    much = learn(responses_for(HANDICAP), measures(2.0 * np.log(0.9), 1e-2), log)
    assert moved(much) > 1.5


@pytest.mark.usefixtures("surely")
def test_a_quick_learner_learns_the_rest_quickly_too() -> None:
    log = one_hour_a_week(DIRECTION)
    found = learn(responses_for(HANDICAP), measures(1.2 * np.log(0.9), 1e-2), log)
    other = PART_IDS.index("putt.pace")
    before = np.median(found.responses.most_steps[:, other])
    after = np.median(found.draws(400, np.random.default_rng(1)).most_steps[:, other])
    assert after > 1.1 * before
    assert found.effective_draws > 50


@pytest.mark.usefixtures("surely")
def test_a_bias_that_is_halved_again_and_again_says_that_practice_works() -> None:
    part = "approach_100_150.bias"
    log = one_hour_a_week(part, 3.0)
    kept, gone = (
        learn(responses_for(HANDICAP), measures(change, 0.003, part, start=0.07), log)
        for change in (0.0, -0.06)
    )
    assert moved(gone, part) > moved(kept, part)


def test_hours_without_a_second_test_teach_nothing() -> None:
    found = learn(responses_for(HANDICAP), measures(0.0, 0.1)[:1], one_hour_a_week(DIRECTION))
    assert found.parts == ()
    assert found.weight == pytest.approx(1.0 / len(found.weight))


def test_draws_are_those_of_the_weights() -> None:
    found = learned(3, balls=200)
    drawn = found.draws(4000, np.random.default_rng(0))
    at = PART_IDS.index(DIRECTION)
    assert drawn.most_steps[:, at].mean() == pytest.approx(
        found.weight @ found.responses.most_steps[:, at], rel=0.03
    )
    assert "assumption.assessment.other_change" in drawn.bases


@pytest.mark.slow
def test_measures_meet_the_truth_within_their_errors() -> None:
    """A spread that two steps took 19 % off: over many players the measured change is the share of it that balls
    between two bands show, and as sure as it says."""
    off, said = [], []
    for seed in range(60):
        own = [measure for measure in measured(seed, steps=2.0, balls=120) if measure.part == DIRECTION]
        off.append(own[1].value - own[0].value - own[1].share * 2.0 * np.log(0.9))
        said.append(own[0].standard_error ** 2 + own[1].standard_error ** 2 + 2 * learning.DAY_LOG_SPREAD**2)
    assert np.mean(off) == pytest.approx(0.0, abs=0.06)
    assert np.std(off) == pytest.approx(np.sqrt(np.mean(said)), rel=0.25)


@pytest.mark.usefixtures("surely")
def test_a_drill_that_brought_nothing_is_believed_to_do_nothing() -> None:
    """A part that did not change although one drill for it was practised much: the drill is doubted, others are not."""
    drills = tuple(drill for drill in drill_catalogue() if DIRECTION in drill.trains)
    much = one_hour_a_week(DIRECTION, 8.0)
    log = replace(much, drills=(drills[0].id,) * len(much.days))
    found = learn(responses_for(HANDICAP), measures(0.0, 1e-2), log, drills=drills)
    drawn = found.draws(400, np.random.default_rng(0))
    assert drawn.working[drills[0].id].mean() < 0.5
    assert drawn.working[drills[1].id].mean() == pytest.approx(1.0 - CHANCE_USELESS, abs=0.1)
    # what is gained next goes on from the hours practised, where the drill worked
    at = PART_IDS.index(DIRECTION)
    assert set(np.round(np.unique(drawn.hours_before[:, at]), 6)) == {0.0, 64.0}
