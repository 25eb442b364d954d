"""`rangework plan`: where an hour of practice pays most, and the week's hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.habits_in_plan import free_strokes_first, stated_habits
from rangework.cli.kept import KeptPlayer
from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import (
    aims_option,
    conditions_options,
    player_options,
    playing_options,
    run_options,
)
from rangework.cli.plan_page import plan_text
from rangework.cli.plan_results import plan_results
from rangework.cli.playing import Given, day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.practised import practised_by, practised_option, told_inputs
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results
from rangework.cli.tables import paragraph

if TYPE_CHECKING:
    from rangework.advice import Advice
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
@practised_option
@aims_option
@draws_option(100)
@run_options
def command(
    records: Sequence[Path] | KeptPlayer,
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
    done = practised_by(records, practised, given.drills)
    with progress("Valuing the parts") as shown:
        advice = advise(
            given.records, given.course, week, profile=given.profile, tee=tee, pin=pin, drills=chosen,
            responses=given.drills.responses if given.drills else None, practised=done.log, group=done.group,
            horizon_weeks=weeks, draws=draws, seed=seed, threads=threads, progress=shown.report,
        )  # fmt: skip
    first, last, free = free_strokes_first(advice.prepared, given.records, stated)
    click.echo(f"{first}\n" if first else "", nl=False)
    click.echo(day_text(given.course, units), nl=False)
    page = plan_text(advice, chosen, week, given.name, units, most_drills=payoffs, pooled=done.parts)
    click.echo(page)
    click.echo(f"\n{last}\n" if last else "", nl=False)
    told = tell_course(given.course, pin)
    tell_doubts(doubts := given.doubts(advice.prepared.posterior))
    if json_file:
        results = {**plan_results(advice), "free_strokes": free, **told, "warnings": doubts}
        write_results(json_file, "plan", results, seed=seed, inputs=_inputs(given, advice, weeks, draws))
    if isinstance(records, KeptPlayer):
        settings = {"hours": limits["hours"], "days": limits["days"], "draws": draws, "weeks": weeks}
        _keep(records, advice, page, settings, seed)


def _inputs(given: Given, advice: Advice, weeks: float, draws: int) -> dict[str, Any]:
    played = {"tee": advice.prepared.tee.name, "pins": advice.prepared.pins}
    return {**given.inputs, **played, "weeks": weeks, "draws": draws}


def _keep(kept: KeptPlayer, advice: Advice, page: str, settings: Mapping[str, Any], seed: int) -> None:
    """Keep the plan in the roster, as `roster plan` does, and say so. Raises InputError where it cannot be written."""
    from rangework.cli.results import plain
    from rangework.store import find_player, open_roster
    from rangework.store.plans import keep_plan

    plan = advice.plan.plan
    with open_roster(kept.roster) as roster:
        player = find_player(roster, kept.player)
        keep_plan(
            roster, player.id, course=advice.prepared.course.name, seed=seed, strokes_saved=plan.strokes_saved.value,
            settings={**settings, "kind": "alone"}, results=plain(plan_results(advice)), page=page, hours=plan.hours,
        )  # fmt: skip
    click.echo(
        "\n" + paragraph(f"This plan is kept in {kept.roster}: `rangework roster report` shows it again.")
    )


def _told(limits: Mapping[str, Any], practised: Path | None) -> dict[str, Any]:
    """The limits as the results tell them, hours in all as a number, and the log of practice where there is one."""
    hours = limits["hours"]
    return {**limits, "hours": hours.get("", hours), **told_inputs(practised)}
