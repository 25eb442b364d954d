"""Tiny weeks: every plan there is, tried one by one, against the program; and the smallest set of limits to give up."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from week_cases import ALL_DAY, WORTHS, Case, few_responses

from rangework.errors import NoFeasiblePlanError
from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.week.program import solve_week
from rangework.plan.week.rows import Row, week_rows
from rangework.plan.week.week_clash import smallest_set, week_clash
from rangework.skill.parts import PART_IDS

DRILLS = tuple(
    drill
    for drill in drill_catalogue()
    if drill.id in ("putts_through_a_gate", "pace_to_five_lengths", "long_putts_holed_out")
)
BY_ID: dict[str, Drill] = {drill.id: drill for drill in DRILLS}
TINY = (
    'time_zone = "UTC"\n[day.2026-09-28]\n"09:00-10:10" = ["putting_green"]\n'
    '[day.2026-10-01]\n"17:00-18:00" = ["putting_green"]\n'
)


def saving(plan: dict[tuple[int, str], int]) -> float:
    """Strokes saved at the event by minutes by (days left, drill), from the documented formulas alone."""
    answers, total = few_responses(), 0.0
    for part, id_ in enumerate(PART_IDS):
        building = tuning = keeping = 0.0
        for (days_left, drill), minutes in plan.items():
            hours = minutes / 60.0 * BY_ID[drill].trains.get(id_, 0.0)
            building += hours * min(1.0, max(0.0, (days_left - 3) / 18))
            tuning += hours * 0.5 ** (days_left / 10.0)
            keeping += hours
        most, half = answers.most_steps[:, part], answers.half_hours[:, part]
        faded = 0.5 * most * answers.fade_per_week[part]
        enough = answers.maintenance_hours_per_week[part]
        steps = most * building / (building + half) + 0.25 * most * tuning / (tuning + 0.1 * half)
        total += WORTHS[part] * float(np.mean(steps + faded * np.minimum(1.0, keeping / enough)))
    return total


def sessions(window: int) -> Iterator[tuple[int, ...]]:
    """Minutes of every drill that fit a window with warm-up and changes."""
    lengths = [[0, *range(drill.least_block_minutes, 50, 5)] for drill in DRILLS]
    for minutes in itertools.product(*lengths):
        used = [m for m in minutes if m]
        if not used or (sum(used) >= 30 and 10 + sum(used) + 5 * (len(used) - 1) <= window):
            yield minutes


def test_the_program_finds_what_brute_force_finds() -> None:
    case = Case(TINY, usual_hours=2.0, usual_swings=None, drills=DRILLS)
    problem = case.problem()
    most = 0.59 * 120
    by_part = max(0.4, 1 / 2) * most  # two main parts share
    best = 0.0
    for monday in sessions(70):
        for thursday in sessions(60):
            pace = monday[1] + monday[2] + thursday[1] + thursday[2]
            gate = monday[0] + thursday[0]
            early_random = monday[1] + monday[2]
            late_pace = thursday[1] + thursday[2]
            if sum(monday) + sum(thursday) > most or max(pace, gate) > max(by_part, 20) or not late_pace:
                continue
            if early_random > 0.5 * sum(monday):
                continue
            plan = {(5, drill.id): m for drill, m in zip(DRILLS, monday, strict=True) if m}
            plan |= {(2, drill.id): m for drill, m in zip(DRILLS, thursday, strict=True) if m}
            best = max(best, saving(plan))
    taken = solve_week(problem, gap=1e-6)
    ours = saving(
        {(problem.days[o.day].days_left or 0, o.drill.id): taken.minutes[o.index] for o in problem.offers
         if o.index in taken.minutes}
    )  # fmt: skip
    assert best > 0.0
    assert ours == pytest.approx(taken.saving, rel=1e-9)
    assert ours == pytest.approx(best, rel=2e-3)
    assert taken.bound >= best - 1e-9
    assert solve_week(problem).saving >= 0.99 * best


def test_a_worse_plan_is_seen_as_worse() -> None:
    gate, pace = DRILLS[0].id, DRILLS[1].id
    assert saving({(2, gate): 30}) > saving({(6, gate): 30})
    assert saving({(2, gate): 30, (2, pace): 15}) > saving({(2, gate): 30})


def test_the_set_to_give_up_is_the_smallest() -> None:
    case = Case(usual_hours=1.0, usual_swings=None, by_drill={"tight_lies": 3.0, "putts_through_a_gate": 2.0})
    problem = case.problem()
    rows = week_rows(problem)
    given, _ = smallest_set(problem, rows)
    groups = sorted(
        {row.group for row in rows if not row.safety and row.group.startswith(("asked", "taper", "var"))}
    )

    def can_do_without(names: set[str]) -> bool:
        left = [row for row in rows if row.group not in names]
        return smallest_set(problem, left)[0] == set()

    smaller = [set(names) for size in range(len(given)) for names in itertools.combinations(groups, size)]
    assert given
    assert can_do_without(given)
    assert not any(can_do_without(names) for names in smaller)
    told = str(week_clash(problem))
    assert all(name in told for name in given)


def test_safety_is_not_given_up_while_something_else_can_be() -> None:
    only_range = ALL_DAY.replace(', "putting_green", "short_game_area", "home"', "")
    case = Case(only_range, usual_hours=None, usual_swings=None, by_drill={"driver_face_marks": 6.0})
    given, _ = smallest_set(case.problem(), week_rows(case.problem()))
    safety = {row.group for row in week_rows(case.problem()) if row.safety}
    assert given == {"asked.driver_face_marks"}
    assert not given & safety
    with pytest.raises(NoFeasiblePlanError, match="driver_face_marks"):
        case.plan()


def test_what_is_given_up_no_longer_binds() -> None:
    case = Case(usual_hours=1.0, usual_swings=None, by_drill={"putts_through_a_gate": 1.5})
    problem = case.problem()
    with pytest.raises(NoFeasiblePlanError):
        case.plan()
    limits = replace(problem.limits, given_up=frozenset({"taper", "variety"}))
    rows: tuple[Row, ...] = week_rows(replace(problem, limits=limits))
    assert solve_week(replace(problem, limits=limits)).minutes
    assert {row.group for row in rows} & {"taper", "variety"} == set()
    assert math.isfinite(solve_week(replace(problem, limits=limits)).bound)
