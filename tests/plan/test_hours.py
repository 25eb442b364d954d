"""The hours program against closed forms, enumeration, its own duals and invariants."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from rangework.errors import InputError, NoFeasiblePlanError
from rangework.estimate import unknown_bases
from rangework.plan.drills import Drill, drill_catalogue, shares
from rangework.plan.hours import allocate_hours
from rangework.plan.hours_program import HoursProblem, solve_relaxed
from rangework.plan.limit_rows import available_drills, limit_rows
from rangework.plan.limits import Limits
from rangework.plan.practice_plan import PracticePlan
from rangework.plan.response import ResponseDraws, draw_responses, responses_for
from rangework.plan.returns import PracticeReturns, pair_draws
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]
PARTS_COUNT = len(PART_IDS)


def certain(most: FloatArray, half: FloatArray) -> ResponseDraws:
    """One response draw without fading."""
    none = np.zeros(PARTS_COUNT)
    return ResponseDraws(most[np.newaxis], half[np.newaxis], none, none + 0.15, ("data",))


def relaxed_problem(
    saved: FloatArray, responses: ResponseDraws, drills: tuple[Drill, ...], limits: Limits
) -> HoursProblem:
    available = available_drills(limits, drills)
    return HoursProblem(
        available, pair_draws(saved, responses, 8.0), limit_rows(limits, available), limits.budget
    )


def minutes(plan: PracticePlan) -> dict[str, int]:
    return {block.drill: block.minutes for block in plan.hours}


def water_filled(worth: FloatArray, most: FloatArray, half: FloatArray, budget: float) -> FloatArray:
    """Hours where every used part returns the same at the margin: the optimum of one budget row.

    worth most half weeks / (weeks h + half)^2 = price, solved by bisection on the price.
    """
    weeks = 8.0
    low, high = 1e-9, float((worth * most * weeks / half).max())
    for _ in range(200):
        price = math.sqrt(low * high)
        hours = np.maximum(0.0, (np.sqrt(worth * most * half * weeks / price) - half) / weeks)
        low, high = (price, high) if hours.sum() > budget else (low, price)
    return hours


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("budget", [1.0, 6.0, 20.0])
def test_one_budget_row_meets_the_closed_form(
    seed: int, budget: float, plain_drills: tuple[Drill, ...]
) -> None:
    rng = np.random.default_rng(seed)
    worth, most, half = rng.uniform((0.0, 0.3, 3.0), (1.0, 2.0, 40.0), (PARTS_COUNT, 3)).T
    problem = relaxed_problem(
        worth, certain(most, half), plain_drills, Limits(hours=budget, largest_share=1.0)
    )
    relaxed = solve_relaxed(problem)
    best = problem.saving(water_filled(worth, most, half, budget))
    assert relaxed.value <= best + 1e-9
    assert relaxed.value == pytest.approx(best, rel=0.001)
    # the price of the budget row is the common marginal return, within what segments allow
    longer = problem.saving(water_filled(worth, most, half, budget + 0.01))
    assert relaxed.row_prices["hours"] == pytest.approx((longer - best) / 0.01, rel=0.12)


def test_primal_equals_dual(saved: FloatArray, responses: ResponseDraws) -> None:
    for limits in (
        Limits(hours=6.0),
        Limits(hours=9.0, full_swings_per_week=60),
        Limits(hours_by_place={"range": 4.0, "home": 1.0}, full_swings_per_day=20),
        Limits(hours=5.0, least_hours_by_drill={"slow_swings": 1.0}, least_hours_by_part={"bunker": 0.5}),
    ):
        problem = relaxed_problem(saved, responses, drill_catalogue(), limits)
        relaxed = solve_relaxed(problem)
        assert relaxed.dual_value == pytest.approx(relaxed.value, abs=1e-7)
        # the prices are dual feasible: no drill's hour returns more than it costs
        cost = sum(
            (1.0 if row.sense == "<=" else -1.0) * relaxed.row_prices[row.name] * row.coefficients
            for row in problem.rows
        )
        assert (problem.acting @ relaxed.part_prices <= cost + 1e-7).all()


def test_small_case_meets_enumeration(saved: FloatArray, responses: ResponseDraws) -> None:
    """Three drills, two hours: every plan in five-minute steps with least blocks is tried."""
    names = ("putts_through_a_gate", "long_putts_holed_out", "chips_to_a_landing_spot")
    drills = tuple(drill for drill in drill_catalogue() if drill.id in names)
    plan = allocate_hours(saved, responses, drills, Limits(hours=2.0, largest_share=0.5))
    steps = [0, *range(15, 65, 5)]
    tried = np.array([week for week in itertools.product(steps, repeat=3) if sum(week) <= 120]) / 60.0
    least = np.array([drill.least_block_minutes / 60.0 for drill in drills])
    tried = tried[((tried == 0.0) | (tried >= least)).all(axis=1)]
    returns = pair_draws(saved, responses, 8.0)
    best = max(float(returns.mean_saving(week @ shares(drills))) for week in tried)
    assert plan.strokes_saved.value == pytest.approx(best, abs=5e-4)
    assert plan.strokes_saved.value <= best + 1e-9


@pytest.mark.slow
def test_a_drill_under_another_name_earns_nothing(saved: FloatArray, responses: ResponseDraws) -> None:
    drills = drill_catalogue()
    for limits in (Limits(hours=5.0, largest_share=0.2), Limits(hours=1.0)):
        once = allocate_hours(saved, responses, drills, limits, robust_draws=10)
        again = tuple(replace(drill, id=f"{drill.id}_again") for drill in drills)
        twice = allocate_hours(saved, responses, (*drills, *again), limits, robust_draws=10)
        assert twice.relaxed.value == pytest.approx(once.relaxed.value, abs=1e-6)
        assert twice.strokes_saved.value == pytest.approx(once.strokes_saved.value, abs=0.001)
        assert sum(q.chance_best for q in twice.payoffs) == pytest.approx(1.0)


def test_a_better_drill_earns_something(saved: FloatArray, responses: ResponseDraws) -> None:
    """Negative control of the test above: a drill that really trains more is noticed."""
    better = Drill("better", "Better", "putting_green", {"putt.line": 0.5, "putt.pace": 0.5}, 60, 0, 15)
    limits = Limits(hours=6.0)
    before = allocate_hours(saved, responses, drill_catalogue(), limits).strokes_saved.value
    after = allocate_hours(saved, responses, (*drill_catalogue(), better), limits).strokes_saved.value
    assert after > before + 0.01


@settings(max_examples=6, deadline=None)
@given(
    seed=st.integers(0, 1_000),
    hours=st.floats(0.5, 14.0),
    more=st.floats(0.0, 5.0),
    swings=st.integers(0, 250),
    share=st.floats(0.1, 1.0),
)
def test_more_hours_never_save_less(seed: int, hours: float, more: float, swings: int, share: float) -> None:
    rng = np.random.default_rng(seed)
    saved = rng.exponential(0.2, (20, PARTS_COUNT))
    responses = draw_responses(responses_for(float(rng.uniform(-3, 36))), 20, rng)
    plans = [
        allocate_hours(
            saved,
            responses,
            drill_catalogue(),
            Limits(hours=budget, full_swings_per_week=swings, largest_share=share),
            robust_draws=20,
        )
        for budget in (hours, hours + more)
    ]
    less, longer = plans
    assert longer.relaxed.value >= less.relaxed.value - 0.002  # knots move with the budget
    assert longer.strokes_saved.value >= less.strokes_saved.value - 0.02  # blocks and five minutes
    for plan, budget in zip(plans, (hours, hours + more), strict=True):
        assert sum(block.minutes for block in plan.hours) <= 60.0 * budget + 1e-6
        assert sum(block.full_swings for block in plan.hours) <= swings + 0.5 * len(plan.hours)
        assert plan.strokes_saved.value >= plan.no_practice.value - 1e-9
        assert plan.relaxed.value >= plan.strokes_saved.value - 0.003
        least = {drill.id: drill.least_block_minutes for drill in drill_catalogue()}
        assert all(block.minutes % 5 == 0 and block.minutes >= least[block.drill] for block in plan.hours)
        robust = plan.robust
        assert robust.strokes_saved.value <= plan.strokes_saved.value + 1e-9
        assert robust.worst_fifth >= robust.mean_plan_worst_fifth - 1e-9


def test_prices_of_an_hour_bracket_real_hours(saved: FloatArray, responses: ResponseDraws) -> None:
    """Right derivative <= price <= left derivative, at places with and without hours."""
    limits = Limits(hours_by_place={"range": 3.0, "putting_green": 2.0})
    plan = allocate_hours(saved, responses, drill_catalogue(), limits)

    def value(place: str, extra: float) -> float:
        by_place = dict(limits.hours_by_place)
        by_place[place] = by_place.get(place, 0.0) + extra
        problem = relaxed_problem(saved, responses, drill_catalogue(), Limits(hours_by_place=by_place))
        return solve_relaxed(problem).value

    for place, worth in plan.one_more_hour.by_place.items():
        rising = (value(place, 0.05) - plan.relaxed.value) / 0.05
        assert worth.price >= rising - 0.01, place
        if place in limits.hours_by_place:
            falling = (plan.relaxed.value - value(place, -0.05)) / 0.05
            assert worth.price <= falling + 0.01, place
        assert worth.whole_hour <= worth.price + 0.003
    assert plan.one_more_hour.any.price == max(w.price for w in plan.one_more_hour.by_place.values())


def test_a_binding_limit_names_its_price(saved: FloatArray, responses: ResponseDraws) -> None:
    tight = Limits(hours_by_place={"range": 4.0}, full_swings_per_week=50)
    plan = allocate_hours(saved, responses, drill_catalogue(), tight)
    price = {limit.name: limit.price for limit in plan.binding}["full_swings_per_week"]
    wider = allocate_hours(saved, responses, drill_catalogue(), replace(tight, full_swings_per_week=52))
    assert price == pytest.approx((wider.relaxed.value - plan.relaxed.value) / 2.0, rel=0.15)
    assert "hours.range" not in {limit.name for limit in plan.binding} or price > 0.0


def test_swings_of_a_day_bind_over_the_practice_days(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = Limits(hours_by_place={"range": 6.0}, full_swings_per_day=30, practice_days=2)
    plan = allocate_hours(saved, responses, drill_catalogue(), limits)
    assert sum(block.full_swings for block in plan.hours) <= 60 + len(plan.hours)
    assert "full_swings_per_day" in {limit.name for limit in plan.binding}


def test_what_a_place_cannot_train_is_said(saved: FloatArray, responses: ResponseDraws) -> None:
    plan = allocate_hours(saved, responses, drill_catalogue(), Limits(hours_by_place={"putting_green": 2.0}))
    assert "tee.carry" in plan.untrainable
    assert "putt.line" not in plan.untrainable
    assert plan.steps["tee.carry"] < 0.0 < plan.steps["putt.line"]
    # both putting parts may fill the hours although each is over the usual share
    assert sum(minutes(plan).values()) == 120


def test_every_estimate_has_a_known_basis(saved: FloatArray, responses: ResponseDraws) -> None:
    plan = allocate_hours(saved, responses, drill_catalogue(), Limits(hours=6.0))
    estimates = [plan.strokes_saved, plan.no_practice, plan.robust.strokes_saved]
    estimates += [payoff.first_hour for payoff in plan.payoffs]
    for estimate in estimates:
        assert not unknown_bases(estimate.basis)
        assert estimate.low is not None
        assert estimate.high is not None
        assert estimate.low <= estimate.value <= estimate.high


def test_a_part_that_seems_to_cost_strokes_counts_as_nothing(responses: ResponseDraws) -> None:
    saved = np.full(PARTS_COUNT, 0.2)
    saved[PART_IDS.index("bunker")] = -0.5
    plan = allocate_hours(saved, responses, drill_catalogue(), Limits(hours=6.0))
    assert "bunker_out_to_three_lengths" not in minutes(plan)
    assert plan.relaxed.dual_value == pytest.approx(plan.relaxed.value, abs=1e-7)


def test_limits_that_clash_are_named_with_amounts(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = Limits(
        hours_by_place={"range": 1.0, "home": 1.0}, least_hours_by_drill={"aim_check": 1.5}, largest_share=1.0
    )
    with pytest.raises(NoFeasiblePlanError) as caught:
        allocate_hours(saved, responses, drill_catalogue(), limits)
    told = "\n".join(caught.value.clashes)
    assert "0.50 h too little" in told or "0.50 h too much" in told
    assert "Aim with a stick" in told
    assert "range" in told


def test_least_blocks_can_clash_too(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = Limits(hours=0.5, least_hours_by_drill={"nine_holes_two_balls": 0.2})
    with pytest.raises(NoFeasiblePlanError, match="blocks"):
        allocate_hours(saved, responses, drill_catalogue(), limits)


def test_a_week_without_drills_has_no_plan(saved: FloatArray, responses: ResponseDraws) -> None:
    putting = tuple(drill for drill in drill_catalogue() if drill.place == "putting_green")
    with pytest.raises(NoFeasiblePlanError, match="home"):
        allocate_hours(saved, responses, putting, Limits(hours_by_place={"home": 2.0}))


def test_unknown_names_in_limits_are_input_errors(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = Limits(hours=2.0, least_hours_by_drill={"nothing": 1.0}, least_hours_by_part={"puttting": 1.0})
    with pytest.raises(InputError) as caught:
        allocate_hours(saved, responses, drill_catalogue(), limits)
    assert len(caught.value.problems) == 2


def test_maintenance_keeps_a_strength_up(responses: ResponseDraws, plain_drills: tuple[Drill, ...]) -> None:
    """A part that hardly improves still gets its maintenance hours where fading costs strokes."""
    one = PART_IDS.index("putt.line")
    strong = replace(responses, most_steps=responses.most_steps.copy())
    strong.half_hours[:, one] = 1e6
    saved = np.full(PARTS_COUNT, 0.1)
    saved[one] = 2.0
    problem = relaxed_problem(saved, strong, plain_drills, Limits(hours=6.0, largest_share=1.0))
    assert solve_relaxed(problem).hours[one] == pytest.approx(0.15, abs=0.01)


def test_robust_differs_where_the_mean_plan_gambles(plain_drills: tuple[Drill, ...]) -> None:
    """Two parts: one saves much or nothing, one saves a little surely. Only the robust plan hedges."""
    saved = np.zeros((100, PARTS_COUNT))
    gamble, sure = PART_IDS.index("tee.carry"), PART_IDS.index("putt.line")
    saved[::2, gamble] = 2.0
    saved[:, sure] = 0.4
    response = certain(np.ones(PARTS_COUNT), np.full(PARTS_COUNT, 50.0))
    drills = (plain_drills[gamble], plain_drills[sure])
    plan = allocate_hours(saved, response, drills, Limits(hours=2.0, largest_share=1.0))
    robust = {block.drill: block.minutes for block in plan.robust.hours}
    assert minutes(plan)["tee.carry"] > minutes(plan).get("putt.line", 0)
    assert robust == {"putt.line": 120}
    assert plan.robust.worst_fifth > plan.robust.mean_plan_worst_fifth + 0.01


def test_payoffs_are_differences_of_plans(saved: FloatArray, responses: ResponseDraws) -> None:
    plan = allocate_hours(saved, responses, drill_catalogue(), Limits(hours=3.0))
    returns: PracticeReturns = pair_draws(saved, responses, 8.0)
    week = {block.drill: block.minutes / 60.0 for block in plan.hours}
    hours = np.array([week.get(drill.id, 0.0) for drill in drill_catalogue()])
    acting = shares(drill_catalogue())
    for index, payoff in enumerate(plan.payoffs):
        one = np.eye(len(hours))[index]
        first = returns.savings(one @ acting) - returns.savings(np.zeros(PARTS_COUNT))
        further = returns.savings((hours + one) @ acting) - returns.savings(hours @ acting)
        assert payoff.first_hour.value == pytest.approx(first.mean())
        assert payoff.next_hour.value == pytest.approx(further.mean())
    assert sum(payoff.chance_best for payoff in plan.payoffs) == pytest.approx(1.0)
    assert sum(payoff.chance_best_next for payoff in plan.payoffs) == pytest.approx(1.0)
