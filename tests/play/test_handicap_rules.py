"""Unit behaviour of the handicap arithmetic; the published worked examples are in tests/validation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.errors import InputError
from rangework.play.handicap import (
    FEWER_THAN_TWENTY,
    adjusted_gross_score,
    block_averages,
    capped,
    handicap_index,
    highest_hole_scores,
    round_half_up,
    score_differential,
    simulated_index,
    slope_rating,
    strokes_received,
)

EIGHTEEN = np.array([7, 3, 15, 1, 11, 9, 17, 5, 13, 8, 4, 16, 2, 12, 10, 18, 6, 14])


@given(st.integers(-9999, 9999))
def test_halves_written_in_decimals_go_up(hundredths: int) -> None:
    expected = (hundredths + 5) // 10 / 10.0
    assert float(round_half_up(hundredths / 100.0, 1)) == pytest.approx(expected, abs=1e-9)


def test_differentials_of_many_rounds_at_once() -> None:
    assert score_differential([[80, 81], [82, 72]], 72.0, 113.0).tolist() == [[8.0, 9.0], [10.0, 0.0]]


def test_two_scores_give_no_index() -> None:
    with pytest.raises(InputError, match="at least 3 scores"):
        handicap_index([10.0, 11.0])


def test_only_the_last_twenty_scores_count() -> None:
    assert handicap_index([-5.0] * 10 + [10.0] * 20) == 10.0


def test_index_stops_at_54() -> None:
    assert handicap_index([70.0] * 20) == 54.0


def test_caps_need_a_full_record() -> None:
    assert handicap_index([20.0] * 19, low_index=5.0) == 20.0
    assert handicap_index([20.0] * 20, low_index=5.0) == 10.0


@given(st.floats(-5, 54), st.floats(-5, 54), st.floats(0, 10))
def test_caps_hold_a_rise_and_never_turn_it_round(low: float, average: float, more: float) -> None:
    assert capped(average, low) <= max(average, low + 5.0)
    assert capped(average, low) <= average
    assert capped(average + more, low) >= capped(average, low)


@given(st.integers(-10, 80))
def test_strokes_received_add_up_to_the_course_handicap(handicap: int) -> None:
    strokes = strokes_received(handicap, EIGHTEEN)
    assert strokes.sum() == handicap
    assert np.ptp(strokes) <= 1
    order = np.argsort(EIGHTEEN)
    assert np.all(np.diff(strokes[order]) <= 0)


def test_plus_handicap_gives_strokes_back_where_the_stroke_index_is_highest() -> None:
    strokes = strokes_received(-2, EIGHTEEN)
    assert sorted(EIGHTEEN[strokes == -1]) == [17, 18]


def test_nine_holes_of_a_card_with_odd_stroke_indices() -> None:
    assert strokes_received(4, [1, 17, 5, 9, 3, 11, 15, 7, 13]).tolist() == [1, 0, 1, 0, 1, 0, 0, 1, 0]


def test_holes_are_capped_before_they_are_added() -> None:
    par = np.full(18, 4)
    rounds = np.full((2, 18), 4)
    rounds[1, 0] = 12
    assert adjusted_gross_score(rounds, highest_hole_scores(par, EIGHTEEN, 0)).tolist() == [72, 74]
    assert adjusted_gross_score(rounds, highest_hole_scores(par, EIGHTEEN, None)).tolist() == [72, 77]


def test_slope_is_a_whole_number_within_its_range() -> None:
    assert slope_rating(70.0, 75.0) == 55.0
    assert slope_rating(70.0, 110.0) == 155.0
    assert slope_rating(72.0, 96.0) == 129.0


def test_blocks_leave_out_an_unfinished_record() -> None:
    values = np.concatenate([np.arange(20.0), np.arange(20.0) + 1.0, [-50.0]])
    assert block_averages(values).tolist() == [3.5, 4.5]
    assert simulated_index(values) == 4.0
    with pytest.raises(InputError, match="at least 20 rounds"):
        simulated_index(values[:19])


@given(st.lists(st.floats(-10, 60), min_size=20, max_size=20))
def test_simulated_index_of_one_record_is_its_index_before_rounding(values: list[float]) -> None:
    assert min(simulated_index(values), 54.0) == pytest.approx(handicap_index(values), abs=0.0500001)


def test_table_covers_3_to_20_scores() -> None:
    assert sorted(FEWER_THAN_TWENTY) == list(range(3, 21))
