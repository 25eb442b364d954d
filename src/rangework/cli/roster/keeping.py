"""`roster add`, `import`, `list`, `show`, `history` and `log`: what comes in, and a look at it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import click

from rangework.cli.checking import toml_kind
from rangework.cli.days import day_option
from rangework.cli.options import FILE, handicap_option, json_option, roster_option
from rangework.cli.results import write_results
from rangework.cli.roster.pages import history_text, list_text, show_text
from rangework.cli.tables import clock, paragraph
from rangework.errors import InputError, Problem

name_argument = click.argument("name", metavar="NAME")


@click.command("add")
@click.argument("name", metavar="[NAME]", required=False)
@roster_option(required=True)
@handicap_option
@click.option("--age", type=click.IntRange(5, 110), metavar="YEARS", help="Age: sets the safety limits.")
@click.option(
    "--hand",
    type=click.Choice(["right", "left"]),
    default="right",
    show_default=True,
    help="Right- or left-handed.",
)
@click.option("--women", is_flag=True, help="Compared with and rated by women's tables.")
@click.option(
    "--folder",
    type=FILE,
    metavar="DIR",
    help="Instead of NAME: add a player for every profile NAME.toml in DIR, and import the records NAME.csv or "
    "NAME-*.csv beside it, and the one course.",
)
def add(
    name: str,
    roster: Path,
    handicap: float | None,
    age: int | None,
    hand: Any,
    women: bool,
    folder: Path | None,
) -> None:
    """Add a player; the roster's file is made if need be.

    \b
      rangework roster add "Wren Aldersey" --handicap 14.2 --roster club.roster
    """
    from rangework.records.profile import PlayerProfile
    from rangework.shown_text import shown_text
    from rangework.store import add_player, open_roster

    if bool(name) == bool(folder):
        raise click.UsageError("Give either NAME or --folder.")
    if folder:
        _add_folder(folder, roster)
        return
    profile = PlayerProfile(
        name=name, handicap=handicap, age=age, hand=hand, reference="women" if women else "men"
    )
    with open_roster(roster, make=True) as kept:
        player = add_player(kept, profile)
    click.echo(f"{shown_text(player.name)} is in {roster}.")


def _add_folder(folder: Path, roster: Path) -> None:
    from rangework.roster.folder import keep_folder, read_folder
    from rangework.shown_text import shown_text
    from rangework.store import open_roster

    found = read_folder(folder, toml_kind)
    with open_roster(roster, make=True) as kept:
        new, new_balls = keep_folder(kept, found)
    players, balls = len(found.players), sum(file.records.n_balls for p in found.players for file in p.files)
    if new or new_balls:
        told = f"{roster}: {new} new of {players} players, {new_balls} new of {balls} balls from {folder}."
    else:
        told = f"{roster}: nothing changed, all {players} players and {balls} balls of {folder} are there already."
    home = f" Home course of all: {shown_text(found.course.name)}." if found.course else ""
    click.echo(paragraph(told + home))


@click.command("list")
@roster_option(required=True)
@json_option
def list_players(roster: Path, json_file: Path | None) -> None:
    """List the players, a line for each: balls, last ball, plan and practice."""
    from rangework.store import open_roster
    from rangework.store.record_files import lines

    with open_roster(roster) as kept:
        found = lines(kept)
    click.echo(list_text(found))
    if json_file:
        write_results(json_file, "roster list", {"players": found}, seed=None, inputs={"roster": roster})


@click.command("show")
@name_argument
@roster_option(required=True)
def show(name: str, roster: Path) -> None:
    """Show what the roster holds of a player, and the latest plan."""
    from rangework.store import find_player, imported_files, open_roster, practised
    from rangework.store.cards import cards_of
    from rangework.store.courses import course_by_number
    from rangework.store.plans import plans_of
    from rangework.store.record_files import held

    with open_roster(roster) as kept, kept.reading():
        player = find_player(kept, name)
        course = course_by_number(kept, player.home_course).name if player.home_course is not None else ""
        text = show_text(
            player,
            held(kept, player.id),
            imported_files(kept, player.id),
            cards_of(kept, player.id),
            course,
            plans_of(kept, player.id, latest=1),
            practised(kept, player.id),
        )
    click.echo(text)


@click.command("history")
@name_argument
@roster_option(required=True)
def history(name: str, roster: Path) -> None:
    """Tell what happened with a player, the latest first."""
    from rangework.store import find_player, imported_files, open_roster, practised
    from rangework.store.cards import cards_of
    from rangework.store.plans import plans_of

    with open_roster(roster) as kept, kept.reading():
        player = find_player(kept, name)
        text = history_text(
            player,
            imported_files(kept, player.id),
            cards_of(kept, player.id),
            plans_of(kept, player.id),
            practised(kept, player.id),
        )
    click.echo(text)


def _hours_of_a_day(_ctx: click.Context, _parameter: click.Parameter, written: str) -> float:
    try:
        hours = float(written)
    except ValueError:
        hours = 0.0
    if not 0.0 < hours <= 24.0:
        raise click.BadParameter(f"{written!r} is no number of hours above 0 and up to 24, such as 0.75.")
    return hours


@click.command("log")
@name_argument
@click.argument("drill", metavar="DRILL")
@click.argument("hours", callback=_hours_of_a_day, metavar="HOURS")
@roster_option(required=True)
@day_option("--on", "The day, as YYYY-MM-DD.", default=date.today, show_default="today")
@click.option("--note", default="", metavar="TEXT", help="A note to go with it.")
def log(name: str, drill: str, hours: float, roster: Path, on: date, note: str) -> None:
    """Log the HOURS that a player really practised a DRILL.

    DRILL is a drill's name, as `roster show` lists it with the plan, or its
    id; of your own drills file once a plan has it.

    \b
      rangework roster log "Wren Aldersey" pace_to_five_lengths 0.75 \\
        --on 2026-06-01
    """
    from rangework.roster.practice_files import LONGEST_NOTE, drill_id, unknown_drill
    from rangework.shown_text import shown_text
    from rangework.store import Practice, find_player, log_practice, open_roster

    if len(note) > LONGEST_NOTE:
        raise InputError(Problem("--note", "", note[:40], f"at most {LONGEST_NOTE} characters"))
    with open_roster(roster) as kept, kept.writing():
        player = find_player(kept, name)
        drills = known_drills(kept, player.id)
        known = drill_id(drill, drills)
        if known is None:
            expected = "a drill of the catalogue or of a plan"
            raise InputError(Problem("DRILL", "", drill, expected, unknown_drill(drill, drills)))
        new = log_practice(kept, player.id, Practice(on.isoformat(), known, hours, note))
    said = "logged" if new else "there already, nothing changed"
    click.echo(
        f"{shown_text(player.name)}, {on}: {clock(60.0 * hours)} of {shown_text(drills[known])}, {said}."
    )


def known_drills(kept: Any, player: int) -> dict[str, str]:
    """Names of drills by id: those that come with rangework, and those of the player's plans."""
    from rangework.plan.drills import drill_catalogue
    from rangework.store.plans import plans_of

    planned = {each.drill: each.name for plan in plans_of(kept, player) for each in plan.hours}
    return {**planned, **{each.id: each.name for each in drill_catalogue()}}
