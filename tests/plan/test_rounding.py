"""Objectives step by step against their direct value; the worst fifth against its definition."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from rangework.plan.drills import drill_catalogue, shares
from rangework.plan.objective import MeanSaving, Objective, WorstSaving, worst_mean
from rangework.plan.response import ResponseDraws
from rangework.plan.returns import pair_draws
from rangework.plan.working_drills import draw_working

FloatArray = NDArray[np.float64]


def test_worst_fifth_of_whole_and_broken_counts() -> None:
    assert worst_mean(np.arange(10.0)) == pytest.approx(0.5)
    # a fifth of 7 draws is 1.4 draws: the worst whole, the next for 0.4
    assert worst_mean(np.array([5.0, 1.0, 2.0, 9.0, 9.0, 9.0, 9.0])) == pytest.approx((1.0 + 0.4 * 2.0) / 1.4)


@given(st.lists(st.floats(-5.0, 5.0), min_size=1, max_size=30))
def test_worst_fifth_is_the_maximum_over_levels(values: list[float]) -> None:
    """Rockafellar & Uryasev 2000: the tail mean is the maximum of t - mean(max(0, t - x)) / share."""
    savings = np.array(values)
    levels = [level - np.maximum(0.0, level - savings).mean() / 0.2 for level in savings]
    assert worst_mean(savings) == pytest.approx(max(levels), abs=1e-9)


def test_each_drill_alone_changes_the_objective_as_a_plan_would(
    saved: FloatArray, responses: ResponseDraws
) -> None:
    drills = drill_catalogue()
    rng = np.random.default_rng(5)
    some_fail = replace(responses, working=draw_working(drills, 120, rng), hours_before=np.full(24, 3.0))
    returns = pair_draws(saved, some_fail, 8.0)
    acting = shares(drills)
    hours = rng.uniform(0.0, 0.5, len(acting)) * (rng.random(len(acting)) < 0.4)
    longer = rng.uniform(0.05, 1.0, len(acting))
    objectives: list[Objective] = [MeanSaving(returns, drills), WorstSaving(returns.thinned(50), drills)]
    for objective in objectives:
        direct = [objective.value(hours + longer * one) for one in np.eye(len(acting))]
        np.testing.assert_allclose(objective.after(hours, longer), direct, atol=1e-12)
