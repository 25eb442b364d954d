"""Files of practised hours into the roster: the export's own table, or a coach's spreadsheet of the same columns."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rangework.assessment.practice_log import MOST_HOURS
from rangework.errors import InputError, Problem
from rangework.records.header import nearest
from rangework.records.safe_text import read_safe_text
from rangework.records.table import Layout, read_bytes, read_header, read_table
from rangework.store.players import find_player
from rangework.store.practice import Practice, log_practice
from rangework.store.roster_file import Roster

LONGEST_NOTE = 500
NEEDED = ("day", "drill", "hours")
#: What an id of a coach's own drill looks like.
_ID = re.compile(r"[a-z0-9_]+")


@dataclass(frozen=True, slots=True)
class ReadPractice:
    """The lines of one file, and the faults of those that were skipped."""

    path: Path
    lines: tuple[Practice, ...]
    skipped: tuple[Problem, ...]


def is_practice_file(path: Path) -> bool:
    """Whether a file has the header of practised hours, and of nothing else."""
    try:
        header = _columns(read_header(read_bytes(path), str(path), Layout()))
    except InputError:
        return False
    return set(NEEDED) <= set(header) and set(header) <= {*NEEDED, "note"}


def read_practice_file(path: Path, drills: Mapping[str, str], *, skip_bad_rows: bool) -> ReadPractice:
    """Read a file of ``day``, ``drill``, ``hours`` and, if need be, ``note``. ``drills``: names by id.

    An id that is not among them is kept as it stands (a coach's own drill), unless it looks like a slip. Raises
    InputError for a fault, unless such rows are skipped.
    """
    table = read_table(read_bytes(path), str(path), Layout())
    texts = [[cells.texts[code] for code in cells.codes.tolist()] for cells in table.cells]
    columns = dict(zip(_columns(table.header), texts, strict=True))
    notes = columns.get("note", [""] * len(table.lines))
    cells = zip(*(columns[name] for name in NEEDED), notes, strict=True)
    problems, lines = list(table.problems), []
    for line, row in zip(table.lines.tolist(), cells, strict=True):
        faults = [
            Problem(str(path), f"row {line}, column {column}", *told)
            for column, *told in _faults(row, drills)
        ]
        problems += faults
        if not faults:
            lines.append(_practice(row, drills))
    if not lines and not problems:
        problems.append(Problem(str(path), "", "", "at least one line of practice"))
    if problems and not (skip_bad_rows and lines):
        raise InputError(problems)
    return ReadPractice(path, tuple(lines), tuple(problems))


def keep_practice(roster: Roster, name: str, read: ReadPractice) -> int:
    """Keep the lines of a file, all or none; how many of them were new."""
    with roster.writing():
        player = find_player(roster, name).id
        return sum(log_practice(roster, player, line) for line in read.lines)


def drill_id(text: str, drills: Mapping[str, str]) -> str | None:
    """The id of a drill by its id or its name, small or capital; None for one that is not known."""
    if text in drills:
        return text
    wanted = " ".join(text.split()).casefold()
    return next((each for each, name in drills.items() if wanted in (each, name.casefold())), None)


def unknown_drill(text: str, drills: Mapping[str, str]) -> str:
    """What to do about a drill that is not known."""
    near = nearest(text, sorted({*drills, *drills.values()}))
    return f"Did you mean {near!r}?" if near else f"Drills: {', '.join(sorted(drills))}."


def _columns(header: Sequence[str]) -> list[str]:
    """The columns that a header names; the day may be called the date."""
    names = [cell.strip().casefold() for cell in header]
    return ["day" if name == "date" else name for name in names]


def _practice(row: tuple[str, ...], drills: Mapping[str, str]) -> Practice:
    day, drill, hours, note = row
    named = read_safe_text(drill).strip()
    return Practice(day.strip(), drill_id(named, drills) or named, float(hours), read_safe_text(note))


def _faults(row: tuple[str, ...], drills: Mapping[str, str]) -> Iterator[tuple[str, str, str, str]]:
    """Column, value, what was expected, and what to do, of every fault of a row."""
    day, drill, hours, note = row
    try:
        sound = date.fromisoformat(day.strip()).isoformat() == day.strip()
    except ValueError:
        sound = False
    if not sound:
        yield "day", day, "the day as YYYY-MM-DD", ""
    named = read_safe_text(drill).strip()
    if drill_id(named, drills) is None:
        slip = nearest(named, sorted({*drills, *drills.values()}))
        if slip or not _ID.fullmatch(named):
            yield "drill", drill, "a drill's name or id", unknown_drill(named, drills)
    if not 0.0 < _number(hours) <= MOST_HOURS:
        yield "hours", hours, f"hours of practice: more than 0 and at most {MOST_HOURS:g}", ""
    if len(note) > LONGEST_NOTE:
        yield "note", note[:40], f"at most {LONGEST_NOTE} characters", ""


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan
