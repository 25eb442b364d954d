"""`rangework week`: day by day before an event, or a plain week of training."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.days import Day, day_option
from rangework.cli.limiting import at_least_option, by_drill_and_part, drills_option
from rangework.cli.options import (
    FILE,
    OutputFile,
    conditions_options,
    player_options,
    playing_options,
    run_options,
)
from rangework.cli.playing import Given, day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.practised import practised_by, practised_option
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results, write_whole
from rangework.cli.week_page import week_text
from rangework.cli.week_results import week_results
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.plan.drills import Drill
    from rangework.plan.week.availability import Availability
    from rangework.plan.week.earlier import Issued
    from rangework.report.calendar import CalendarEntry
    from rangework.units import Units
    from rangework.week_advice import WeekAdvice, WeekQuestion


#: Names of the limits that a coach may give up (plan.week.week_limits.MAY_BE_GIVEN_UP, which a test compares).
GIVE_UP = (
    "taper", "usual volume", "variety", "how often", "blocked early", "light last day", "rehearsal", "pace",
    "intensity", "frequency",
)  # fmt: skip


def week_options(command: Any) -> Any:
    """What the days are, what fills them, and what was done before."""
    for option in (
        click.option(
            "--calendar", "calendar_file", type=OutputFile(), metavar="FILE",
            help="Also write the sessions as a calendar (.ics) that any calendar program imports.",
        ),
        day_option("--missed", "A day before --today on which nothing was done. May be given more than once.",
                   multiple=True),
        day_option("--today", "With --earlier: plan anew from this day on; what was planned before it is done."),
        click.option(
            "--earlier", type=FILE, metavar="FILE",
            help="The JSON file of the plan so far. Its calendar entries are updated, not doubled.",
        ),
        click.option("--swings-a-week", type=click.IntRange(0), metavar="N",
                     help="Most full swings in a week; not above the safety limit."),
        click.option("--swings-a-day", type=click.IntRange(0), metavar="N",
                     help="Most full swings in a day; not above the safety limit."),
        click.option("--give-up", multiple=True, type=click.Choice(GIVE_UP), metavar="LIMIT",
                     help="A limit to do without: " + ", ".join(GIVE_UP) + ". None that is there for safety. May be "
                     "given more than once."),
        at_least_option,
        click.option(
            "--usual-course", type=FILE, metavar="FILE",
            help="The course the player knows: how the shots asked for differ from it.",
        ),
        drills_option,
        click.option("--weeks", type=click.IntRange(1, 8), metavar="N",
                     help="Weeks before the first round that the plan covers; 1 unless given."),
        click.option("--from", "first_day", type=Day(), metavar="DATE",
                     help="First day of the plan. Needed without --first-round."),
        day_option("--first-round", "Day of the event's first round. Without it: a plain training week."),
        click.option("--availability", required=True, type=FILE, metavar="FILE",
                     help="TOML file of the days: windows, places, travel, duties, a practice round."),
    ):  # fmt: skip
        command = option(command)
    return command


@click.command("week")
@player_options
@playing_options
@conditions_options
@week_options
@practised_option
@draws_option(40)
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    pin: str | None,
    drills: Path | None,
    calendar_file: Path | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
    **asked: Any,
) -> None:
    """Plan the days before an event, or a plain week, and write a calendar.

    What to do when and where, within the windows and places there are; what
    the course will ask for; which aims to settle in the practice round.

    \b
      rangework week *.csv --course course.toml --availability days.toml \\
        --first-round 2026-10-03 --calendar week.ics
    """
    from rangework.plan.drills import drill_catalogue
    from rangework.week_advice import advise_week, open_and_limited

    given = read_given(records, mappings, profile, handicap, course, day=day, drills=drills, **asked)
    chosen = given.drills.drills if given.drills else drill_catalogue()
    question, availability, issued = _question(asked, chosen)
    open_and_limited(question, given.profile)
    done = practised_by(records, asked["practised"], given.drills)
    with progress("Planning the days"):
        advice = advise_week(
            given.records, given.course, question, profile=given.profile, tee=tee, pin=pin, drills=chosen,
            responses=given.drills.responses if given.drills else None, practised=done.log, group=done.group,
            units=units, draws=draws, seed=seed, threads=threads,
        )  # fmt: skip
    entries = _entries(advice, availability, issued, given, chosen)
    click.echo(day_text(given.course, units), nl=False)
    click.echo(week_text(advice, availability, chosen, given.player, units, pooled=done.parts))
    told = tell_course(given.course, pin)
    doubts = [*given.doubts(advice.prepared.posterior), *other_days(availability, question)]
    tell_doubts(doubts)
    _write(
        advice, availability, entries, {**told, "warnings": doubts}, given, calendar_file, json_file, seed,
        tee=tee, draws=draws,
    )  # fmt: skip


def _question(
    asked: Mapping[str, Any], drills: Sequence[Drill]
) -> tuple[WeekQuestion, Availability, Sequence[Issued]]:
    """What is asked, the faults of all its files together."""
    from rangework.course import read_course
    from rangework.plan.week.availability_file import read_availability
    from rangework.plan.week.earlier import read_earlier
    from rangework.week_advice import WeekQuestion, days_of

    with ReadTogether() as together:
        availability = together.read(read_availability, asked["availability"])
        usual = together.read(read_course, asked["usual_course"]) if asked["usual_course"] else None
        earlier = together.read(read_earlier, asked["earlier"], drills) if asked["earlier"] else None
        first, last = together.read(days_of, asked["first_day"], asked["first_round"], asked["weeks"]) or (
            None,
            None,
        )
        by_drill, by_part = together.read(by_drill_and_part, asked["at_least"], drills) or ({}, {})
        together.read(_check_days, asked, first, last)
    question = WeekQuestion(
        availability, first, last, asked["first_round"],
        so_far=earlier.so_far(asked["today"], asked["missed"]) if earlier and asked["today"] else None,
        usual_course=usual,
        least_hours_by_drill=by_drill,
        least_hours_by_part=by_part,
        swings_a_day=asked["swings_a_day"],
        swings_a_week=asked["swings_a_week"],
        given_up=asked["give_up"],
    )  # fmt: skip
    return question, availability, earlier.issued if earlier else ()


def _check_days(asked: Mapping[str, Any], first: date | None, last: date | None) -> None:
    """Raises InputError for days that do not go together."""
    problems, today = [], asked["today"]
    if today and not asked["earlier"]:
        problems.append(Problem("--today", "", str(today), "--earlier, the plan so far"))
    if today and first and last and not first <= today <= last:
        problems.append(Problem("--today", "", str(today), f"a day of the plan, {first} to {last}"))
    if asked["missed"] and not today:
        problems.append(Problem("--missed", "", "", "--today, from when to plan anew"))
    problems += [
        Problem("--missed", "", str(day), "a day before --today")
        for day in asked["missed"]
        if today and day >= today
    ]
    if problems:
        raise InputError(problems)


def other_days(availability: Availability, question: WeekQuestion) -> list[str]:
    """What to look at where the file's own days are all outside the plan: most likely one date is mistyped."""
    days = sorted(availability.by_date)
    last = question.first_round or question.last
    if not days or any(question.first <= day <= last for day in days):
        return []
    told = f"{days[0]} to {days[-1]}" if len(days) > 1 else f"{days[0]}"
    return [f"the days of the availability file, {told}: none is in the plan, {question.first} to {last}."]


def _entries(
    advice: WeekAdvice,
    availability: Availability,
    issued: Sequence[Issued],
    given: Given,
    drills: Collection[Drill],
) -> list[CalendarEntry]:
    from rangework.report.calendar import calendar_entries, numbered

    course = advice.prepared.course.name
    entries = calendar_entries(
        advice.plan, player=given.profile.name, event=availability.event, drills=drills, course=course
    )
    return numbered(entries, issued)


def _write(
    advice: WeekAdvice,
    availability: Availability,
    entries: Sequence[CalendarEntry],
    told: Mapping[str, Any],
    given: Given,
    calendar_file: Path | None,
    json_file: Path | None,
    seed: int,
    **more: Any,
) -> None:
    from rangework.report.calendar import calendar_text

    if calendar_file:
        text = calendar_text(entries, availability.time_zone, datetime.now(UTC))
        write_whole(calendar_file, text)
    if json_file:
        inputs = {**_as_text(given.inputs), **more, "pins": advice.prepared.pins}
        results = {**week_results(advice, availability, entries), **told}
        write_results(json_file, "week", results, seed=seed, inputs=inputs)


def _as_text(inputs: Mapping[str, Any]) -> dict[str, Any]:
    """Options as JSON tells them: dates as text."""
    return {
        key: value.isoformat()
        if isinstance(value, date)
        else [day.isoformat() for day in value]
        if key == "missed"
        else value
        for key, value in inputs.items()
    }
