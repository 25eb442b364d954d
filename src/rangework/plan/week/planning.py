"""A plan by day, from worths and availability to sessions with times."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.linear_program import InfeasibleProgramError
from rangework.plan.payoff import estimate_of, saving_basis
from rangework.plan.response import ResponseDraws
from rangework.plan.returns import pair_draws
from rangework.plan.week.effects import BASES, WeekReturns, event_returns, training_returns
from rangework.plan.week.layout import sessions
from rangework.plan.week.offers import DoneBlock, offers
from rangework.plan.week.open_days import OpenDay
from rangework.plan.week.program import Taken, effective_hours, solve_week
from rangework.plan.week.rows import WeekProblem
from rangework.plan.week.week_clash import week_clash
from rangework.plan.week.week_limits import ROUND_SWINGS, WeekLimits
from rangework.plan.week.week_plan import PlannedDay, Session, WeekPlan, WeekVolume

FloatArray = NDArray[np.float64]

#: The horizon that the responses of parts are stated for, weeks.
RESPONSE_WEEKS = 8.0


@dataclass(frozen=True, slots=True)
class SoFar:
    """What happened before ``today``: sessions that were held, days that were missed."""

    today: date
    held: tuple[Session, ...] = ()
    missed: frozenset[date] = field(default_factory=frozenset)


def plan_days(
    saved: ArrayLike,
    responses: ResponseDraws,
    drills: Sequence[Drill],
    days: Sequence[OpenDay],
    limits: WeekLimits,
    *,
    so_far: SoFar | None = None,
    notes: Mapping[str, str] | None = None,
) -> WeekPlan:
    """The plan that saves most within the limits, proven within 1 %.

    ``saved``: strokes a round saved by one step of each part on the event's course, draws [draws, parts] or their
    mean; ``notes``: what to say beside a drill. Days before ``so_far.today`` stay as they were held. Raises
    NoFeasiblePlanError where limits clash.
    """
    returns = pair_draws(saved, responses, RESPONSE_WEEKS)
    event = days[-1].days_left is not None
    week_returns = event_returns(returns, len(days)) if event else training_returns(returns)
    from_day = sum(day.date < so_far.today for day in days) if so_far else 0
    offered = offers(days, drills, from_day=from_day)
    done = _done(days, drills, so_far)
    problem = WeekProblem(tuple(days), tuple(drills), offered, done, limits, week_returns)
    try:
        taken = solve_week(problem)
    except InfeasibleProgramError:
        raise week_clash(problem) from None
    laid = sessions(days, offered, taken.minutes, notes)
    planned = tuple(_planned(day, laid.get(number, ()), so_far) for number, day in enumerate(days))
    return WeekPlan(
        first_round=None if days[0].days_left is None else _first_round(days[0]),
        days=planned,
        weeks=tuple(_volume([planned[number] for number in week], limits) for week in problem.weeks()),
        strokes_saved=_estimate(problem, taken),
        saved_by=_saved_by(week_returns, effective_hours(problem, taken.minutes)),
        bound=taken.bound,
        relaxed=taken.relaxed,
        gap=taken.gap,
    )


def _first_round(day: OpenDay) -> date:
    assert day.days_left is not None
    return date.fromordinal(day.date.toordinal() + day.days_left)


def _done(days: Sequence[OpenDay], drills: Sequence[Drill], so_far: SoFar | None) -> tuple[DoneBlock, ...]:
    by_id = {drill.id: drill for drill in drills}
    number = {day.date: index for index, day in enumerate(days)}
    return tuple(
        DoneBlock(number[session.date], by_id[block.drill], block.minutes)
        for session in (so_far.held if so_far else ())
        for block in session.blocks
        if session.date in number
    )


def _planned(day: OpenDay, laid: tuple[Session, ...], so_far: SoFar | None) -> PlannedDay:
    held = tuple(session for session in so_far.held if session.date == day.date) if so_far else ()
    return PlannedDay(
        day.date,
        day.days_left,
        day.phase,
        held or laid,
        day.practice_round,
        day.availability.travel or (),
        day.heat,
        day.availability.note,
        missed=so_far is not None and day.date in so_far.missed,
    )


def _volume(week: Sequence[PlannedDay], limits: WeekLimits) -> WeekVolume:
    share = len(week) / 7.0
    rounds = sum(ROUND_SWINGS for day in week if day.practice_round)
    return WeekVolume(
        week[0].date,
        week[-1].date,
        week[-1].phase,
        sum(day.minutes for day in week),
        sum(day.full_swings for day in week) + rounds,
        None if limits.usual_hours is None else 60.0 * share * limits.usual_hours,
        None if limits.usual_swings is None else share * limits.usual_swings,
    )


def _estimate(problem: WeekProblem, taken: Taken) -> Estimate:
    draws = problem.returns.savings(effective_hours(problem, taken.minutes))
    bases = [saving_basis(problem.returns.returns), *(BASES if problem.event else ())]
    joined = "+".join(dict.fromkeys(part for each in bases for part in each.split("+")))
    return estimate_of(draws, joined, taken.saving)


def _saved_by(returns: WeekReturns, hours: Mapping[str, FloatArray]) -> dict[str, float]:
    mean_saved = returns.returns.mean_saved
    return {
        effect.name: float(effect.steps(hours[effect.name]).mean(axis=0) @ mean_saved)
        for effect in returns.effects
    }
