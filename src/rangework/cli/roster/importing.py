"""`roster import`: a player's balls, cards, hours, profile and home course, all files or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.checking import toml_kind
from rangework.cli.options import FILE, mapping_option, roster_option
from rangework.cli.reading import ReadTogether
from rangework.cli.roster.keeping import known_drills, name_argument
from rangework.cli.roster.pages import import_text
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.records.profile import PlayerProfile
    from rangework.roster.cards import ReadCard
    from rangework.roster.importing import ReadCourse, ReadFile
    from rangework.roster.practice_files import ReadPractice


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
        drills = known_drills(kept, player.id)
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
