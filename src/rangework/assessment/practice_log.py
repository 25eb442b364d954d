"""Hours that were really practised, from a CSV file: a line for each time (docs/reference/assessments.md)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.plan.drills import Drill
from rangework.records.cells import Written
from rangework.records.columns import Column
from rangework.records.header import nearest
from rangework.records.sheet import Sheet, read_sheet
from rangework.records.table import Layout, Table, read_bytes, read_table
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]

_COLUMNS = {
    "date": Column("date", "date", "day of the practice"),
    "drill": Column("drill", "text", "id or name of a drill, or a part of the game"),
    "hours": Column("hours", "text", "hours of it"),
    "minutes": Column("minutes", "text", "minutes of it"),
}
#: Hours count as practised for so long.
RECENT_WEEKS = 12
#: Nobody practises longer in a day.
MOST_HOURS = 16.0


@dataclass(frozen=True, slots=True, eq=False)
class PracticeLog:
    """Effective hours of every part by time of practice: ``days`` [n], ``hours`` [n, part] in the order of PARTS.

    ``drills`` [n]: the id of the drill, empty where a part was logged instead; none at all where it is not known.
    """

    days: tuple[date, ...]
    hours: FloatArray
    drills: tuple[str, ...] = ()

    def between(self, first: date, last: date) -> FloatArray:
        """[part] effective hours from the day of one test to that of another, both days' own among them."""
        inside = np.array([first <= day <= last for day in self.days], dtype=bool)
        return np.asarray(self.hours[inside].sum(axis=0))

    def between_draws(self, first: date, last: date, working: Mapping[str, FloatArray]) -> FloatArray:
        """[draw, part] the same where drills may have done nothing; ``working`` as in ``ResponseDraws``."""
        inside = np.array([first <= day <= last for day in self.days], dtype=bool)
        found = np.zeros((1, self.hours.shape[1]))
        for drill in dict.fromkeys(self.drills):
            lines = inside & (np.array(self.drills) == drill)
            found = found + np.outer(working.get(drill, np.ones(1)), self.hours[lines].sum(axis=0))
        return found if self.drills else self.between(first, last)[np.newaxis]

    def recent(self, working: Mapping[str, FloatArray]) -> FloatArray:
        """[draw, part] effective hours of the last twelve weeks of the log (assumption.plan.practised_hours)."""
        last = max(self.days)
        return self.between_draws(last - timedelta(weeks=RECENT_WEEKS), last, working)


def read_practice_log(path: Path, drills: Sequence[Drill]) -> PracticeLog:
    """The log of a CSV file with ``date``, ``drill`` and ``hours`` or ``minutes``. Raises InputError with every fault.

    A line that names a part instead of a drill counts with all of its hours for that part.
    """
    table = read_table(read_bytes(path), str(path), Layout())
    sheet = read_sheet(table.source, table.lines, _written(table))
    sheet.errors[:0] = [*_missing(table), *table.problems]
    acting = _acting(drills)
    hours = _hours(sheet)
    known = np.array(
        [str(name).strip().casefold() in acting for name in sheet.array("drill", "")], dtype=bool
    )
    sheet.error(~sheet.given("date") & ~sheet.bad("date"), "date", "the day of the practice")
    for row in np.flatnonzero(~known):
        word = str(sheet.array("drill", "")[row])
        near = nearest(word, list(acting))
        remedy = (
            f"Did you mean {near!r}?"
            if near
            else "rangework plan names its drills; --drills brings your own."
        )
        place = f"row {sheet.lines[row]}, column drill"
        sheet.errors.append(Problem(sheet.source, place, word, "a drill or a part of the game", remedy))
    if not len(sheet) and not sheet.errors:
        sheet.errors.append(Problem(str(path), "", "", "at least one line of practice"))
    if sheet.errors:
        raise InputError(sheet.errors)
    names = [str(name).strip().casefold() for name in sheet.array("drill", "")]
    days = tuple(day.astype("datetime64[D]").item() for day in sheet.array("date", np.datetime64("NaT")))
    ids = {name.casefold(): drill.id for drill in drills for name in (drill.name, drill.id)}
    logged = tuple(ids.get(name, "") for name in names)
    return PracticeLog(days, np.array([acting[name] for name in names]) * hours[:, None], logged)


def _written(table: Table) -> list[Written]:
    columns = []
    for header, cells in zip(table.header, table.cells, strict=True):
        if (name := _named(header)) in _COLUMNS:
            columns.append(Written(_COLUMNS[name], "", header, cells, cells.texts))
    return columns


def _named(header: str) -> str:
    """The column that a header means; the roster's export calls the date ``day``."""
    name = header.strip().casefold()
    return "date" if name == "day" else name


def _missing(table: Table) -> list[Problem]:
    names = set(map(_named, table.header))
    wanted = [name for name in ("date", "drill") if name not in names]
    if not names & {"hours", "minutes"}:
        wanted.append("hours (or minutes)")
    return [Problem(table.source, "header", "", f"a column {name}") for name in wanted]


def _acting(drills: Sequence[Drill]) -> dict[str, FloatArray]:
    """By name in small letters: the share of an hour that acts on each part."""
    acting: dict[str, FloatArray] = {part: np.eye(len(PART_IDS))[at] for at, part in enumerate(PART_IDS)}
    for drill in drills:
        shares = np.array([drill.trains.get(part, 0.0) for part in PART_IDS])
        acting |= {drill.id.casefold(): shares, drill.name.casefold(): shares}
    return acting


def _hours(sheet: Sheet) -> FloatArray:
    """[row] hours; a cell that is no number of hours becomes an error."""
    found = np.zeros(len(sheet))
    for name, size in (("hours", 1.0), ("minutes", 1.0 / 60.0)):
        texts = [str(text) for text in sheet.array(name, "")]
        values = np.array([_number(text) for text in texts]) * size
        given = sheet.given(name)
        wrong = given & ~((values > 0.0) & (values <= MOST_HOURS))
        sheet.error(wrong, name, f"{name} of practice: more than 0 and at most {MOST_HOURS / size:g}")
        found = np.where(given & ~wrong, values, found)
    unsaid = ~sheet.given("hours") & ~sheet.given("minutes")
    sheet.error(unsaid, "hours" if "hours" in sheet.written else "minutes", "how long it was")
    return found


def _number(text: str) -> float:
    try:
        return float(text) if text else 0.0
    except ValueError:
        return float("nan")
