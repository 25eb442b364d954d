"""The arithmetic of the ranking study, on worths that are made up; the study itself is a section."""

from __future__ import annotations

import numpy as np
import pytest
from drill_ranking import (
    Studied,
    lost_by_week,
    ranked,
    saved_by_best_week,
    study,
    told_payoffs,
    true_payoffs,
)
from recorded_players import hidden_player, records_of

from rangework.plan.drills import drill_catalogue
from rangework.skill.parts import PART_IDS


def made_up(seed: int = 0) -> Studied:
    rng = np.random.default_rng(seed)
    true = rng.uniform(0.0, 0.6, len(PART_IDS))
    found = {50: true * np.exp(0.8 * rng.standard_normal((20, true.size))), 5000: np.tile(true, (20, 1))}
    return Studied(seed, 12.0, 12.0, true, true, found)


def test_ranked_on_three_choices() -> None:
    true = [np.array([0.3, 0.2, 0.1]), np.array([0.1, 0.2, 0.4])]
    found = ranked(true, [np.array([2.0, 1.0, 0.0]), np.array([1.0, 3.0, 2.0])])
    assert found.place.tolist() == [0, 1]
    assert found.lost == pytest.approx([0.0, 0.2])
    assert (found.within(1), found.within(2)) == (0.5, 1.0)


def test_who_knows_the_truth_loses_nothing_in_a_week() -> None:
    player = made_up()
    assert lost_by_week(player, player.true) == pytest.approx(0.0, abs=0.01)
    assert saved_by_best_week(player) > 0.5
    misled = np.zeros_like(player.true)
    misled[PART_IDS.index("bunker")] = 1.0
    assert lost_by_week(player, misled) > 0.2


def test_payoffs_told_of_the_truth_are_near_the_true_ones() -> None:
    """They differ by the hundred responses that a plan draws."""
    player = made_up()
    assert told_payoffs(player, 5000) == pytest.approx(true_payoffs(player), rel=0.12, abs=0.005)
    assert len(true_payoffs(player)) == len(drill_catalogue())


def test_a_ranking_by_truth_loses_less_than_one_by_noise() -> None:
    players = [made_up(seed) for seed in range(12)]
    true = [true_payoffs(player) for player in players]
    well, badly = (ranked(true, [told_payoffs(p, amount) for p in players]) for amount in (5000, 50))
    assert well.lost.mean() < 0.25 * badly.lost.mean()


@pytest.mark.parametrize("balls", [50, 150, 500, 1500])
def test_records_hold_about_as_many_balls_as_asked_for(balls: int) -> None:
    records = records_of(hidden_player(3), balls)
    # a round holds as many putts as it takes
    assert records.n_balls == pytest.approx(balls, rel=0.08)
    assert bool(len(records.log)) == (balls >= 150)


@pytest.mark.slow
def test_the_number_of_processes_changes_nothing() -> None:
    alone, together = (study([0, 1], [50], 2, processes) for processes in (1, 2))
    for first, second in zip(alone, together, strict=True):
        assert np.array_equal(first.true, second.true)
        assert np.array_equal(first.found[50], second.found[50])
