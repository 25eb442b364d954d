"""The week's hours: which drills, how long, what they save, and what one more hour would."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.errors import NoFeasiblePlanError
from rangework.estimate import Estimate
from rangework.plan.clash import clash_of
from rangework.plan.drills import Drill, untrained_parts
from rangework.plan.hours_program import (
    HoursProblem,
    Relaxed,
    add_drills,
    add_segments,
    hours_of,
    mean_slopes,
    segments,
    solve_relaxed,
)
from rangework.plan.limit_rows import available_drills, limit_rows
from rangework.plan.limits import Limits
from rangework.plan.linear_program import InfeasibleProgramError, LinearProgram
from rangework.plan.objective import MeanSaving, WorstSaving
from rangework.plan.one_more_hour import one_more_hour
from rangework.plan.payoff import estimate_of, payoffs, saving_basis
from rangework.plan.practice_plan import BindingLimit, DrillHours, PracticePlan, RobustPlan
from rangework.plan.response import ResponseDraws
from rangework.plan.returns import PracticeReturns, pair_draws
from rangework.plan.robust import robust_hours
from rangework.plan.rounding import Rounding, add_least_blocks
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]

#: Weeks until the saving is counted, unless said otherwise.
HORIZON_WEEKS = 8.0
#: Joint draws that the robust plan is made against.
ROBUST_DRAWS = 100
_PRICE_SHOWN = 1e-5
#: Strokes from the best at which the choice of blocks may stop; moves of five minutes follow it.
_BLOCKS_GAP = 1e-3


def allocate_hours(
    saved: ArrayLike,
    responses: ResponseDraws,
    drills: Sequence[Drill],
    limits: Limits,
    *,
    horizon_weeks: float = HORIZON_WEEKS,
    robust_draws: int = ROBUST_DRAWS,
) -> PracticePlan:
    """The hours that save most strokes within the limits.

    ``saved``: strokes a round saved by one step of each part, draws [draws, parts] or their mean [parts],
    parts in the order of ``PARTS``. Raises NoFeasiblePlanError where the limits clash.
    """
    returns = pair_draws(saved, responses, horizon_weeks)
    problem = _problem(returns, drills, limits)
    relaxed = _relaxed(problem)
    tail = returns.thinned(robust_draws)
    hours, robust = _mean_and_robust(problem, tail)
    part_hours = problem.part_hours(hours)
    return PracticePlan(
        hours=_blocks(problem, hours),
        strokes_saved=_saving(problem, hours),
        no_practice=_saving(problem, np.zeros(len(hours))),
        steps=dict(zip(PART_IDS, returns.steps(part_hours).mean(axis=0).tolist(), strict=True)),
        one_more_hour=one_more_hour(problem, relaxed, drills, limits),
        binding=_binding(problem, relaxed),
        payoffs=payoffs(returns, drills, part_hours),
        robust=_robust_plan(problem, tail, hours, robust),
        untrainable=_untrainable(problem),
        relaxed=relaxed,
        horizon_weeks=float(horizon_weeks),
    )


def _problem(returns: PracticeReturns, drills: Sequence[Drill], limits: Limits) -> HoursProblem:
    available = available_drills(limits, drills)
    if not available:
        places = ", ".join(limits.hours_by_place) or "any place"
        raise NoFeasiblePlanError([f"no drill is for this week's places ({places})"])
    return HoursProblem(available, returns, limit_rows(limits, available), limits.budget)


def _relaxed(problem: HoursProblem) -> Relaxed:
    try:
        return solve_relaxed(problem)
    except InfeasibleProgramError:
        raise clash_of(problem, blocks=False) from None


def _mean_and_robust(problem: HoursProblem, tail: PracticeReturns) -> tuple[FloatArray, FloatArray]:
    """Both plans; where the robust one is also better on average, rounding had cost the mean plan more."""
    mean = mean_hours(problem)
    robust = robust_hours(problem, tail, mean)
    return max(mean, robust, key=problem.saving), robust


def mean_hours(problem: HoursProblem) -> FloatArray:
    """[drills] hours in five-minute steps, least blocks kept, that save most on average.

    Raises NoFeasiblePlanError where least blocks leave no room for what was asked for.
    """
    cut = segments(problem)
    program = LinearProgram()
    add_drills(program, problem)
    add_segments(program, problem, cut, mean_slopes(problem, cut))
    add_least_blocks(program, problem)
    try:
        hours = hours_of(problem, program.solve(gap=_BLOCKS_GAP))
    except InfeasibleProgramError:
        raise clash_of(problem, blocks=True) from None
    rounding = Rounding(problem, MeanSaving(problem.returns, problem.drills))
    rounded = rounding.in_five_minutes(hours)
    if not rounding.feasible(rounded):
        raise clash_of(problem, blocks=True)
    return rounding.improved(rounded)


def _robust_plan(
    problem: HoursProblem, tail: PracticeReturns, hours: FloatArray, robust: FloatArray
) -> RobustPlan:
    worst = WorstSaving(tail, problem.drills)
    return RobustPlan(
        _blocks(problem, robust), _saving(problem, robust), worst.value(robust), worst.value(hours)
    )


def _saving(problem: HoursProblem, hours: FloatArray) -> Estimate:
    draws = problem.returns.savings(problem.part_hours(hours))
    return estimate_of(draws, saving_basis(problem.returns), problem.saving(hours))


def _blocks(problem: HoursProblem, hours: FloatArray) -> tuple[DrillHours, ...]:
    return tuple(
        DrillHours(
            drill.id,
            drill.name,
            drill.place,
            minutes=round(spent * 60.0),
            balls=round(spent * drill.balls_per_hour),
            full_swings=round(spent * drill.full_swings_per_hour),
        )
        for drill, spent in zip(problem.drills, hours, strict=True)
        if spent > 0.0
    )


def _binding(problem: HoursProblem, relaxed: Relaxed) -> tuple[BindingLimit, ...]:
    binding = [
        BindingLimit(row.name, row.text, row.bound, row.unit, relaxed.row_prices[row.name])
        for row in problem.rows
        if relaxed.row_prices[row.name] > _PRICE_SHOWN
    ]
    return tuple(sorted(binding, key=lambda limit: -limit.price))


def _untrainable(problem: HoursProblem) -> tuple[str, ...]:
    missing = untrained_parts(problem.drills).values()
    return tuple(part for part in PART_IDS if all(part in parts for parts in missing))
