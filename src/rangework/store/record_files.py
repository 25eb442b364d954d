"""Importing a file of balls: wholly or not at all, and once."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rangework.records.shots import KINDS, ShotRecords, from_frames, merge_records
from rangework.store.balls import records_of_files, write_balls
from rangework.store.players import now
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class Imported:
    """What became of one file: ``known`` is the day on which the very same file came in before, or empty.

    ``balls_new`` of ``balls_read`` were not in the roster; ``rows_skipped`` had faults.
    """

    name: str
    imported_at: str
    balls_read: int
    balls_new: int
    rows_skipped: int
    known: str = ""


def import_records(
    roster: Roster, player: int, name: str, digest: str, records: ShotRecords, *, rows_skipped: int = 0
) -> Imported:
    """Keep the balls of a file that the player does not have yet.

    A file of that ``digest``, or without a new ball, changes nothing. The same ball is known again as
    ``merge_records`` knows it, so that reading the roster gives what reading all the files together would.
    """
    with roster.writing() as connection:
        known = connection.execute(
            "SELECT name, imported_at, balls_read, balls_new, rows_skipped FROM record_file "
            "WHERE player_id = ? AND digest = ?",
            (player, digest),
        ).fetchone()
        if known:
            return replace(Imported(*known), known=known[1])
        files = connection.execute(
            "SELECT id, name FROM record_file WHERE player_id = ? ORDER BY id", (player,)
        ).fetchall()
        new = _not_yet_there(records_of_files(connection, files), records) if files else records
        if not new.n_balls:
            return Imported(name, now(), records.n_balls, 0, rows_skipped)
        row = (player, name, digest, now(), records.n_balls, new.n_balls, rows_skipped)
        made = connection.execute(
            "INSERT INTO record_file (player_id, name, digest, imported_at, balls_read, balls_new, rows_skipped) "
            "VALUES (?, ?, ?, ?, ?, ?, ?)",
            row,
        )
        write_balls(connection, int(made.lastrowid or 0), new)
    return Imported(name, row[3], row[4], row[5], rows_skipped)


def _not_yet_there(kept: ShotRecords, read: ShotRecords) -> ShotRecords:
    together = merge_records([kept, read])
    return from_frames({kind: together.frame(kind).iloc[len(kept.frame(kind)) :] for kind in KINDS})


def imported_files(roster: Roster, player: int) -> list[Imported]:
    """The files of a player in the order in which they came."""
    with roster.reading() as connection:
        rows = connection.execute(
            "SELECT name, imported_at, balls_read, balls_new, rows_skipped FROM record_file "
            "WHERE player_id = ? ORDER BY id",
            (player,),
        ).fetchall()
    return [Imported(*row) for row in rows]


@dataclass(frozen=True, slots=True)
class Held:
    """What the roster holds of a player: counts, and the days (ISO 8601) of the first and last ball, or None."""

    aimed: int
    putts: int
    strokes: int
    sessions: int
    first_day: str | None
    last_day: str | None

    @property
    def balls(self) -> int:
        """Balls and strokes of all kinds."""
        return self.aimed + self.putts + self.strokes


_COUNTS = ", ".join(
    f"(SELECT count(*) FROM {kind} WHERE file_id IN (SELECT id FROM record_file WHERE player_id = p.id))"
    for kind in KINDS
)
_SESSIONS = "FROM session JOIN record_file ON record_file.id = session.file_id WHERE player_id = p.id"


def held(roster: Roster, player: int) -> Held:
    """What the roster holds of one player."""
    with roster.reading() as connection:
        row = connection.execute(
            f"SELECT {_COUNTS}, (SELECT count(*) FROM (SELECT DISTINCT day, session.name {_SESSIONS})), "
            f"(SELECT date(min(day), 'unixepoch') {_SESSIONS}), (SELECT date(max(day), 'unixepoch') {_SESSIONS}) "
            "FROM player AS p WHERE p.id = ?",
            (player,),
        ).fetchone()
    return Held(*row)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the list: name, handicap, balls, days of the last ball, plan and practice (None: none yet)."""

    name: str
    handicap: float | None
    balls: int
    last_ball: str | None
    last_plan: str | None
    last_practice: str | None


def lines(roster: Roster) -> list[Line]:
    """Every player in a line, by name: quick, whatever the number of balls."""
    with roster.reading() as connection:
        rows = connection.execute(
            "SELECT p.name, p.handicap, "
            "(SELECT coalesce(sum(balls_new), 0) FROM record_file WHERE player_id = p.id), "
            f"(SELECT date(max(day), 'unixepoch') {_SESSIONS}), "
            "(SELECT max(made_at) FROM plan WHERE player_id = p.id), "
            "(SELECT max(day) FROM practice WHERE player_id = p.id) "
            "FROM player AS p ORDER BY p.name_key"
        ).fetchall()
    return [Line(*row) for row in rows]
