"""Limits on a week's practice: hours, full swings, variety, and what must be kept up; safety first."""

from __future__ import annotations

import difflib
import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from rangework.errors import InputError, Problem
from rangework.plan.drills import PLACES

HOURS_IN_WEEK = 168.0
ADULT_AGE, SENIOR_AGE, CHILD_AGE = 18, 65, 13
#: The drills for one part take no more than this share of the week's hours (assumption.plan.variety).
LARGEST_SHARE = 0.4


@dataclass(frozen=True, slots=True)
class SwingLimits:
    """Most full swings in a day and in a week; ``basis`` is an id of sources.toml."""

    per_day: int
    per_week: int
    basis: str


ADULT_SWINGS = SwingLimits(100, 200, "assumption.plan.full_swings_adult")
SENIOR_SWINGS = SwingLimits(70, 150, "assumption.plan.full_swings_senior")
JUNIOR_SWINGS = SwingLimits(60, 150, "assumption.plan.full_swings_junior")
CHILD_SWINGS = SwingLimits(40, 100, "assumption.plan.full_swings_child")
JUNIOR_MOST_DAYS = 5
#: A full working day (assumption.plan.hours_a_day).
MOST_HOURS_A_DAY = 8


@dataclass(frozen=True, slots=True)
class Limits:
    """What a week's practice must keep to. Hours are per week.

    Give ``hours`` for all places together, or ``hours_by_place``. ``practice_days`` carry the full swings of
    a week at ``full_swings_per_day`` each. ``most_hours`` binds all hours together (juniors: no more than
    their age in years). ``least_hours_by_drill`` and ``least_hours_by_part`` (effective hours) are what the
    coach insists on. Raises InputError for values that no week can have.
    """

    hours: float | None = None
    hours_by_place: Mapping[str, float] = field(default_factory=dict)
    practice_days: int = 3
    full_swings_per_day: int = ADULT_SWINGS.per_day
    full_swings_per_week: int = ADULT_SWINGS.per_week
    largest_share: float = LARGEST_SHARE
    most_hours: float | None = None
    least_hours_by_drill: Mapping[str, float] = field(default_factory=dict)
    least_hours_by_part: Mapping[str, float] = field(default_factory=dict)
    exceeds_safety: tuple[str, ...] = ()  #: safety limits lifted on request, in words

    def __post_init__(self) -> None:
        problems = [*self._hours_problems(), *self._other_problems()]
        if problems:
            raise InputError(problems)

    @property
    def budget(self) -> float:
        """All hours of the week."""
        return math.fsum(self.hours_by_place.values()) if self.hours is None else self.hours

    def _hours_problems(self) -> list[Problem]:
        if (self.hours is None) == (not self.hours_by_place):
            return [Problem("hours", "", "", "hours in all, or hours by place, and not both")]
        given = {"": self.hours} if self.hours is not None else dict(self.hours_by_place)
        problems = [
            Problem("hours", place, f"{hours:g}", f"hours a week from 0 to {HOURS_IN_WEEK:g}")
            for place, hours in given.items()
            if not 0.0 <= hours <= HOURS_IN_WEEK
        ]
        unknown = [place for place in self.hours_by_place if place not in PLACES]
        problems += [
            Problem("hours", place, "", "one of " + ", ".join(PLACES), _nearest(place, PLACES))
            for place in unknown
        ]
        if not problems and not 0.0 < self.budget <= HOURS_IN_WEEK:
            problems = [
                Problem("hours", "", f"{self.budget:g}", f"above 0 and at most {HOURS_IN_WEEK:g} a week")
            ]
        return problems

    def _other_problems(self) -> list[Problem]:
        checks = [
            ("practice_days", self.practice_days, 1 <= self.practice_days <= 7, "days a week from 1 to 7"),
            ("full_swings_per_day", self.full_swings_per_day, self.full_swings_per_day >= 0, "0 or more"),
            ("full_swings_per_week", self.full_swings_per_week, self.full_swings_per_week >= 0, "0 or more"),
            (
                "largest_share",
                self.largest_share,
                0.0 < self.largest_share <= 1.0,
                "a share above 0 and at most 1",
            ),
        ]
        return [
            Problem("limits", name, str(value), expected) for name, value, met, expected in checks if not met
        ]


def safety_swings(age: int | None) -> SwingLimits:
    """Default limits on full swings at an age (an adult's when it is not known)."""
    if age is None or ADULT_AGE <= age < SENIOR_AGE:
        return ADULT_SWINGS
    if age >= SENIOR_AGE:
        return SENIOR_SWINGS
    return CHILD_SWINGS if age < CHILD_AGE else JUNIOR_SWINGS


def safe_limits(
    *,
    hours: float | None = None,
    hours_by_place: Mapping[str, float] | None = None,
    age: int | None = None,
    practice_days: int = 3,
    full_swings_per_day: int | None = None,
    full_swings_per_week: int | None = None,
    exceed_safety: bool = False,
    largest_share: float = LARGEST_SHARE,
    least_hours_by_drill: Mapping[str, float] | None = None,
    least_hours_by_part: Mapping[str, float] | None = None,
) -> Limits:
    """Limits with the safety defaults of an age; higher ones only with ``exceed_safety``, and said aloud.

    Raises InputError, with every fault, where a limit is above the default and ``exceed_safety`` is not set.
    """
    safe = safety_swings(age)
    per_day = safe.per_day if full_swings_per_day is None else full_swings_per_day
    per_week = safe.per_week if full_swings_per_week is None else full_swings_per_week
    junior = age is not None and age < ADULT_AGE
    most_days = JUNIOR_MOST_DAYS if junior else 7
    asked = sum((hours_by_place or {}).values()) if hours is None else hours
    over = [
        (name, value, most)
        for name, value, most in (
            ("full swings a day", per_day, safe.per_day),
            ("full swings a week", per_week, safe.per_week),
            ("practice days a week", practice_days, most_days),
            ("hours a practice day", asked / max(practice_days, 1), MOST_HOURS_A_DAY),
        )
        if value > most
    ]
    if over and not exceed_safety:
        raise InputError([_over_problem(*item) for item in over])
    most_hours = float(age) if junior and age is not None else None
    limits = Limits(
        hours=hours,
        hours_by_place=hours_by_place or {},
        practice_days=practice_days,
        full_swings_per_day=per_day,
        full_swings_per_week=per_week,
        largest_share=largest_share,
        most_hours=None if exceed_safety else most_hours,
        least_hours_by_drill=least_hours_by_drill or {},
        least_hours_by_part=least_hours_by_part or {},
    )
    said = [f"{value:g} {name} (the safety limit is {most})" for name, value, most in over]
    if exceed_safety and most_hours is not None and limits.budget > most_hours:
        said.append(f"{limits.budget:g} hours a week (the safety limit of a junior is {most_hours:g})")
    return replace(limits, exceeds_safety=tuple(said))


def _over_problem(name: str, value: float, most: int) -> Problem:
    return Problem(
        "limits",
        name,
        f"{value:g}",
        f"at most {most}, the safety limit",
        "Exceed it only on purpose (--exceed-safety-limits), and never in pain or while growing.",
    )


def _nearest(word: str, known: Collection[str]) -> str:
    near = difflib.get_close_matches(word, known, n=1)
    return f"Did you mean {near[0]!r}?" if near else ""
