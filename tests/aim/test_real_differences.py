"""*No real difference* is said where there is none, and a difference that matters is found."""

from __future__ import annotations

import numpy as np
import pytest
from difference_study import Told, found_right, told

# `python tests/aim/difference_study.py` takes more
PLAYERS, FEW_PLAYERS, FEW_BALLS = 30, 12, 60


@pytest.fixture(scope="module")
def players() -> list[Told]:
    """Simulated players with 1,000 balls each."""
    return [told(seed) for seed in range(PLAYERS)]


@pytest.mark.slow
def test_targets_that_cost_the_same_are_called_so(players: list[Told]) -> None:
    assert np.mean([not each.same.is_real for each in players]) >= 0.85


@pytest.mark.slow
def test_a_twentieth_of_a_stroke_is_found_in_a_thousand_balls(players: list[Told]) -> None:
    assert np.mean([found_right(each.apart) for each in players]) >= 0.85
    assert np.mean([each.apart.amount.value for each in players]) == pytest.approx(0.05, abs=0.01)


@pytest.mark.slow
def test_few_balls_show_less() -> None:
    """Negative control: the same difference is missed for many of those who hit 60 balls."""
    assert np.mean([found_right(told(seed, FEW_BALLS).apart) for seed in range(FEW_PLAYERS)]) <= 0.75
