"""`rangework plan`: where an hour of practice pays most, and the week's hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.habits_in_plan import free_strokes_first, stated_habits
from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import (
    FILE,
    aims_option,
    conditions_options,
    player_options,
    playing_options,
    run_options,
)
from rangework.cli.plan_page import plan_text
from rangework.cli.plan_results import plan_results
from rangework.cli.playing import day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results

if TYPE_CHECKING:
    from rangework.assessment.practice_log import PracticeLog
    from rangework.plan.drills import Drill
    from rangework.units import Units


@click.command("plan")
@player_options
@playing_options
@conditions_options
@limit_options
@drills_option
@weeks_option
@click.option(
    "--payoffs",
    type=click.IntRange(1),
    default=10,
    show_default=True,
    metavar="N",
    help="Drills in the table of payoffs.",
)
@click.option(
    "--practised",
    type=FILE,
    metavar="FILE",
    help="CSV file of the hours really practised. With tests among RECORDS the plan learns from it how this player "
    "answers to practice.",
)
@aims_option
@draws_option(100)
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
    practised: Path | None,
    aims: str | None,
    weeks: float,
    payoffs: int,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
    **limits: Any,
) -> None:
    """Tell where an hour of practice pays most, and plan the week's hours.

    And what the plan saves, what one more hour would add and where, what holds
    it back, and how sure all that is.

    \b
      rangework plan range.csv putts.csv --course course.toml --hours 6
      rangework plan log.csv --course course.toml --hours range=3 --hours home=1
    """
    from rangework.advice import advise
    from rangework.plan.drills import drill_catalogue

    with ReadTogether() as together:
        given = together.read(
            read_given, records, mappings, profile, handicap, course, day=day, drills=drills, aims=aims,
            **_told(limits, practised),
        )  # fmt: skip
        stated = together.read(stated_habits, aims, units)
    chosen = given.drills.drills if given.drills else drill_catalogue()
    week = week_limits(given.profile.age, chosen, **limits)
    with progress("Valuing the parts") as shown:
        advice = advise(
            given.records, given.course, week, profile=given.profile, tee=tee, pin=pin, drills=chosen,
            responses=given.drills.responses if given.drills else None, practised=_log(practised, chosen),
            horizon_weeks=weeks, draws=draws, seed=seed, threads=threads, progress=shown.report,
        )  # fmt: skip
    first, last, free = free_strokes_first(advice.prepared, given.records, stated)
    if first:
        click.echo(first)
    click.echo(day_text(given.course, units), nl=False)
    click.echo(plan_text(advice, chosen, week, given.name, units, most_drills=payoffs))
    if last:
        click.echo("\n" + last)
    told = tell_course(given.course, pin)
    tell_doubts(doubts := given.doubts(advice.prepared.posterior))
    if json_file:
        prepared = advice.prepared
        played = {"tee": prepared.tee.name, "pins": prepared.pins, "weeks": weeks, "draws": draws}
        inputs = {**given.inputs, **played}
        results = {**plan_results(advice), "free_strokes": free, **told, "warnings": doubts}
        write_results(json_file, "plan", results, seed=seed, inputs=inputs)


def _log(file: Path | None, drills: Sequence[Drill]) -> PracticeLog | None:
    from rangework.assessment.practice_log import read_practice_log

    return read_practice_log(file, drills) if file else None


def _told(limits: Mapping[str, Any], practised: Path | None) -> dict[str, Any]:
    """The limits as the results tell them, hours in all as a number, and the log of practice where there is one."""
    hours = limits["hours"]
    log = {"practised": practised} if practised else {}
    return {**limits, "hours": hours.get("", hours), **log}
