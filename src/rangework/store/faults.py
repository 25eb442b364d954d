"""What SQLite says when something is wrong, told so that a coach can mend it."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from rangework.errors import InputError, Problem

#: By the beginning of SQLite's name of an error: what was expected, and what to do.
_WORDS: tuple[tuple[str, str, str], ...] = (
    (
        "SQLITE_BUSY",
        "a roster that nobody else is writing",
        "Another rangework is writing to it: wait until that has ended and try again. Nothing was changed.",
    ),
    ("SQLITE_LOCKED", "a roster that nobody else is writing", "Try again. Nothing was changed."),
    (
        "SQLITE_FULL",
        "room on the disk",
        "The disk is full: make room and try again. Nothing was changed.",
    ),
    (
        "SQLITE_READONLY",
        "a roster that may be written",
        "The file, its folder or the disk is read-only: copy the roster to a place of your own. Nothing was changed.",
    ),
    (
        "SQLITE_CANTOPEN",
        "a roster that can be opened",
        "Look at the rights of the file and its folder, which must be writable too, and for room on the disk.",
    ),
    (
        "SQLITE_NOTADB",
        "a roster",
        "This file is none, or it is damaged: take your last backup (`rangework roster backup` makes them).",
    ),
    (
        "SQLITE_CORRUPT",
        "an undamaged roster",
        "The file is damaged: keep a copy of it as it is, and go on with your last backup "
        "(`rangework roster backup` makes them).",
    ),
    (
        "SQLITE_IOERR",
        "a disk that can be read and written",
        "The disk is full, gone, or failing: what was being written is not in the roster, all else is.",
    ),
    (
        "SQLITE_CONSTRAINT",
        "rows that fit the roster",
        "Another rangework may have changed it meanwhile: try again. Nothing was changed.",
    ),
)


def foreseen(error: sqlite3.Error, path: Path) -> InputError | None:
    """The failure in words, or None where it is a fault of ours."""
    name = getattr(error, "sqlite_errorname", "") or ""
    for start, expected, remedy in _WORDS:
        if name.startswith(start):
            return InputError(Problem(str(path), "", "", f"{expected} ({error})", remedy))
    if isinstance(error, sqlite3.DatabaseError) and not name:
        return None
    return None


def not_there(path: Path) -> InputError:
    """There is no roster of this name."""
    remedy = "`rangework roster add NAME` makes one; --roster FILE or RANGEWORK_ROSTER names it."
    return InputError(Problem(str(path), "", "", "a roster, and there is no file of this name", remedy))


def not_a_roster(path: Path) -> InputError:
    """A database, and another one."""
    return InputError(
        Problem(str(path), "", "", "a roster, and this is another program's database", "It was left alone.")
    )


def too_new(path: Path, schema: int, newest: int) -> InputError:
    """A roster of a later rangework."""
    return InputError(
        Problem(
            str(path),
            "",
            "",
            f"a roster of schema {newest} or older, and this one is of schema {schema}",
            "A newer rangework wrote it: use that one, or a newer one. It was left alone.",
        )
    )
