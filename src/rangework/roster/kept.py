"""What the roster keeps of a player, as the commands that take record files want it."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from rangework.course import read_course
from rangework.course.geometry import Course
from rangework.errors import InputError, Problem
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.store.balls import player_records
from rangework.store.courses import Course as KeptCourse
from rangework.store.courses import course_by_number, find_course
from rangework.store.players import Player, find_player
from rangework.store.roster_file import Roster, open_roster


def kept_records(path: Path, name: str) -> ShotRecords:
    """Every ball of a player of the roster at ``path``."""
    with open_roster(path) as roster:
        player = find_player(roster, name)
        records = player_records(roster, player.id)
    if not records.n_balls:
        remedy = f"Import some: `rangework roster import {player.name!r} FILE...`."
        raise InputError(Problem(str(path), f"player {player.name}", "", "balls, and there are none", remedy))
    return records


def kept_profile(path: Path, name: str) -> PlayerProfile:
    """The profile of a player of the roster at ``path``."""
    with open_roster(path) as roster:
        return find_player(roster, name).profile


def kept_course(path: Path, *, player: str = "", course: str = "") -> Course:
    """The kept course of that name, or else the player's home course. Raises InputError where there is none."""
    with open_roster(path) as roster:
        return home_course(roster, player) if not course else course_of(find_course(roster, course))


def home_course(roster: Roster, player: str) -> Course:
    """The course that a player usually plays. Raises InputError for a player without one."""
    found = find_player(roster, player)
    if found.home_course is None:
        remedy = f"Give --course FILE, or `rangework roster import {found.name!r} COURSE.toml`."
        raise InputError(Problem(str(roster.path), f"player {found.name}", "", "a home course", remedy))
    return course_of(course_by_number(roster, found.home_course))


def course_of(kept: KeptCourse) -> Course:
    """A kept course, read as its file would be."""
    file, _, part = kept.file_name.partition("#")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / file
        path.write_bytes(kept.content)
        return read_course(f"{path}#{part}" if part else path)


def kept_courses_of(
    roster: Roster, players: Sequence[Player], course: Path | None = None
) -> dict[int, Course | str]:
    """By player the course to plan for: the one given, a file or a name, or the home course; or why there is none."""
    if course is not None:
        played = (
            read_course(course)
            if course.suffix or course.exists()
            else course_of(find_course(roster, str(course)))
        )
        return {player.id: played for player in players}
    read: dict[int, Course | str] = {}
    for number in {player.home_course for player in players if player.home_course is not None}:
        read[number] = course_of(course_by_number(roster, number))
    return {
        player.id: "no home course: import one, or give --course"
        if player.home_course is None
        else read[player.home_course]
        for player in players
    }
