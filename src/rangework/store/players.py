"""Players of a roster."""

from __future__ import annotations

import sqlite3
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from difflib import get_close_matches
from typing import cast

from rangework.errors import InputError, Problem
from rangework.records.profile import Golfers, Hand, PlayerProfile
from rangework.store.roster_file import Roster

LONGEST_NAME = 100


@dataclass(frozen=True, slots=True)
class Player:
    """A player of a roster: the number it has there, who they are, the course they usually play, and since when.

    ``home_course`` is the number of a kept course, or None.
    """

    id: int
    profile: PlayerProfile
    home_course: int | None
    added_at: str

    @property
    def name(self) -> str:
        """The player's name as it was given."""
        return self.profile.name


def now() -> str:
    """This moment as the roster writes it."""
    return datetime.now().isoformat(timespec="seconds")


def name_key(name: str) -> str:
    """A name as it is looked up: capitals, accents' writing and surplus blanks make no difference."""
    return unicodedata.normalize("NFKC", " ".join(name.split())).casefold()


def add_player(roster: Roster, profile: PlayerProfile) -> Player:
    """A new player. Raises InputError for a name that is taken, empty, or too long."""
    name = " ".join(profile.name.split())
    if not name or len(name) > LONGEST_NAME or not name_key(name):
        raise InputError(Problem("NAME", "", name[:40], f"a name of 1 to {LONGEST_NAME} characters"))
    with roster.writing() as connection:
        if _row(connection, name):
            raise InputError(
                Problem(
                    str(roster.path),
                    "player",
                    name,
                    "a name that is not there yet",
                    "See `rangework roster list`.",
                )
            )
        new = connection.execute(
            "INSERT INTO player (name, name_key, hand, reference, added_at) VALUES (?, ?, ?, ?, ?)",
            (name, name_key(name), profile.hand, profile.reference, now()),
        )
        keep_profile(roster, int(new.lastrowid or 0), replace(profile, name=name))
        return find_player(roster, name)


def keep_profile(roster: Roster, player: int, profile: PlayerProfile) -> None:
    """What is now known of a player; the name stays."""
    age_on = None if profile.age is None else date.today().isoformat()
    with roster.writing() as connection:
        connection.execute(
            "UPDATE player SET handicap = ?, age = ?, age_on = ?, hand = ?, reference = ?, swings_a_week = ? "
            "WHERE id = ?",
            (
                profile.handicap, profile.age, age_on, profile.hand, profile.reference, profile.swings_a_week,
                player,
            ),
        )  # fmt: skip
        connection.execute("DELETE FROM player_club WHERE player_id = ?", (player,))
        connection.executemany(
            "INSERT INTO player_club VALUES (?, ?, ?)",
            [(player, club, carry_m) for club, carry_m in profile.clubs.items()],
        )


def find_player(roster: Roster, name: str) -> Player:
    """The player of that name. Raises InputError, with the nearest name, where there is none."""
    with roster.reading() as connection:
        row = _row(connection, name)
        if row is None:
            raise _unknown(roster, name)
        return _player(row, _clubs(connection, [row[0]]).get(row[0], {}))


def kept_players(roster: Roster) -> list[Player]:
    """Every player, by name."""
    with roster.reading() as connection:
        rows = connection.execute(f"{_SELECT} ORDER BY name_key").fetchall()
        clubs = _clubs(connection)
    return [_player(row, clubs.get(row[0], {})) for row in rows]


_SELECT = "SELECT id, name, handicap, age, age_on, hand, reference, swings_a_week, home_course, added_at FROM player"


def _row(connection: sqlite3.Connection, name: str) -> tuple[object, ...] | None:
    found = connection.execute(f"{_SELECT} WHERE name_key = ?", (name_key(name),)).fetchone()
    return cast("tuple[object, ...] | None", found)


def _clubs(connection: sqlite3.Connection, only: Sequence[object] = ()) -> dict[object, Mapping[str, float]]:
    where = " WHERE player_id = ?" if only else ""
    clubs: dict[object, dict[str, float]] = {}
    for player, club, carry_m in connection.execute(
        f"SELECT player_id, club, carry_m FROM player_club{where}", tuple(only)
    ):
        clubs.setdefault(player, {})[club] = carry_m
    return dict(clubs)


def _player(row: Sequence[object], clubs: Mapping[str, float]) -> Player:
    id_, name, handicap, age, age_on, hand, reference, swings, home, added_at = row
    profile = PlayerProfile(
        name=str(name),
        handicap=cast("float | None", handicap),
        age=None if age is None else cast(int, age) + _years_since(str(age_on)),
        hand=cast(Hand, hand),
        reference=cast(Golfers, reference),
        clubs=clubs,
        swings_a_week=cast("int | None", swings),
    )
    return Player(cast(int, id_), profile, cast("int | None", home), str(added_at))


def _years_since(day: str) -> int:
    """Whole years: a child is taken for no older than the roster knows for sure."""
    then, today = date.fromisoformat(day), date.today()
    return max(0, today.year - then.year - ((today.month, today.day) < (then.month, then.day)))


def _unknown(roster: Roster, name: str) -> InputError:
    with roster.reading() as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM player")]
    by_key = {name_key(each): each for each in names}
    near = get_close_matches(name_key(name), by_key, n=1)
    remedy = f"Did you mean {by_key[near[0]]!r}?" if near else "`rangework roster list` shows who is there."
    return InputError(Problem(str(roster.path), "player", name, "a player of the roster", remedy))
