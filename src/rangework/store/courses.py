"""Courses kept in a roster, as the files they came from."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from rangework.errors import InputError, Problem
from rangework.store.players import now
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class Course:
    """A kept course: its number, its name, and the file it came from.

    ``file_name`` ends in ``#NAME`` where the file is a map of several courses.
    """

    id: int
    name: str
    file_name: str
    content: bytes


def keep_course(
    roster: Roster, name: str, file_name: str, content: bytes, *, player: int | None = None
) -> int:
    """Keep a course once, whoever plays it; with ``player`` it becomes that player's home course."""
    digest = hashlib.sha256(file_name.partition("#")[2].encode() + b"\0" + content).hexdigest()
    with roster.writing() as connection:
        connection.execute(
            "INSERT INTO course (name, file_name, content, digest, kept_at) VALUES (?, ?, ?, ?, ?) "
            "ON CONFLICT (digest) DO NOTHING",
            (name, file_name, content, digest, now()),
        )
        (id_,) = connection.execute("SELECT id FROM course WHERE digest = ?", (digest,)).fetchone()
        if player is not None:
            connection.execute("UPDATE player SET home_course = ? WHERE id = ?", (id_, player))
    return int(id_)


def kept_courses(roster: Roster) -> list[Course]:
    """Every course, the latest kept first."""
    with roster.reading() as connection:
        rows = connection.execute("SELECT id, name, file_name, content FROM course ORDER BY id DESC")
        return [Course(*row) for row in rows]


def find_course(roster: Roster, name: str) -> Course:
    """The course of that name, the latest kept where there are several. Raises InputError for none."""
    courses = kept_courses(roster)
    for course in courses:
        if course.name.casefold() == name.casefold():
            return course
    known = ", ".join(sorted({course.name for course in courses})) or "and none is kept"
    expected = f"a course file, or a course of the roster ({known})"
    raise InputError(Problem("--course", "", name, expected))


def course_by_number(roster: Roster, number: int) -> Course:
    """The course of that number."""
    with roster.reading() as connection:
        row = connection.execute(
            "SELECT id, name, file_name, content FROM course WHERE id = ?", (number,)
        ).fetchone()
    return Course(*row)
