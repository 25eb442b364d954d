"""A folder of players into the roster: the first day of an academy."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rangework.assessment.card import is_card_file
from rangework.errors import InputError, Problem
from rangework.records.profile import PlayerProfile, read_profile
from rangework.roster.cards import ReadCard, keep_cards, read_card_file
from rangework.roster.importing import ReadCourse, ReadFile, keep_files, read_course_file, read_file
from rangework.store.players import add_player, kept_players, name_key
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class FoundPlayer:
    """A player of a folder: the profile, the files of balls, and those of them that are filled cards."""

    profile: PlayerProfile
    files: tuple[ReadFile, ...]
    cards: tuple[ReadCard, ...] = ()


@dataclass(frozen=True, slots=True)
class Folder:
    """What a folder holds; the course is everybody's home course."""

    players: tuple[FoundPlayer, ...]
    course: ReadCourse | None


def read_folder(folder: Path, kind_of: Callable[[Path], str]) -> Folder:
    """Read every profile of a folder with the records beside it, and its course.

    ``kind_of`` tells what a TOML file is. Raises InputError with the faults of all files.
    """
    if not folder.is_dir():
        raise InputError(Problem(str(folder), "", "", "a folder"))
    problems: list[Problem] = []
    players, courses = [], []
    for path in sorted(folder.glob("*.toml")):
        try:
            kind = kind_of(path)
            if kind == "player profile":
                players.append(_player(path))
            elif kind == "course":
                courses.append(read_course_file(path))
        except InputError as error:
            problems += error.problems
    if len(courses) > 1:
        problems.append(
            Problem(str(folder), "", "", "one course, the home course of all players in the folder")
        )
    if not problems and not players:
        problems.append(Problem(str(folder), "", "", "profiles of players (TOML), and there are none"))
    if problems:
        raise InputError(problems)
    return Folder(tuple(players), courses[0] if courses else None)


def _player(path: Path) -> FoundPlayer:
    profile = read_profile(path)
    if not profile.name:
        raise InputError(Problem(str(path), "name", "", "the player's name"))
    records = sorted([*path.parent.glob(f"{path.stem}.csv"), *path.parent.glob(f"{path.stem}-*.csv")])
    return FoundPlayer(
        profile,
        tuple(read_file(file, (), skip_bad_rows=False) for file in records),
        tuple(read_card_file(file, leave_out_faulty=False) for file in records if is_card_file(file)),
    )


def keep_folder(roster: Roster, folder: Folder) -> tuple[int, int]:
    """Keep all players of a folder, in one transaction; how many of them, and of their balls, were new."""
    with roster.writing():
        there = {name_key(player.name) for player in kept_players(roster)}
        new = balls = 0
        for player in folder.players:
            if name_key(player.profile.name) not in there:
                add_player(roster, player.profile)
                new += 1
            imported = keep_files(
                roster, player.profile.name, player.files, profile=player.profile, course=folder.course
            )
            balls += sum(file.balls_new for file in imported if not file.known)
            keep_cards(roster, player.profile.name, player.cards)
    return new, balls
