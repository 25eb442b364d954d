"""What is said with every plan by day, so that practice does not hurt anybody."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rangework.plan.cautions import ALWAYS
from rangework.plan.drills import Drill
from rangework.plan.limits import ADULT_AGE, SENIOR_AGE
from rangework.plan.week.open_days import HEAT_LIMITS_C
from rangework.plan.week.week_plan import PlannedDay, WeekPlan


def week_cautions(plan: WeekPlan, drills: Sequence[Drill], *, age: int | None = None) -> tuple[str, ...]:
    """Cautions for a plan: the days' first, then those of the person, the drills and of all practice."""
    heat = [text for day in plan.days for text in _of_the_heat(day, age)]
    travel = [
        f"{day.date:%a %d %b}: after the journey, walk and move for ten minutes before the first swing."
        for day in plan.days
        if day.travel and (day.sessions or day.practice_round)
    ]
    return (*heat, *travel, *_of_the_age(age), *_of_the_drills(plan, drills), *ALWAYS)


def _of_the_heat(day: PlannedDay, age: int | None) -> Iterator[str]:
    half, closed = HEAT_LIMITS_C["youth" if age is not None and age < ADULT_AGE else "adult"]
    if day.heat == "half":
        yield (
            f"{day.date:%a %d %b} will be hot (wet-bulb globe temperature {half:g} or more): as long a rest in the "
            "shade as each block, drink, and no hard efforts."
        )
    if day.heat == "closed":
        yield (
            f"{day.date:%a %d %b} will be too hot to practise outdoors (wet-bulb globe temperature {closed:g} or "
            "more for somebody not used to heat)"
            + ("; call the practice round off." if day.practice_round else ".")
        )


def _of_the_age(age: int | None) -> Iterator[str]:
    if age is not None and age < ADULT_AGE:
        yield (
            "Juniors: no more hours a week than their age in years, at most five days a week, and a parent and coach "
            "who watch for pain and tiredness."
        )
    if age is not None and age >= SENIOR_AGE:
        yield "Injuries grow with age and after earlier ones: shorter blocks, more rest days, a longer warm-up."


def _of_the_drills(plan: WeekPlan, drills: Sequence[Drill]) -> Iterator[str]:
    used = {block.drill for session in plan.sessions for block in session.blocks}
    for drill in drills:
        if drill.id in used:
            yield from (f"{drill.name}: {text}" for text in drill.cautions)
