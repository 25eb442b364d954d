"""The group's response: right where it is known, no surer than it says, and never taken from what is not practice."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from tested_roster import PARTS, RESPONSES, SIXTY_BALLS, players_tested, practice, truly, two_tests

from rangework.assessment.response_evidence import DRIFT, QUESTIONS, ResponseEvidence
from rangework.plan.drills import CHANCE_USELESS
from rangework.plan.response import COMMON_SHARE, MOST_LOG_SD, GroupResponse, draw_responses, group_covariance
from rangework.roster.group_learning import LearnedGroup, learn_group
from rangework.roster.likeliest_factors import DRIFT_SD, known_before, likeliest
from rangework.skill.parts import PART_IDS

AT = [PART_IDS.index(part) for part in PARTS]
#: Nearly every ball of a part is known: tests of hundreds of balls.
SURE = 0.03


def learned(evidence: Mapping[int, ResponseEvidence]) -> LearnedGroup:
    found = learn_group(evidence)
    assert found is not None
    return found


def factors(group: GroupResponse) -> float:
    """Mean over the tested parts of the factor on what is assumed."""
    return float(np.exp(group.mean[AT]).mean())


def covered(group: GroupResponse, truth: np.ndarray | float) -> np.ndarray:
    return np.abs(in_deviations(group.mean, group.covariance, truth)) <= 1.645


def in_deviations(mean: np.ndarray, covariance: np.ndarray, truth: np.ndarray | float) -> np.ndarray:
    """By how many standard deviations the middle of each tested part lies above the truth."""
    true = truth if isinstance(truth, float) else truth[AT]
    return (mean[AT] - true) / np.sqrt(np.diag(covariance)[AT])


def test_sums_over_places_are_those_of_a_grid() -> None:
    """One part, and the drift: every place of a fine grid over both, weighed by prior and likelihood."""
    part = "approach_100_150.direction"
    evidence = players_tested(2, 10, 1.6, error=SURE, parts=(part,), useless=CHANCE_USELESS)
    found = learned(evidence)
    at, before = PART_IDS.index(part), known_before()
    factor, drift = (
        axis.ravel() for axis in np.meshgrid(np.linspace(-2.4, 2.4, 97), np.linspace(-0.12, 0.12, 49))
    )
    places = np.zeros((len(factor), QUESTIONS))
    places[:, at], places[:, DRIFT] = factor, drift
    log_weight = -0.5 * (factor**2 / before.covariance[at, at] + drift**2 / DRIFT_SD**2)
    log_weight += sum(each.heights(places) for each in evidence.values())
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = float(weight @ factor)
    sd = float(np.sqrt(weight @ (factor - mean) ** 2))
    assert found.group.mean[at] == pytest.approx(mean, abs=0.01 * sd)
    assert np.sqrt(found.group.covariance[at, at]) == pytest.approx(sd, rel=0.01)
    assert found.effective_places > 500


def test_heights_are_those_of_the_curve() -> None:
    places = np.zeros((3, QUESTIONS))
    places[1, [*AT, DRIFT]] = [0.3, -0.2, 0.1, 0.4, 0.02]
    places[2, [*AT, DRIFT]] = [-0.7, 0.9, -0.1, 0.2, -0.05]
    one = players_tested(0, 2, 1.0, error=SURE, useless=CHANCE_USELESS)[0]
    expected = [one.at(place).value for place in places]
    assert one.heights(places) == pytest.approx(expected, abs=1e-8)
    assert len(set(expected)) == 3


def test_a_group_that_answers_twice_as_well_is_found_out() -> None:
    groups = [learned(players_tested(seed, 40, 2.0, error=SURE)).group for seed in range(2)]
    assert all(1.4 <= factors(group) <= 2.3 for group in groups)
    # a truth 1.4 standard deviations off the assumption: three parts of four at least
    assert np.mean([covered(group, np.log(2.0)) for group in groups]) >= 0.75


def test_as_assumed_stays_as_assumed_whatever_the_season_does() -> None:
    still, *drifting = (
        learned(players_tested(0, 30, 1.0, drift=drift)).group for drift in (0.0, -0.06, 0.06)
    )
    for group in drifting:
        assert factors(group) == pytest.approx(factors(still), rel=0.1)
        assert covered(group, 0.0).all()


def test_no_response_is_believed_slowly() -> None:
    """30 players, two tests of 60 balls: down by at most two fifths, never up. Surely known, further down."""
    assert all(0.6 <= factors(learned(players_tested(seed, 30, 0.0)).group) <= 1.0 for seed in range(2))
    assert factors(learned(players_tested(0, 40, 0.0, error=SURE)).group) < 0.6


def test_hours_of_others_teach_no_response() -> None:
    """Negative control: the same tests beside hours that are not the player's own."""
    right, wrong = (
        factors(learned(players_tested(1, 40, 2.0, error=SURE, logged=logged)).group)
        for logged in (True, False)
    )
    assert right > 1.4
    assert wrong < 1.0


def test_what_was_not_tested_follows_as_far_as_parts_have_in_common() -> None:
    group = learned(players_tested(0, 40, 2.0, error=SURE)).group
    pace = PART_IDS.index("putt.pace")
    assert 0.1 < group.mean[pace] < group.mean[AT].mean()
    assert group.covariance[pace, pace] > np.diag(group.covariance)[AT].max()


def test_one_player_alone_is_no_group_and_idle_ones_do_not_speak() -> None:
    evidence = players_tested(0, 2, 1.0)
    assert learn_group({}) is None
    assert learn_group({0: evidence[0]}) is None
    rng = np.random.default_rng(0)
    idle = ResponseEvidence(
        RESPONSES, two_tests(truly(1.0, rng), practice(rng, ()), rng, error=0.1, drift=0.0), practice(rng, ())
    )
    assert not idle.speaks
    assert learn_group({0: evidence[0], 1: idle}) is None


def test_without_a_player_is_as_if_never_seen() -> None:
    evidence = players_tested(3, 12, 1.5, error=SURE)
    with_all = learned(evidence)
    fewer = learned({player: each for player, each in evidence.items() if player != 5})
    assert with_all.of(5).mean[AT] == pytest.approx(fewer.group.mean[AT], abs=0.03)
    assert with_all.of(99) is with_all.group


def test_slopes_and_curvatures_are_those_of_the_likelihood() -> None:
    place = np.zeros(QUESTIONS)
    place[[*AT, DRIFT]] = [0.3, -0.2, 0.1, 0.4, 0.02]
    one = players_tested(0, 2, 1.0, error=SURE)[0]
    curve = one.at(place)
    for question in (*AT, DRIFT):
        aside = np.zeros(QUESTIONS)
        aside[question] = 1e-4
        low, high = one.at(place - aside), one.at(place + aside)
        assert (high.value - low.value) / 2e-4 == pytest.approx(curve.slope[question], rel=1e-4, abs=1e-5)
        assert (high.slope - low.slope) / 2e-4 == pytest.approx(curve.curvature[question], rel=1e-3, abs=1e-3)


def test_a_group_that_says_nothing_is_the_assumption() -> None:
    """Two levels, drawn one after the other, are as wide together as the one of a player without a roster."""
    nothing = GroupResponse(np.zeros(len(PART_IDS)), group_covariance(), 0)
    drawn = draw_responses(RESPONSES, 20_000, np.random.default_rng(0), nothing)
    logs = np.log(drawn.most_steps / np.array([each.most_steps for each in RESPONSES]))
    assert logs.mean(axis=0) == pytest.approx(0.0, abs=0.02)
    assert logs.std(axis=0) == pytest.approx(MOST_LOG_SD, rel=0.03)
    assert np.corrcoef(logs[:, 3], logs[:, 20])[0, 1] == pytest.approx(COMMON_SHARE, abs=0.03)


def test_a_drill_that_does_nothing_for_a_fifth_is_no_weak_drill_for_all() -> None:
    """Negative control: the same tests read as if drills worked for everybody."""
    told, deaf = (
        [
            factors(
                learned(
                    players_tested(seed, 40, 1.0, error=SURE, useless=0.2, believed_useless=believed)
                ).group
            )
            for seed in range(3)
        ]
        for believed in (None, 0.0)
    )
    assert np.mean(told) >= 0.85
    assert np.mean(deaf) <= np.mean(told) - 0.07
    assert all(one > other for one, other in zip(told, deaf, strict=True))


@pytest.mark.slow
def test_ranges_hold_what_they_promise_and_middles_lean_nowhere() -> None:
    """Groups drawn from the assumption, a season that drifts, drills that fail, few and many balls.

    Negative control: the most likely factors, which are too high for a middle.
    """
    off, off_of_top = [], []
    for seed in range(80):
        rng = np.random.default_rng([seed, 5])
        truth = rng.multivariate_normal(np.zeros(len(PART_IDS)), group_covariance())
        error, drift = (SIXTY_BALLS, SURE)[seed % 2], DRIFT_SD * rng.standard_normal()
        evidence = players_tested(seed, 16, np.exp(truth), error=error, drift=drift, useless=CHANCE_USELESS)
        group, top = learned(evidence).group, likeliest(evidence)
        off.append(in_deviations(group.mean, group.covariance, truth))
        off_of_top.append(in_deviations(top.mean, top.covariance, truth))
    assert 0.87 <= np.mean(np.abs(off) <= 1.645) <= 0.93
    assert abs(np.mean(off)) <= 0.1
    assert np.mean(off_of_top) > 0.12
