"""A copy of the roster that is right even while others write to it."""

from __future__ import annotations

import os
import sqlite3
from contextlib import suppress
from pathlib import Path

from rangework.errors import InputError, Problem
from rangework.store.roster_file import Roster


def back_up(roster: Roster, target: Path) -> None:
    """Write one moment of the roster to ``target``, whole or not at all, and check it.

    Raises InputError where a file of that name is there, or it cannot be written.
    """
    if target.exists():
        remedy = "Name another file: nothing is overwritten."
        raise InputError(Problem(str(target), "", "", "no file of that name", remedy))
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        roster.connection.execute("VACUUM INTO ?", (str(part),))
        if fault := damage(part):
            raise InputError(
                Problem(str(roster.path), "", fault, "an undamaged roster", "The copy was not kept.")
            )
        with part.open("rb") as written:
            os.fsync(written.fileno())
        part.replace(target)
    except OSError as error:
        raise InputError(
            Problem(str(target), "", "", f"a file that can be written ({error.strerror})")
        ) from error
    finally:
        for left in (part, part.with_name(f"{part.name}-journal")):
            with suppress(OSError):
                left.unlink()


def damage(path: Path) -> str:
    """What SQLite's own check finds wrong with a roster, or nothing."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)
    try:
        rows = [row[0] for row in connection.execute("PRAGMA integrity_check(3)")]
        broken = connection.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.DatabaseError as error:
        return str(error)
    finally:
        connection.close()
    return (
        "" if rows == ["ok"] and broken is None else "; ".join(rows if rows != ["ok"] else ["a missing row"])
    )
