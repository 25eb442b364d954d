"""`roster plan`: every player's plan, and how the facility's hours should be shared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.limiting import drills_option, limit_options, week_limits, weeks_option
from rangework.cli.options import (
    FILE,
    OutputFile,
    available_threads,
    pin_option,
    roster_option,
    seed_option,
    tee_option,
    units_option,
)
from rangework.cli.plan_page import plan_text
from rangework.cli.plan_results import plan_results
from rangework.cli.playing import draws_option
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import plain, write_results
from rangework.cli.roster.learned import pooled_results
from rangework.cli.roster.monday_pages import check_new_folder, write_pages
from rangework.cli.roster.summary import (
    again_text,
    changed_results,
    pooled_summary,
    sharing_text,
    summary_results,
    summary_text,
)
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.course.geometry import Course
    from rangework.roster.monday import Monday, RenderAgain
    from rangework.roster.planning import Job, Planned, Settings
    from rangework.roster.pooled_responses import PooledResponses
    from rangework.store import Roster
    from rangework.store.players import Player
    from rangework.units import Units


def _capacity(_ctx: click.Context, _parameter: click.Parameter, written: Sequence[str]) -> dict[str, float]:
    from rangework.plan.drills import PLACES

    capacity: dict[str, float] = {}
    for each in written:
        place, _, hours = each.partition("=")
        try:
            capacity[place] = float(hours)
        except ValueError:
            capacity[place] = -1.0
        if place not in PLACES or not 0.0 <= capacity[place] <= 1e6:
            raise click.BadParameter(
                f"{each!r} is not place=hours, such as range=40; places: {', '.join(PLACES)}."
            )
    return capacity


@click.command("plan")
@click.argument("names", nargs=-1, metavar="[NAME]...")
@roster_option(required=True)
@click.option("--all", "everybody", is_flag=True, help="Plan for every player who has balls.")
@click.option(
    "--course", type=FILE, metavar="FILE", help="The course for all. Without it: each player's home course."
)
@tee_option
@pin_option
@limit_options
@click.option(
    "--capacity",
    multiple=True,
    metavar="PLACE=HOURS",
    callback=_capacity,
    help="Hours a week that a place has for all players together, such as range=40: they are shared so that all "
    "together save most. May be given more than once.",
)
@click.option(
    "--trial", is_flag=True, help="Where two drills cannot be told apart, assign one of them at random."
)
@drills_option
@weeks_option
@click.option(
    "--pages", type=FILE, metavar="DIR", help="Also write a page and the numbers of each player to DIR."
)
@click.option(
    "--processes",
    type=click.IntRange(1),
    default=available_threads,
    show_default="all processors",
    help="Players planned for at once; the plans do not depend on it.",
)
@click.option("--scheduler", metavar="ADDRESS", help="Plan on the machines of this Dask cluster.")
@draws_option(100)
@units_option
@seed_option
@click.option(
    "--json", "json_file", type=OutputFile(), metavar="FILE", help="Also write the summary to this file."
)
def plan(
    names: Sequence[str],
    roster: Path,
    everybody: bool,
    course: Path | None,
    tee: str | None,
    pin: str | None,
    capacity: Mapping[str, float],
    trial: bool,
    drills: Path | None,
    weeks: float,
    pages: Path | None,
    processes: int,
    scheduler: str | None,
    draws: int,
    units: Units,
    seed: int,
    json_file: Path | None,
    **limits: Any,
) -> None:
    """Make the plans of players, keep them, and tell who gains most from what.

    With --capacity also how the hours of the facility should be shared, and
    which place is scarce.

    \b
      rangework roster plan "Wren Aldersey" --hours 6
      rangework roster plan --all --hours 4 --capacity range=30 --pages monday
    """
    if bool(names) == everybody:
        raise click.UsageError("Give either NAMEs or --all.")
    from rangework.roster.kept import kept_courses_of
    from rangework.roster.monday import monday
    from rangework.roster.pooled_responses import pooled_responses
    from rangework.store import find_player, kept_players, open_roster

    with ReadTogether() as together:
        settings = together.read(_settings, drills, tee=tee, pin=pin, weeks=weeks, draws=draws, seed=seed)
        together.read(check_new_folder, pages)
    with open_roster(roster) as kept:
        players = kept_players(kept) if everybody else [find_player(kept, name) for name in names]
        courses = kept_courses_of(kept, players, course)
        _check_limits(players, settings, limits)
        _check_named(kept, () if everybody else players, courses)
        pooled = pooled_responses(kept, settings.drills, settings.responses)
        with progress("Planning") as shown:
            week = monday(
                kept, lambda done: _jobs(roster, players, done, courses, settings, limits, pooled), settings,
                _Page(units, pooled), _again(settings), total=len(players), capacity=capacity, trial=trial,
                processes=processes, scheduler=scheduler, progress=shown.report,
                told={"hours": limits["hours"], "days": limits["days"], "draws": draws, "weeks": weeks},
            )  # fmt: skip
    _tell(week, settings, pooled)
    if pages:
        write_pages(pages, week, settings, roster, units)
        click.echo(f"\nPages are in {pages}.")
    if json_file:
        inputs = {
            "roster": roster, "players": names, "course": course, "tee": tee, "pin": pin, "drills": drills,
            "capacity": capacity, "weeks": weeks, "draws": draws, "trial": trial, **limits,
        }  # fmt: skip
        results = {**summary_results(week), "learned_from_roster": pooled_results(pooled)}
        write_results(json_file, "roster plan", results, seed=seed, inputs=inputs)


def _settings(drills: Path | None, **options: Any) -> Settings:
    from rangework.plan.drill_file import read_drills
    from rangework.plan.drills import drill_catalogue
    from rangework.roster.planning import Settings

    own = read_drills(drills) if drills else None
    return Settings(
        tuple(own.drills if own else drill_catalogue()), own.responses if own else None, **options
    )


def _tell(week: Monday, settings: Settings, pooled: PooledResponses | None) -> None:
    names = {drill.id: drill.name for drill in settings.drills}
    click.echo(summary_text(week, names))
    if pooled:
        click.echo("\n" + pooled_summary(pooled))
    if week.capacity:
        click.echo("\n" + sharing_text(week))


class _Page:
    """Makes a player's page; sent to the processes that plan."""

    def __init__(self, units: Units, pooled: PooledResponses | None) -> None:
        self._units = units
        self._pooled = pooled

    def __call__(self, job: Job, advice: Advice, settings: Settings) -> tuple[str, Mapping[str, Any]]:
        from rangework.shown_text import shown_text

        assert job.limits is not None
        page = plan_text(
            advice,
            settings.drills,
            job.limits,
            shown_text(job.profile.name),
            self._units,
            most_drills=10,
            pooled=self._pooled.parts if self._pooled else (),
        )
        return page, {
            **plain(plan_results(advice)),
            "practice_in_roster": plain(pooled_results(self._pooled)),
        }


def _again(settings: Settings) -> RenderAgain:
    """Makes the page and results of a week that a share or a lot has changed."""

    def render(week: Monday, planned: Planned) -> tuple[str, Mapping[str, Any]]:
        page = planned.page + again_text(week, planned, settings.drills)
        return page, {**(planned.results or {}), **plain(changed_results(week, planned, settings.drills))}

    return render


def _jobs(
    path: Path,
    players: Sequence[Player],
    done: frozenset[int],
    courses: Mapping[int, Course | str],
    settings: Settings,
    limits: Mapping[str, Any],
    pooled: PooledResponses | None,
) -> Iterator[Job]:
    """The players still to be planned for, read one by one: a roster need not fit into memory."""
    from rangework.roster.logged_hours import practice_log
    from rangework.roster.planning import Job
    from rangework.store import open_roster, player_records, practised

    for player in players:
        if player.id in done:
            continue
        course = courses[player.id]
        with open_roster(path) as kept:  # the work is handed out by a thread of its own
            records = player_records(kept, player.id)
            log = practice_log(practised(kept, player.id), settings.drills)
        fault = course if isinstance(course, str) else "" if records.n_balls else "no balls yet"
        try:
            week = week_limits(player.profile.age, settings.drills, **limits)
        except InputError as error:
            fault = fault or str(error)
        if isinstance(course, str) or fault:
            yield Job(player.id, player.profile, fault=fault)
        else:
            group = pooled.learned.of(player.id) if pooled else None
            yield Job(player.id, player.profile, records, course, week, log, group)


def _check_named(kept: Roster, players: Sequence[Player], courses: Mapping[int, Course | str]) -> None:
    """Raises InputError where one of the players asked for by name cannot be planned for."""
    from rangework.store.record_files import held

    problems = []
    for player in players:
        place = f"player {player.name}"
        if isinstance(courses[player.id], str):
            remedy = f"Give --course FILE, or `rangework roster import {player.name!r} COURSE.toml`."
            problems.append(Problem(str(kept.path), place, "", "a home course, and there is none", remedy))
        if not held(kept, player.id).balls:
            remedy = f"Import some: `rangework roster import {player.name!r} FILE...`."
            problems.append(Problem(str(kept.path), place, "", "balls, and there are none", remedy))
    if problems:
        raise InputError(problems)


def _check_limits(players: Sequence[Player], settings: Settings, limits: Mapping[str, Any]) -> None:
    """Raises InputError where the limits hold for nobody: a slip of the pen is told before the work begins."""
    errors = []
    for age in {player.profile.age for player in players}:
        try:
            week_limits(age, settings.drills, **limits)
        except InputError as error:
            errors.append(error)
        else:
            return
    if errors:
        raise errors[0]
