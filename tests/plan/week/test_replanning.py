"""Planning anew after a missed day keeps what is done; without an event the week is that of the plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from week_cases import WORTHS, Case, faults, few_responses

from rangework.errors import NoFeasiblePlanError
from rangework.estimate import unknown_bases
from rangework.plan.drills import shares
from rangework.plan.returns import net_steps
from rangework.plan.week.planning import SoFar
from rangework.plan.week.rows import week_rows
from rangework.plan.week.week_plan import WeekPlan


@pytest.fixture(scope="module")
def case() -> Case:
    return Case(usual_days=4)


@pytest.fixture(scope="module")
def plan(case: Case) -> WeekPlan:
    return case.plan()


def anew(case: Case, plan: WeekPlan, today: date, missed: frozenset[date]) -> tuple[Case, WeekPlan]:
    held = tuple(
        replace(session, done=True)
        for session in plan.sessions
        if session.date < today and session.date not in missed
    )
    later = replace(case, so_far=SoFar(today, held, missed))
    return later, later.plan()


def test_what_is_done_stays_and_what_is_left_keeps_the_rules(case: Case, plan: WeekPlan) -> None:
    active = [day.date for day in plan.days if day.sessions]
    today = date.fromordinal(active[1].toordinal() + 1)
    missed = frozenset({active[0]})
    later, again = anew(case, plan, today, missed)
    assert faults(later, again) == set()
    before = [session for session in again.sessions if session.date < today]
    assert [session.date for session in before] == [active[1]]
    assert all(session.done for session in before)
    assert before[0].blocks == next(s for s in plan.sessions if s.date == active[1]).blocks
    assert [day.missed for day in again.days if day.date == active[0]] == [True]
    assert again.gap <= 0.01


def test_without_a_missed_day_the_saving_stays() -> None:
    case = Case(usual_swings=None)
    plan = case.plan()
    _, again = anew(case, plan, date(2026, 9, 30), frozenset())
    assert again.strokes_saved.value == pytest.approx(plan.strokes_saved.value, rel=0.011)


def test_what_was_done_beyond_a_limit_leaves_no_more_of_it() -> None:
    case = Case(usual_hours=12.0, usual_swings=300)
    plan = case.plan()
    today = date(2026, 9, 30)
    smaller = replace(case, usual_hours=0.5)
    held = tuple(session for session in plan.sessions if session.date < today)
    assert sum(b.minutes for s in held for b in s.blocks) > 18
    later = replace(smaller, so_far=SoFar(today, held), usual_swings=None)
    rows = {row.name: row.bound for row in week_rows(later.problem()) if row.group == "taper"}
    assert rows["volume.0"] == pytest.approx(0.59 * 30)
    with pytest.raises(NoFeasiblePlanError, match="fewest limits to give up"):
        later.plan()


def test_a_plain_week_saves_what_eight_such_weeks_do() -> None:
    case = Case(event=False)
    plan = case.plan()
    hours = np.zeros(len(WORTHS))
    by_id = {drill.id: drill for drill in case.drills}
    for session in plan.sessions:
        for block in session.blocks:
            hours += block.minutes / 60.0 * shares((by_id[block.drill],))[0]
    answers = few_responses()
    steps = net_steps(hours, answers, 8.0) - net_steps(np.zeros(len(WORTHS)), answers, 8.0)
    assert plan.strokes_saved.value == pytest.approx(float(steps.mean(axis=0) @ WORTHS), rel=1e-9)
    assert plan.saved_by == pytest.approx({"training": plan.strokes_saved.value})
    assert plan.first_round is None
    assert {day.phase for day in plan.days} == {"training"}
    assert faults(case, plan) == set()


def test_the_saving_says_what_it_rests_on(plan: WeekPlan) -> None:
    saved = plan.strokes_saved
    assert saved.low is not None
    assert saved.high is not None
    assert saved.low < saved.value < saved.high
    assert unknown_bases(saved.basis) == []
    assert {"assumption.week.tuning", "assumption.week.building"} <= set(saved.basis.split("+"))
    assert sum(plan.saved_by.values()) == pytest.approx(saved.value)
