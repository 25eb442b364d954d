"""The limits of a plan by day: swings, hours, days, the usual week, and what the coach insists on."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from rangework.errors import InputError, Problem
from rangework.plan.limits import (
    ADULT_AGE,
    JUNIOR_MOST_DAYS,
    LARGEST_SHARE,
    MOST_HOURS_A_DAY,
    safety_swings,
)

#: A day of rest in seven (assumption.week.rest_day); juniors rest on two (published.plan.junior_days).
MOST_DAYS_A_WEEK = 6
#: Share of the usual volume that may be left in a taper: 41 to 60 % down (published.week.taper).
TAPER_MOST, TAPER_LEAST = 0.59, 0.40
#: Where the usual full swings are not known, this share of the most allowed stands in (assumption.week.usual_swings).
UNKNOWN_USUAL_SHARE = 0.5
#: Share of the usual days of practice that a taper keeps (assumption.week.frequency).
TAPER_DAYS_SHARE = 0.8
#: Largest share of the usual volume by phase (assumption.plan.build_up for the build).
MOST_VOLUME = {"build": 1.3, "sharpen": 1.0, "taper": TAPER_MOST}
#: The day before the first round: minutes and full swings (assumption.week.last_days).
LAST_DAY_MINUTES, LAST_DAY_SWINGS = 60, 40
#: Limits that are not for safety: a coach may give them up.
MAY_BE_GIVEN_UP = (
    "taper", "usual volume", "variety", "how often", "blocked early", "light last day", "rehearsal", "pace",
    "intensity", "frequency",
)  # fmt: skip
#: Full swings of eighteen holes (assumption.week.practice_round).
ROUND_SWINGS = 40


@dataclass(frozen=True, slots=True)
class WeekLimits:
    """What a plan by day must keep to; None where something is not known or not limited.

    ``usual_hours``, ``usual_days`` and ``usual_swings`` are those of the player's usual week, which a
    taper is measured by; ``given_up`` are names of ``MAY_BE_GIVEN_UP``.
    """

    full_swings_per_day: int
    full_swings_per_week: int
    days_per_week: int = MOST_DAYS_A_WEEK
    hours_per_day: float = MOST_HOURS_A_DAY
    hours_per_week: float | None = None
    usual_hours: float | None = None
    usual_days: int | None = None
    usual_swings: int | None = None
    largest_share: float = LARGEST_SHARE
    least_hours_by_drill: Mapping[str, float] = field(default_factory=dict)
    least_hours_by_part: Mapping[str, float] = field(default_factory=dict)
    given_up: frozenset[str] = frozenset()


def week_limits(
    *,
    age: int | None = None,
    usual_hours: float | None = None,
    usual_days: int | None = None,
    usual_swings: int | None = None,
    full_swings_per_day: int | None = None,
    full_swings_per_week: int | None = None,
    least_hours_by_drill: Mapping[str, float] | None = None,
    least_hours_by_part: Mapping[str, float] | None = None,
    given_up: Collection[str] = (),
) -> WeekLimits:
    """The safety limits of an age, or lower ones. Raises InputError for higher ones."""
    safe = safety_swings(age)
    asked = (("full swings a day", full_swings_per_day, safe.per_day),
             ("full swings a week", full_swings_per_week, safe.per_week))  # fmt: skip
    over = [
        Problem("limits", name, str(value), f"at most {most}, the safety limit")
        for name, value, most in asked
        if value is not None and not 0 <= value <= most
    ]
    if over:
        raise InputError(over)
    junior = age is not None and age < ADULT_AGE
    return WeekLimits(
        safe.per_day if full_swings_per_day is None else full_swings_per_day,
        safe.per_week if full_swings_per_week is None else full_swings_per_week,
        days_per_week=JUNIOR_MOST_DAYS if junior else MOST_DAYS_A_WEEK,
        hours_per_week=float(age) if junior and age is not None else None,
        usual_hours=usual_hours,
        usual_days=usual_days,
        usual_swings=usual_swings or None,
        least_hours_by_drill=least_hours_by_drill or {},
        least_hours_by_part=least_hours_by_part or {},
        given_up=frozenset(given_up),
    )
