"""Files of a player into the roster: all of them or none, each once."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rangework.course import read_course
from rangework.course.files import split_name
from rangework.errors import InputError, Problem
from rangework.records import read_records, read_sound_rows
from rangework.records.profile import PlayerProfile, read_profile
from rangework.records.shots import ShotRecords
from rangework.records.table import read_bytes
from rangework.store.courses import keep_course
from rangework.store.players import find_player, keep_profile
from rangework.store.record_files import Imported, import_records
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class ReadFile:
    """The balls of one file, and the faults of the rows that were skipped."""

    path: Path
    digest: str
    records: ShotRecords
    skipped: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class ReadCourse:
    """A course file that can be read: its name and its bytes."""

    name: str
    file_name: str
    content: bytes


def read_file(path: Path, mappings: Sequence[Path], *, skip_bad_rows: bool) -> ReadFile:
    """Read a file of balls. Raises InputError for a fault, unless it is in a row and such rows are skipped."""
    digest = hashlib.sha256(read_bytes(path))
    for mapping in sorted(mappings):
        digest.update(read_bytes(mapping))
    if skip_bad_rows:
        records, problems = read_sound_rows(path, mappings)
    else:
        records, problems = read_records([path], mappings=mappings), []
    return ReadFile(path, digest.hexdigest(), records, tuple(problems))


def read_course_file(path: Path) -> ReadCourse:
    """Read a course to be kept. Raises InputError for a course that cannot be played."""
    course = read_course(path)
    file, part = split_name(path)
    return ReadCourse(course.name, file.name + (f"#{part}" if part else ""), read_bytes(file))


def read_player_file(path: Path, kept: PlayerProfile) -> PlayerProfile:
    """The profile of a file under the player's name in the roster. Raises InputError where it names another."""
    profile = read_profile(path)
    if profile.name and " ".join(profile.name.split()).casefold() != kept.name.casefold():
        expected = f"the profile of {kept.name}"
        raise InputError(Problem(str(path), "name", profile.name, expected, "Import it for that player."))
    return replace(profile, name=kept.name)


def keep_files(
    roster: Roster,
    name: str,
    files: Sequence[ReadFile],
    *,
    profile: PlayerProfile | None = None,
    course: ReadCourse | None = None,
) -> list[Imported]:
    """Keep what was read of a player, in one transaction; what became of each file of balls."""
    with roster.writing():
        player = find_player(roster, name)
        if profile:
            keep_profile(roster, player.id, profile)
        if course:
            keep_course(roster, course.name, course.file_name, course.content, player=player.id)
        return [
            import_records(
                roster, player.id, file.path.name, file.digest, file.records, rows_skipped=_rows(file.skipped)
            )
            for file in files
        ]


def _rows(problems: Sequence[Problem]) -> int:
    return len({problem.place.partition(",")[0] for problem in problems})
