"""From records, a course and an availability to a plan by day: what stands behind `rangework week`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from rangework.advice import Prepared, course_layouts, prepare, simulate, value_parts
from rangework.assessment.learned_responses import Learned, learned_responses, plausible_responses
from rangework.assessment.practice_log import PracticeLog
from rangework.conditions.day import NEUTRAL_GREEN_FT
from rangework.course.choices import chosen_pins
from rangework.course.geometry import Course
from rangework.errors import InputError, Problem
from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.response import GroupResponse, ResponseOverride
from rangework.plan.week.availability import Availability
from rangework.plan.week.open_days import MOST_DAYS, OpenDay, open_days
from rangework.plan.week.planning import SoFar, plan_days
from rangework.plan.week.rehearsing import (
    AimToSettle,
    AskedMore,
    aims_to_settle,
    asked_more,
    balls_of_ten,
    putt_here_m,
)
from rangework.plan.week.rows import main_part
from rangework.plan.week.week_cautions import week_cautions
from rangework.plan.week.week_limits import WeekLimits, week_limits
from rangework.plan.week.week_plan import WeekPlan
from rangework.play.asked_kinds import AskedKind, asked_kinds
from rangework.play.strategy import compile_player, solve_course
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.units import METRES_PER, Units, putt_unit, shot_unit
from rangework.worth import WorthTable

#: Rounds that the aims to settle rest on.
_AIM_ROUNDS = 2000
#: The putts that are told beside each other for two green speeds, in the units that putts are shown in.
_PUTTS = {"ft": (10, 20, 30), "m": (3, 6, 9)}
DAYS_IN_WEEK = 7


@dataclass(frozen=True, slots=True)
class WeekAdvice:
    """A plan by day and what to rehearse in it. ``more`` compares with the usual course, where one was given.

    ``learned`` and ``group``: how the player, and the roster's players, answer to practice, where tests and hours tell.
    """

    prepared: Prepared
    plan: WeekPlan
    limits: WeekLimits
    asked: tuple[AskedKind, ...]
    more: tuple[AskedMore, ...]
    aims: tuple[AimToSettle, ...]
    cautions: tuple[str, ...]
    learned: Learned | None = None
    group: GroupResponse | None = None


@dataclass(frozen=True, slots=True)
class WeekQuestion:
    """What is asked of a week beside the player and the course.

    ``first`` to ``last`` are the days of the plan; ``first_round`` is None for a plain training week.
    """

    availability: Availability
    first: date
    last: date
    first_round: date | None
    so_far: SoFar | None = None
    usual_course: Course | None = None
    least_hours_by_drill: Mapping[str, float] = field(default_factory=dict)
    least_hours_by_part: Mapping[str, float] = field(default_factory=dict)
    swings_a_day: int | None = None
    swings_a_week: int | None = None
    given_up: tuple[str, ...] = ()


def days_of(first: date | None, first_round: date | None, weeks: int | None) -> tuple[date, date]:
    """First and last day of a plan. Raises InputError where they cannot be told."""
    if first_round is None:
        if first is None:
            raise InputError(
                Problem("--from", "", "", "the first day of a week, or --first-round for an event")
            )
        if weeks not in (None, 1):
            raise InputError(Problem("--weeks", "", str(weeks), "1 without an event"))
        return first, first + timedelta(days=DAYS_IN_WEEK - 1)
    if first is not None and weeks is not None:
        raise InputError(Problem("--weeks", "", str(weeks), "either --from or --weeks, not both"))
    start = first or first_round - timedelta(days=DAYS_IN_WEEK * (weeks or 1))
    if not 1 <= (first_round - start).days <= MOST_DAYS:
        expected = f"a day up to {MOST_DAYS} days before the first round"
        raise InputError(Problem("--from", "", str(start), expected))
    return start, first_round - timedelta(days=1)


def open_and_limited(
    question: WeekQuestion, profile: PlayerProfile
) -> tuple[tuple[OpenDay, ...], WeekLimits]:
    """The days with their windows, and the limits of this player. Raises InputError with every fault."""
    availability = question.availability
    days = open_days(availability, question.first, question.last, question.first_round, age=profile.age)
    limits = week_limits(
        age=profile.age,
        usual_hours=availability.usual_hours,
        usual_days=availability.usual_days,
        usual_swings=profile.swings_a_week,
        full_swings_per_day=question.swings_a_day,
        full_swings_per_week=question.swings_a_week,
        least_hours_by_drill=question.least_hours_by_drill,
        least_hours_by_part=question.least_hours_by_part,
        given_up=question.given_up,
    )
    return days, limits


def check_green_speed(availability: Availability, course: Course) -> None:
    """Raises InputError where the availability and the day's conditions state different greens for the event."""
    stated, played = availability.event_stimp_ft, course.conditions.green_speed_ft
    if stated is not None and played not in (NEUTRAL_GREEN_FT, stated):
        expected = f"the {stated:g} ft that event_green_speed_ft of the availability file states"
        raise InputError(Problem("--green-speed", "", f"{played:g} ft", expected, "Change either of them."))


def advise_week(
    records: ShotRecords,
    course: Course,
    question: WeekQuestion,
    *,
    profile: PlayerProfile | None = None,
    tee: str | None = None,
    pin: str | None = None,
    drills: Sequence[Drill] | None = None,
    responses: Mapping[str, ResponseOverride] | None = None,
    practised: PracticeLog | None = None,
    group: GroupResponse | None = None,
    units: Units = "yards",
    draws: int = 40,
    seed: int = 0,
    threads: int = 2,
) -> WeekAdvice:
    """A plan by day for a player on a course; ``practised`` and ``group`` as of ``advise``.

    Raises InputError, FitError and NoFeasiblePlanError.
    """
    profile = profile or PlayerProfile()
    check_green_speed(question.availability, course)
    open_and_limited(question, profile)
    prepared = prepare(records, course, profile=profile, tee=tee, pin=pin, seed=seed, threads=threads)
    worths = value_parts(prepared, draws=draws)
    learned = learned_responses(records, prepared.posterior, practised, responses, group=group, seed=seed)
    return week_for(
        prepared,
        worths,
        question,
        drills=drills,
        responses=responses,
        learned=learned,
        group=group,
        units=units,
    )


def week_for(
    prepared: Prepared,
    worths: WorthTable,
    question: WeekQuestion,
    *,
    drills: Sequence[Drill] | None = None,
    responses: Mapping[str, ResponseOverride] | None = None,
    learned: Learned | None = None,
    group: GroupResponse | None = None,
    units: Units = "yards",
) -> WeekAdvice:
    """A plan by day for a player who is ready to play. Raises InputError and NoFeasiblePlanError."""
    drills, profile, seed = drills or drill_catalogue(), prepared.profile, prepared.seed
    days, limits = open_and_limited(question, profile)
    answers = plausible_responses(
        prepared.posterior, len(worths.draws), responses, learned, group=group, seed=seed
    )
    asked = asked_kinds(prepared.strategies, prepared.golfer, shot_unit(units), seed=seed)
    notes = _notes(drills, asked, question, prepared.course.conditions.green_speed_ft, units)
    plan = plan_days(worths.draws, answers, drills, days, limits, so_far=question.so_far, notes=notes)
    event, usual = question.first_round is not None, question.usual_course
    return WeekAdvice(
        prepared,
        plan,
        limits,
        asked,
        asked_more(asked, _usually_asked(prepared, usual, units)) if usual else (),
        aims_to_settle(prepared.course, prepared.strategies, simulate(prepared, _AIM_ROUNDS))
        if event
        else (),
        week_cautions(plan, drills, age=profile.age),
        learned,
        group,
    )


def _usually_asked(prepared: Prepared, usual: Course, units: Units) -> tuple[AskedKind, ...]:
    tee = usual.tees[len(usual.tees) // 2]
    layouts = course_layouts(usual, tee.name, chosen_pins(usual, None))
    strategies = solve_course(layouts, compile_player(prepared.golfer), threads=prepared.threads)
    return asked_kinds(strategies, prepared.golfer, shot_unit(units), seed=prepared.seed)


def _notes(
    drills: Sequence[Drill],
    asked: Sequence[AskedKind],
    question: WeekQuestion,
    played_ft: float,
    units: Units,
) -> dict[str, str]:
    """What to say beside the drills that rehearse this course and its greens."""
    if question.first_round is None:
        return {}
    shots = ", ".join(f"{count} {_as_balls(name)}" for name, count in balls_of_ten(asked))
    notes = {drill.id: f"Of ten balls: {shots}." for drill in drills if drill.rehearses_course}
    pace = _pace_note(question.availability, played_ft, units)
    if pace:
        notes |= {
            drill.id: pace
            for drill in drills
            if drill.place == "putting_green" and main_part(drill) == "putt.pace"
        }
    return notes


def _as_balls(name: str) -> str:
    if name.startswith("tee shots"):
        return "off the tee"
    return f"at {name}" if name[0].isdigit() else "as long as it goes from the ground"


def _pace_note(availability: Availability, played_ft: float, units: Units) -> str:
    there, here, unit = availability.event_stimp_ft, availability.practice_stimp_ft, putt_unit(units)
    if there is None and played_ft != NEUTRAL_GREEN_FT:
        there = played_ft  # the day's conditions state it
    if there is None:
        return ""
    if here is None or here == there:
        return f"On a green that reads {there:g} ft on a stimpmeter, as the event's do."
    metres = METRES_PER[unit]
    pairs = [(putt, putt_here_m(putt * metres, here, there) / metres) for putt in _PUTTS[unit]]
    told = ", ".join(f"{putt} {unit} there has the pace of {same:.0f} here" for putt, same in pairs)
    return f"Event greens read {there:g} ft, these {here:g}: a putt of {told}."
