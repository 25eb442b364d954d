"""What may be laid into the days: a drill in a stretch of a window, with its least and greatest length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rangework.plan.drills import Drill
from rangework.plan.week.open_days import OpenDay

#: Blocks are whole steps of five minutes.
STEP_MINUTES = 5
#: Every session starts with a warm-up, and minutes pass between two blocks (assumption.week.blocks).
WARM_UP_MINUTES, CHANGE_MINUTES = 10, 5
#: Minutes of blocks that are worth a session away from home (assumption.week.blocks).
LEAST_SESSION_MINUTES = 30
#: The longest block of a drill in one session, on the course and elsewhere (assumption.week.blocks).
GREATEST_MINUTES, GREATEST_COURSE_MINUTES = 45, 120
#: Days before the first round without a technical change (assumption.week.last_days).
LAST_DAYS = 3
#: Blocked practice belongs to the first of the days, random practice to the last (assumption.week.order).
EARLY_SHARE, LATE_SHARE = 0.6, 0.3


@dataclass(frozen=True, slots=True)
class Offer:
    """A drill that may be practised there and then, for ``least`` to ``greatest`` steps of five minutes."""

    index: int
    day: int
    window: int
    stretch: int
    drill: Drill
    least: int
    greatest: int


@dataclass(frozen=True, slots=True)
class DoneBlock:
    """A block that was practised on a day of the plan."""

    day: int
    drill: Drill
    minutes: int


def is_early(days_left: int | None, days: int) -> bool:
    """Whether a day is among the first, for blocked practice."""
    return days_left is not None and days_left > max(LAST_DAYS, EARLY_SHARE * days)


def is_late(days_left: int | None, days: int) -> bool:
    """Whether a day is among the last, for random practice."""
    return days_left is not None and days_left <= max(LAST_DAYS, LATE_SHARE * days)


def allowed(drill: Drill, day: OpenDay, days: int) -> bool:
    """Whether a drill suits the day: nothing new in the last three, nothing blocked late."""
    if day.days_left is not None and day.days_left <= LAST_DAYS and drill.purpose != "calibration":
        return False
    return not (drill.order == "blocked" and is_late(day.days_left, days))


def offers(days: Sequence[OpenDay], drills: Sequence[Drill], *, from_day: int = 0) -> tuple[Offer, ...]:
    """Everything that may be practised from day number ``from_day`` on."""
    found: list[Offer] = []
    for number, day in enumerate(days):
        if number < from_day:
            continue
        for window, opened in enumerate(day.windows):
            for stretch, part in enumerate(opened.stretches):
                room = part.span.minutes - WARM_UP_MINUTES
                for drill in drills:
                    greatest = min(greatest_minutes(drill), room) // STEP_MINUTES
                    least = drill.least_block_minutes // STEP_MINUTES
                    if drill.place in part.places and least <= greatest and allowed(drill, day, len(days)):
                        found.append(Offer(len(found), number, window, stretch, drill, least, greatest))
    return tuple(found)


def greatest_minutes(drill: Drill) -> int:
    """The longest useful block of a drill in one session."""
    most = GREATEST_COURSE_MINUTES if drill.place == "course" else GREATEST_MINUTES
    return max(most, drill.least_block_minutes)
