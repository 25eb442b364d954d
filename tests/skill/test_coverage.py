"""Calibration over few simulated players; ``python tests/validation --only posterior`` fits a thousand."""

import numpy as np
import pytest
from calibration import calibrate, coverage, measured_biases, rank_counts, rank_p_values, smallest_adjusted
from simulated_records import draw_player

from rangework.skill.parts import PART_IDS

PLAYERS = 24


def test_players_are_drawn_from_the_prior_and_again_the_same() -> None:
    one, again = draw_player(3), draw_player(3)
    np.testing.assert_array_equal(one.truth, again.truth)
    assert one.records.aimed.equals(again.records.aimed)
    assert not np.array_equal(one.truth, draw_player(4).truth)


def test_few_intervals_hold_the_truth() -> None:
    found = calibrate(range(3), n_draws=400)
    assert coverage(found).mean() > 0.7
    assert rank_counts(found, 20).sum() == 3 * len(PART_IDS)


def test_even_ranks_pass_and_uneven_ones_fail() -> None:
    class Ranked:
        def __init__(self, rank: np.ndarray) -> None:
            self.rank = rank

    rng = np.random.default_rng(0)
    even = [Ranked(rng.integers(0, 101, 24)) for _ in range(400)]
    narrow = [Ranked(np.clip(rng.normal(50.0, 40.0, 24), 0, 100).astype(int)) for _ in range(400)]
    assert smallest_adjusted(rank_p_values(even, 20)) > 0.05
    assert smallest_adjusted(rank_p_values(narrow, 20)) < 1e-6


@pytest.mark.slow
def test_ninety_percent_intervals_hold_the_truth() -> None:
    found = calibrate(range(PLAYERS))
    assert 0.85 <= coverage(found).mean() <= 0.95
    assert smallest_adjusted(rank_p_values(found, 5)) > 0.05


@pytest.mark.slow
def test_intervals_are_too_narrow_when_sessions_are_ignored() -> None:
    """Biases suffer most: days that lean left or right are taken for many balls' worth of bias."""
    seeds = [seed for seed in range(80) if draw_player(seed).mix in ("all", "range")][:12]
    with_sessions, without = (calibrate(seeds, session_effects=effects) for effects in (True, False))
    assert measured_biases(without) < 0.75
    assert measured_biases(with_sessions) > 0.80
