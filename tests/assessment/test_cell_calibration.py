"""Ranges of cells hold the truth nine times in ten, and a cell called weakest at p is the weakest p of the time."""

from __future__ import annotations

import numpy as np
import pytest
from calibration_study import Called, by_handicap, cards_called, from_records, too_sure
from retest_study import prior
from simulated_players import Days


def excess(found: list[Called]) -> float:
    """How much more is said of the weakest cells than is true, in standard errors."""
    said, right = (
        np.array([getattr(each, name) for each in found], dtype=float) for name in ("said", "right")
    )
    return float((said - right).mean() / np.sqrt((said * (1.0 - said)).sum()) * len(found))


def inside(found: list[Called]) -> float:
    return float(np.mean([each.inside for each in found]))


def test_ranges_and_probabilities_of_a_card_hold() -> None:
    found = list(cards_called(by_handicap, range(50), 60, sessions=12))
    assert 0.84 < inside(found) < 0.97
    assert abs(excess(found)) < 3.0


def test_being_too_sure_is_seen() -> None:
    """Negative control."""
    assert inside(list(cards_called(too_sure, range(20), 20, sessions=12))) < 0.75


@pytest.mark.slow
def test_of_few_balls_without_shrinkage_too_much_is_made() -> None:
    """Negative control: whoever trusts the card alone is far too sure of the weakest cell."""
    found = cards_called(lambda _player, _seed: prior().without_sharing(), range(100), 20, sessions=15)
    assert excess(list(found)) > 5.0


@pytest.mark.slow
def test_what_records_say_before_a_card_of_few_balls_holds() -> None:
    found = list(
        cards_called(lambda player, seed: from_records(player, seed, Days()), range(16), 20, sessions=40)
    )
    assert 0.8 < inside(found) <= 1.0
    assert abs(excess(found)) < 3.0
