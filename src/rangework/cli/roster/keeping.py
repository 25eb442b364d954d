"""`roster add`, `import`, `list`, `show`, `history` and `log`: what comes in, and a look at it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.checking import toml_kind
from rangework.cli.days import day_option
from rangework.cli.options import FILE, handicap_option, json_option, mapping_option, roster_option
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results
from rangework.cli.roster.pages import history_text, import_text, list_text, show_text
from rangework.cli.tables import clock, paragraph
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.records.profile import PlayerProfile
    from rangework.roster.cards import ReadCard
    from rangework.roster.importing import ReadCourse, ReadFile
    from rangework.roster.practice_files import ReadPractice

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


@click.command("import")
@name_argument
@click.argument("files", nargs=-1, required=True, type=FILE, metavar="FILE...")
@roster_option(required=True)
@mapping_option
@click.option(
    "--skip-bad-rows",
    is_flag=True,
    help="Import the other rows of a file with faults, and say which were skipped.",
)
def import_files(
    name: str, files: Sequence[Path], roster: Path, mappings: Sequence[Path], skip_bad_rows: bool
) -> None:
    """Import a player's records, cards, hours, profile, course: all FILES or none.

    Records are CSV, and so are filled cards of tests, whose balls are records
    too, and hours practised (day, drill, hours, note); profile and home course
    are known by what is in them. A file that came in before changes nothing.

    \b
      rangework roster import "Wren Aldersey" range.csv putts.csv course.toml
    """
    from rangework.roster.cards import keep_cards
    from rangework.roster.importing import keep_files
    from rangework.roster.practice_files import keep_practice
    from rangework.store import find_player, open_roster

    with open_roster(roster) as kept:
        player = find_player(kept, name)
        drills = _known_drills(kept, player.id)
    found = _read_all(files, mappings, player.profile, drills, skip_bad_rows=skip_bad_rows)
    with open_roster(roster) as kept, kept.writing():
        imported = keep_files(
            kept,
            name,
            found.records,
            profile=found.profiles[0] if found.profiles else None,
            course=found.courses[0] if found.courses else None,
        )
        became = keep_cards(kept, name, found.cards)
        new_lines = [keep_practice(kept, name, each) for each in found.practice]
    tests = list(zip(found.cards, became, strict=True))
    hours = list(zip(found.practice, new_lines, strict=True))
    told = import_text(player.name, found.records, imported, tests, hours, found.profiles, found.courses)
    click.echo(told)


@dataclass(frozen=True, slots=True)
class _Found:
    """What files hold, by kind; at most one profile and one course. Balls of cards are among the records too."""

    records: Sequence[ReadFile]
    cards: Sequence[ReadCard]
    practice: Sequence[ReadPractice]
    profiles: Sequence[PlayerProfile]
    courses: Sequence[ReadCourse]


def _read_all(
    files: Sequence[Path],
    mappings: Sequence[Path],
    profile: PlayerProfile,
    drills: Mapping[str, str],
    *,
    skip_bad_rows: bool,
) -> _Found:
    """Read every file, and tell the faults of all together."""
    from rangework.assessment.card import is_card_file
    from rangework.roster.cards import read_card_file
    from rangework.roster.importing import read_course_file, read_file, read_player_file
    from rangework.roster.practice_files import read_practice_file

    with ReadTogether() as together:
        kinds = [together.read(_kind, file) for file in files]
        by_kind = {
            kind: [file for file, each in zip(files, kinds, strict=True) if each == kind] for kind in KINDS
        }
        together.read(_at_most_one, by_kind)

        def read(
            reader: Callable[..., Any], chosen: Iterable[Path], *given: Any, **options: Any
        ) -> list[Any]:
            return [together.read(reader, file, *given, **options) for file in chosen]

        balls = by_kind["records"]
        return _Found(
            profiles=read(read_player_file, by_kind["player profile"], profile),
            courses=read(read_course_file, by_kind["course"]),
            records=read(read_file, balls, mappings, skip_bad_rows=skip_bad_rows),
            practice=read(read_practice_file, by_kind["practice"], drills, skip_bad_rows=skip_bad_rows),
            cards=read(read_card_file, filter(is_card_file, balls), leave_out_faulty=skip_bad_rows),
        )


KINDS = ("records", "practice", "player profile", "course")


def _kind(file: Path) -> str:
    """What a file is imported as. Raises InputError for what a roster does not keep."""
    from rangework.course.files import SUFFIXES, split_name
    from rangework.roster.practice_files import is_practice_file

    suffix = split_name(file)[0].suffix.lower()
    if suffix != ".toml":
        return "course" if suffix in SUFFIXES else "practice" if is_practice_file(file) else "records"
    kind = toml_kind(file)
    if kind in KINDS:
        return kind
    remedy = (
        "Give it with --mapping." if kind == "mapping" else "Give it to `rangework roster plan --drills`."
    )
    raise InputError(
        Problem(str(file), "", "", f"records, a profile or a course, and this is a {kind} file", remedy)
    )


def _at_most_one(by_kind: dict[str, list[Path]]) -> None:
    over = [(kind, by_kind[kind][1]) for kind in KINDS[2:] if len(by_kind[kind]) > 1]
    if over:
        raise InputError(
            [Problem(str(file), "", "", f"one {kind} file of a player at a time") for kind, file in over]
        )


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
        drills = _known_drills(kept, player.id)
        known = drill_id(drill, drills)
        if known is None:
            expected = "a drill of the catalogue or of a plan"
            raise InputError(Problem("DRILL", "", drill, expected, unknown_drill(drill, drills)))
        new = log_practice(kept, player.id, Practice(on.isoformat(), known, hours, note))
    said = "logged" if new else "there already, nothing changed"
    click.echo(
        f"{shown_text(player.name)}, {on}: {clock(60.0 * hours)} of {shown_text(drills[known])}, {said}."
    )


def _known_drills(kept: Any, player: int) -> dict[str, str]:
    """Names of drills by id: those that come with rangework, and those of the player's plans."""
    from rangework.plan.drills import drill_catalogue
    from rangework.store.plans import plans_of

    planned = {each.drill: each.name for plan in plans_of(kept, player) for each in plan.hours}
    return {**planned, **{each.id: each.name for each in drill_catalogue()}}
