"""Putts from the usual first putts: seen through a polynomial, they agree with the tables of the putting model."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.skill import coordinates as c
from rangework.skill.putting import (
    READING_RATIO_PER_M,
    PuttingSkill,
    expected_putts,
    putt_tables,
    reference_putting,
)
from rangework.skill.reference import reference_golfer
from rangework.skill.usual_putts import (
    FIRST_PUTTS_M,
    LINE_RAD,
    PACE,
    putts_a_round,
    putts_of,
    reference_putts,
)


def golfers(line_rad: np.ndarray, pace: np.ndarray, past_m: np.ndarray | float = 0.2) -> np.ndarray:
    x = np.tile(c.golfer_coordinates(reference_golfer(10.0)), (line_rad.size, 1))
    x[:, c.LN_LINE], x[:, c.LN_PACE], x[:, c.LN_AIM_PAST] = np.log(line_rad), np.log(pace), np.log(past_m)
    return x


@pytest.mark.parametrize(("spread", "within"), [(0.2, 0.001), (0.9, 0.03)])
def test_many_golfers_have_the_putts_of_their_tables(spread: float, within: float) -> None:
    z = np.random.default_rng(8).uniform(-1.0, 1.0, (3, 400))
    line, pace, past = np.exp(np.log([[0.04], [0.11], [0.2]]) + spread * z)
    tables = [
        putts_of(PuttingSkill(a, READING_RATIO_PER_M * a, b, each))
        for a, b, each in zip(line.tolist(), pace.tolist(), past.tolist(), strict=True)
    ]
    np.testing.assert_allclose(putts_a_round(golfers(line, pace, past)), tables, atol=within)


@pytest.mark.parametrize("handicap", [-5.0, 0.0, 12.0, 36.0])
def test_coarse_tables_count_as_fine_ones_do(handicap: float) -> None:
    skill = reference_putting(handicap)
    fine = expected_putts(FIRST_PUTTS_M, putt_tables(skill)).sum()
    assert putts_of(skill) == pytest.approx(fine, abs=0.08)


def test_beyond_the_edge_a_golfer_counts_as_at_the_edge() -> None:
    line, pace = np.array([LINE_RAD[1], 2.0 * LINE_RAD[1]]), np.array([PACE[1], 3.0 * PACE[1]])
    at_edge, beyond = putts_a_round(golfers(line, pace))
    assert at_edge == beyond


def test_reference_golfers_take_more_putts_the_higher_their_handicap() -> None:
    handicaps, putts = reference_putts(-5.0, 54.0)
    assert (handicaps[0], handicaps[-1], handicaps.size) == (-5.0, 54.0, putts.size)
    assert np.all(np.diff(putts) > 0.0)


@pytest.mark.slow
@pytest.mark.parametrize(("handicap", "within"), [(15.0, 0.05), (0.0, 0.25), (30.0, 0.25)])
def test_first_putts_are_those_of_golfers_on_standard_holes(handicap: float, within: float) -> None:
    """Other levels differ by less than a quarter: nearer for the scratch golfer, further for one of 30."""
    from standard_rounds import first_putts_m

    found = first_putts_m(reference_golfer(handicap), FIRST_PUTTS_M.size)
    assert found.sum() == pytest.approx(FIRST_PUTTS_M.sum(), rel=within)
    np.testing.assert_allclose(found, FIRST_PUTTS_M, rtol=2.0 * within, atol=0.2)
