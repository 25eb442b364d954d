"""Erasing a player so that no trace is left in the file or beside it."""

from __future__ import annotations

from rangework.errors import InputError, Problem
from rangework.store.players import find_player
from rangework.store.roster_file import Roster


def forget_player(roster: Roster, name: str) -> str:
    """Erase all that is known of a player; the name as it stood.

    The rows are overwritten with zeros as they are deleted, the file is written anew without its free pages, and
    the write-ahead log is emptied. Raises InputError for an unknown name, and where another program has the
    roster open, so that the log could not be emptied: then the player is gone, and traces are left.
    """
    player = find_player(roster, name)
    with roster.writing() as connection:
        connection.execute("DELETE FROM player WHERE id = ?", (player.id,))
    sweep(roster)
    return player.name


def sweep(roster: Roster) -> None:
    """Write the file anew without what was deleted. Raises InputError where another program is using it."""
    connection = roster.connection
    busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if not busy:
        connection.execute("VACUUM")
        busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if busy:
        raise InputError(
            Problem(
                str(roster.path),
                "",
                "",
                "a roster that nobody else has open",
                "What was to be forgotten is deleted, but traces are left in the file: close the other programs "
                "and run `rangework roster forget --sweep`.",
            )
        )
