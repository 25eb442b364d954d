"""Returns of practice: concave, fading without it, drawn about their median."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.plan.drills import CHANCE_USELESS, drill_catalogue, shares
from rangework.plan.response import (
    ResponseDraws,
    ResponseOverride,
    draw_responses,
    level_of,
    responses_for,
    steps_of_share,
)
from rangework.plan.returns import net_steps, pair_draws
from rangework.plan.working_drills import draw_working
from rangework.skill.parts import PART_IDS


def test_half_of_the_gain_takes_half_hours() -> None:
    draws = draw_responses(responses_for(10.0), 5, np.random.default_rng(1))
    weeks = 8.0
    at_half = net_steps(draws.half_hours / weeks, draws, weeks)
    kept = draws.half_hours / weeks >= draws.maintenance_hours_per_week
    assert kept.mean() > 0.9
    np.testing.assert_allclose(at_half[kept], 0.5 * draws.most_steps[kept])


def test_hours_practised_before_are_not_gained_again() -> None:
    """Four weeks after four weeks bring what eight weeks bring; a fresh start would promise more."""
    draws = draw_responses(responses_for(10.0), 50, np.random.default_rng(1))
    after = replace(draws, hours_before=np.full(len(PART_IDS), 4.0))
    whole = net_steps(1.0, draws, 8.0)
    np.testing.assert_allclose(net_steps(1.0, draws, 4.0) + net_steps(1.0, after, 4.0), whole)
    assert (2.0 * net_steps(1.0, draws, 4.0) > whole).all()


def test_a_drill_that_does_not_work_trains_nothing(responses: ResponseDraws) -> None:
    drills = drill_catalogue()
    working = draw_working(drills, 120, np.random.default_rng(3))
    returns = pair_draws(np.ones(len(PART_IDS)), replace(responses, working=working), 8.0)
    acting = returns.acting(drills)
    useless = working[drills[0].id] == 0.0
    assert useless.sum() == pytest.approx(120 * CHANCE_USELESS, abs=1.0)
    assert not acting[useless, 0].any()
    np.testing.assert_allclose(
        acting[~useless, 0], np.broadcast_to(shares(drills)[0], acting[~useless, 0].shape)
    )
    assert pair_draws(np.ones(len(PART_IDS)), responses, 8.0).acting(drills).shape[0] == 1


def test_few_draws_have_the_mean_of_many() -> None:
    """Luck spread evenly: 100 draws miss the mean of 20,000 by less than three quarters of what chance would."""
    few, many = (draw_responses(responses_for(10.0), n, np.random.default_rng(n)) for n in (100, 20_000))
    off = few.most_steps.mean(axis=0) / many.most_steps.mean(axis=0) - 1.0
    by_chance = many.most_steps.std(axis=0) / many.most_steps.mean(axis=0) / 10.0
    assert np.sqrt(np.mean((off / by_chance) ** 2)) < 0.75


def test_fading_follows_the_published_retention() -> None:
    """Tatel & Ackerman 2025: 0.9758 of a gain is kept per week; half is at stake (assumption)."""
    draws = draw_responses(responses_for(10.0), 5, np.random.default_rng(1))
    putting = PART_IDS.index("putt.line")
    faded = net_steps(0.0, draws, 8.0)[:, putting]
    np.testing.assert_allclose(faded, -0.5 * draws.most_steps[:, putting] * (1.0 - 0.9758**8))
    # half of an accuracy gain is gone in about 6.5 months
    kept_in_half_a_life = 0.9758 ** (6.5 * 52.18 / 12.0)
    assert kept_in_half_a_life == pytest.approx(0.5, abs=0.005)


def test_maintenance_hours_stop_the_fading() -> None:
    draws = draw_responses(responses_for(10.0), 50, np.random.default_rng(1))
    assert (net_steps(0.0, draws, 8.0) < 0.0).all()
    assert (net_steps(draws.maintenance_hours_per_week, draws, 8.0) > 0.0).all()


@given(
    seed=st.integers(0, 10_000),
    weeks=st.floats(1.0, 30.0),
    hours=st.tuples(st.floats(0.0, 20.0), st.floats(0.0, 20.0)),
    handicap=st.floats(-5.0, 40.0),
)
def test_returns_grow_and_are_concave(
    seed: int, weeks: float, hours: tuple[float, float], handicap: float
) -> None:
    draws = draw_responses(responses_for(handicap), 3, np.random.default_rng(seed))
    low, high = sorted(hours)
    at_low, at_high = net_steps(low, draws, weeks), net_steps(high, draws, weeks)
    assert (at_high >= at_low - 1e-12).all()
    assert (net_steps(0.5 * (low + high), draws, weeks) >= 0.5 * (at_low + at_high) - 1e-12).all()


def test_draws_centre_on_the_assumption_and_are_wide() -> None:
    median = responses_for(10.0)[PART_IDS.index("putt.line")]
    draws = draw_responses(responses_for(10.0), 20_000, np.random.default_rng(3))
    logs = np.log(draws.half_hours[:, PART_IDS.index("putt.line")])
    assert np.exp(np.median(logs)) == pytest.approx(median.half_hours, rel=0.03)
    assert logs.std() == pytest.approx(0.7, rel=0.03)
    # a quarter of the variance is common to all parts of a player
    other = np.log(draws.half_hours[:, PART_IDS.index("chip")])
    assert np.corrcoef(logs, other)[0, 1] == pytest.approx(0.25, abs=0.03)


def test_no_draw_removes_more_than_there_is() -> None:
    draws = draw_responses(responses_for(36.0), 5_000, np.random.default_rng(3))
    assert draws.most_steps[:, PART_IDS.index("tee.bias")].max() <= steps_of_share("bias", 0.9) + 1e-9
    assert draws.most_steps[:, PART_IDS.index("putt.line")].max() <= steps_of_share("spread", 0.5) + 1e-9


def test_levels_meet_without_a_gap() -> None:
    names = [level_of(handicap).name for handicap in (-4.0, 0.0, 0.1, 5.0, 12.0, 20.0, 54.0)]
    assert names == ["scratch_or_better", "scratch_or_better", "to_5", "to_5", "to_12", "to_20", "above_20"]


def test_a_coach_changes_one_part_only() -> None:
    changed = responses_for(10.0, {"chip": ResponseOverride(half_hours=3.0)})
    for before, after in zip(responses_for(10.0), changed, strict=True):
        assert (before == after) == (before.part != "chip")
    chip = changed[PART_IDS.index("chip")]
    assert chip.half_hours == 3.0
    assert chip.basis == "assumption.plan.response.coach"


def test_fewer_draws_are_used_again(responses: ResponseDraws) -> None:
    mean = np.ones(len(PART_IDS))
    paired = pair_draws(mean, responses, 8.0)
    assert paired.saved.shape == responses.most_steps.shape
    hours = np.full(len(PART_IDS), 0.3)
    assert paired.savings(hours).mean() == pytest.approx(float(paired.mean_saving(hours)))
