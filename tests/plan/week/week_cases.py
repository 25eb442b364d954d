"""Weeks that several tests lay, and a checker of plans that shares no code with the program."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.response import ResponseDraws, draw_responses, responses_for
from rangework.plan.returns import pair_draws
from rangework.plan.week.availability import Availability, Span
from rangework.plan.week.availability_file import parse_availability
from rangework.plan.week.effects import event_returns, training_returns
from rangework.plan.week.offers import DoneBlock, offers
from rangework.plan.week.open_days import OpenDay, open_days
from rangework.plan.week.planning import SoFar, plan_days
from rangework.plan.week.rows import WeekProblem
from rangework.plan.week.week_limits import WeekLimits, week_limits
from rangework.plan.week.week_plan import WeekPlan

FloatArray = NDArray[np.float64]

FIRST_ROUND = date(2026, 10, 3)
#: Strokes a round per step, of the size that prototypes found at handicap 10; order of PARTS.
WORTHS = np.concatenate(
    [
        [0.35, 0.45, 0.10, 0.30],
        [0.05, 0.06, 0.02, 0.12, 0.12, 0.03, 0.20, 0.20, 0.05, 0.20, 0.20, 0.05, 0.30, 0.10],
        [0.18, 0.15, 0.08, 0.30],
        [0.70, 0.30],
    ]
)
FEW = (
    "driver_face_marks", "tee_shots_as_played", "a_new_target_every_ball", "brush_past_the_line", "tight_lies",
    "pitches_five_yards_apart", "putts_through_a_gate", "pace_to_five_lengths", "putts_on_a_carpet",
)  # fmt: skip


def few_drills() -> tuple[Drill, ...]:
    return tuple(drill for drill in drill_catalogue() if drill.id in FEW)


def few_responses() -> ResponseDraws:
    return draw_responses(responses_for(10.0), 6, np.random.default_rng(3))


ALL_DAY = 'time_zone = "Europe/London"\n' + "\n".join(
    f'[usual.{day}]\n"09:00-13:00" = ["range", "putting_green", "short_game_area", "home"]'
    for day in ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
)


@dataclass
class Case:
    """A week to lay: ``count`` days before the first round, or a plain week."""

    text: str = ALL_DAY
    count: int = 7
    event: bool = True
    age: int | None = None
    usual_hours: float | None = 6.0
    usual_days: int | None = None
    usual_swings: int | None = 150
    drills: Sequence[Drill] = field(default_factory=few_drills)
    by_drill: dict[str, float] = field(default_factory=dict)
    so_far: SoFar | None = None
    swings_a_day: int | None = None

    @property
    def availability(self) -> Availability:
        return parse_availability(self.text, "availability.toml")

    def days(self) -> tuple[OpenDay, ...]:
        first = FIRST_ROUND - timedelta(days=self.count)
        last = FIRST_ROUND - timedelta(days=1)
        return open_days(self.availability, first, last, FIRST_ROUND if self.event else None, age=self.age)

    def limits(self) -> WeekLimits:
        return week_limits(
            age=self.age, usual_hours=self.usual_hours, usual_days=self.usual_days, usual_swings=self.usual_swings,
            least_hours_by_drill=self.by_drill, full_swings_per_day=self.swings_a_day,
        )  # fmt: skip

    def plan(self) -> WeekPlan:
        return plan_days(WORTHS, few_responses(), self.drills, self.days(), self.limits(), so_far=self.so_far)

    def problem(self, done: tuple[DoneBlock, ...] = ()) -> WeekProblem:
        days = self.days()
        returns = pair_draws(WORTHS, few_responses(), 8.0)
        week = event_returns(returns, len(days)) if self.event else training_returns(returns)
        return WeekProblem(days, tuple(self.drills), offers(days, self.drills), done, self.limits(), week)


def faults(case: Case, plan: WeekPlan) -> set[str]:
    """Rules that a plan breaks, told from its times alone."""
    catalogue = {drill.id: drill for drill in case.drills}
    available = case.availability
    broken: set[str] = set()
    swings, minutes, active = Counter[date](), Counter[date](), set()
    for day in plan.days:
        that_day = available.on(day.date)
        once = Counter(block.drill for session in day.sessions for block in session.blocks)
        broken |= {"once a day"} if any(count > 1 for count in once.values()) else set()
        if day.sessions or day.practice_round:
            active.add(day.date)
        swings[day.date] += 40 if day.practice_round else 0
        minutes[day.date] += day.practice_round.minutes if day.practice_round else 0
        for session in day.sessions:
            busy = [*(that_day.travel or ()), *(that_day.duties or ())]
            busy += [that_day.practice_round] if that_day.practice_round else []
            broken |= {"busy"} if any(session.span.meets(span) for span in busy) else set()
            around = [w for w in that_day.windows or () if contains(w.span, session.span)]
            broken |= set() if around and not that_day.rest else {"outside a window"}
            broken |= (
                {"warm-up"}
                if session.warm_up.minutes < 10 or session.warm_up.start != session.span.start
                else set()
            )
            at, visited = session.warm_up.end, []
            for number, block in enumerate(session.blocks):
                drill = catalogue[block.drill]
                broken |= {"overlap"} if block.span.start < at + (5 if number else 0) else set()
                at = block.span.end
                if not visited or visited[-1] != block.place:
                    visited.append(block.place)
                if any(block.place not in window.places for window in around):
                    broken.add("closed place")
                light = that_day.daylight
                dark = light is not None and not contains(light, block.span)
                if dark and block.place != "home" and block.place not in available.lit:
                    broken.add("dark")
                if block.minutes < drill.least_block_minutes or block.minutes > 45 or block.minutes % 5:
                    broken.add("length")
                if case.event and day.days_left is not None:
                    late = day.days_left <= max(3, 0.3 * case.count)
                    broken |= (
                        {"technical change"}
                        if day.days_left <= 3 and drill.purpose != "calibration"
                        else set()
                    )
                    broken |= {"blocked late"} if late and drill.order == "blocked" else set()
                swings[day.date] += block.minutes * drill.full_swings_per_hour / 60.0
                minutes[day.date] += block.minutes
            broken |= {"place twice"} if len(visited) != len(set(visited)) else set()
            away = any(block.place != "home" for block in session.blocks)
            broken |= {"short session"} if away and sum(b.minutes for b in session.blocks) < 30 else set()
    return broken | _week_faults(case, plan, catalogue, swings, minutes, active)


def _week_faults(
    case: Case,
    plan: WeekPlan,
    catalogue: dict[str, Drill],
    swings: Counter[date],
    minutes: Counter[date],
    active: set[date],
) -> set[str]:
    """Rules over days and weeks; what a practice round alone exceeds is not the plan's fault."""
    limits, broken, eps = case.limits(), set[str](), 1e-6
    practised = {day.date for day in plan.days if day.sessions}
    swung = {day.date for day in plan.days if day.full_swings}

    def over(amounts: Counter[date], dates: Sequence[date], most: float, held: set[date]) -> bool:
        return bool(held & set(dates)) and sum(amounts[day] for day in dates) > most + eps

    dates = [day.date for day in plan.days]
    for day in dates:
        broken |= {"swings a day"} if over(swings, [day], limits.full_swings_per_day, swung) else set()
        broken |= {"hours a day"} if over(minutes, [day], 480, practised) else set()
    for start in range(max(1, len(dates) - 6)):
        seven = dates[start : start + 7]
        broken |= {"swings a week"} if over(swings, seven, limits.full_swings_per_week, swung) else set()
        if len(seven) == 7 and sum(day in active for day in seven) > limits.days_per_week:
            broken.add("rest")
    if not case.event:
        return broken
    week = plan.days[-7:]
    share = 0.59 * len(week) / 7
    blocks = [block for day in week for session in day.sessions for block in session.blocks]
    spent = Counter[str]()
    for block in blocks:
        spent[main(catalogue[block.drill])] += block.minutes
    if limits.usual_hours:
        usual = 60 * limits.usual_hours * share
        broken |= {"taper hours"} if sum(spent.values()) > usual + eps else set()
        broken |= {"variety"} if max(spent.values(), default=0) > max(0.4 * usual, 25) + eps else set()
    if limits.usual_swings and over(swings, dates[-7:], share * limits.usual_swings, swung):
        broken.add("taper swings")
    broken |= {"last day"} if plan.days[-1].minutes > 60 else set()
    early = [d for d in plan.days if d.days_left is not None and d.days_left > max(3, 0.6 * case.count)]
    first = [block for day in early for session in day.sessions for block in session.blocks]
    if sum(b.minutes for b in first if b.order == "random") > 0.5 * sum(b.minutes for b in first) + eps:
        broken.add("random early")
    return broken


def main(drill: Drill) -> str:
    return max(drill.trains, key=lambda part: drill.trains[part])


def contains(outer: Span, inner: Span) -> bool:
    return outer.start <= inner.start and inner.end <= outer.end
