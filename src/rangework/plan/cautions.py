"""What is said with every plan, so that practice does not hurt anybody."""

from __future__ import annotations

from collections.abc import Sequence

from rangework.plan.drills import Drill
from rangework.plan.limits import ADULT_AGE, SENIOR_AGE, Limits
from rangework.plan.practice_plan import DrillHours, PracticePlan

#: More than this over the usual full swings of a week is a jump (assumption.plan.build_up).
LARGEST_JUMP = 1.3
#: Above this many hours a week injuries are far more frequent (published.plan.injury_hours).
CALM_HOURS = 11.0

ALWAYS: tuple[str, ...] = (
    "Warm up for at least 10 minutes before full swings, in every session.",
    "Pain, injury or illness: stop, and see a doctor or physiotherapist before you go on.",
    "Heat: practise in the cooler hours, drink, take shade; stop when dizzy, sick or confused, and get help.",
    "Lightning: stop when thunder follows the flash within 30 seconds, go into a large building or a car, "
    "and wait 30 minutes after the last thunder.",
    "Nobody stands ahead of or close behind a swing. Local rules and the staff of the place decide.",
)


def cautions(
    plan: PracticePlan,
    drills: Sequence[Drill],
    limits: Limits,
    *,
    age: int | None = None,
    usual_swings_per_week: int | None = None,
) -> tuple[str, ...]:
    """Cautions for a plan: lifted limits first, then those of the person, the drills and of all practice."""
    return (
        *(f"Beyond the safety limit, at your request: {text}." for text in limits.exceeds_safety),
        *_of_the_load(plan, limits, usual_swings_per_week),
        *_of_the_age(age),
        *_of_the_drills(plan.hours, drills),
        *ALWAYS,
    )


def _of_the_load(plan: PracticePlan, limits: Limits, usual: int | None) -> list[str]:
    swings = sum(block.full_swings for block in plan.hours)
    said = []
    if usual is not None and swings > LARGEST_JUMP * usual:
        said.append(
            f"The plan has {swings} full swings a week and you are used to {usual}: build up over several "
            "weeks, adding no more than a third a week."
        )
    if limits.budget > CALM_HOURS:
        said.append(
            f"{limits.budget:g} hours a week is a lot: golfers with less than {CALM_HOURS:g} hours of golf a "
            "week were injured far less often than those with more than 18."
        )
    return said


def _of_the_age(age: int | None) -> list[str]:
    if age is not None and age < ADULT_AGE:
        return [
            "Juniors: no more hours a week than their age in years, at least one day a week without golf, "
            "and a parent and coach who watch for pain and tiredness."
        ]
    if age is not None and age >= SENIOR_AGE:
        return [
            "Injuries grow with age and after earlier ones: shorter blocks, more rest days, a longer warm-up."
        ]
    return []


def cautions_of_other_hours(
    said: Sequence[str], before: Sequence[DrillHours], now: Sequence[DrillHours], drills: Sequence[Drill]
) -> tuple[str, ...]:
    """The cautions ``said`` with a plan whose week was changed: those of the drills ``now`` in it replace the ones of
    the drills ``before``."""
    gone = set(_of_the_drills(before, drills))
    kept = [caution for caution in said if caution not in gone]
    place = kept.index(ALWAYS[0]) if ALWAYS[0] in kept else len(kept)
    return (*kept[:place], *_of_the_drills(now, drills), *kept[place:])


def _of_the_drills(hours: Sequence[DrillHours], drills: Sequence[Drill]) -> list[str]:
    by_id = {drill.id: drill for drill in drills}
    return [
        f"{block.name}: {text}"
        for block in hours
        if block.drill in by_id
        for text in by_id[block.drill].cautions
    ]
