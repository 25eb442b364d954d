"""The header of a canonical file: which column each name means, and its unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from difflib import get_close_matches

from rangework.errors import Problem
from rangework.records.card_columns import CARD_COLUMNS, is_card
from rangework.records.cells import Written
from rangework.records.columns import COLUMNS, LENGTH_UNITS, Column
from rangework.records.table import Table, shown

#: How alike two names must be to take one for a slip of the other (difflib's ratio).
_ALIKE = 0.75


def canonical_names(columns: Iterable[Column] = COLUMNS.values()) -> dict[str, tuple[Column, str]]:
    """Every name a canonical header may hold, with its column and unit."""
    names: dict[str, tuple[Column, str]] = {}
    for column in columns:
        units = LENGTH_UNITS if column.sort == "length" else ("",)
        names |= {column.written(unit): (column, unit) for unit in units}
    return names


def nearest(name: str, known: Iterable[str]) -> str:
    """The known name that ``name`` looks like, or the empty text."""
    return next(iter(get_close_matches(name, list(known), n=1, cutoff=_ALIKE)), "")


def recognised(header: Iterable[str]) -> list[str]:
    """The names of a header that are canonical."""
    known = canonical_names()
    return [name for name in header if _plain(name) in known]


def canonical_columns(
    table: Table, *, with_card: bool = False
) -> tuple[list[Written], list[Problem], list[Problem]]:
    """The columns of a canonical file, the errors of its header, and its warnings.

    Columns that a practice test's card adds are among them ``with_card``, and else passed over.
    """
    known = canonical_names()
    of_card = canonical_names(CARD_COLUMNS.values()) if is_card(table.header) else {}
    if with_card:
        known |= of_card
    if not recognised(table.header):
        return [], [_foreign(table)], []
    counts = Counter(map(_plain, table.header))
    columns: list[Written] = []
    errors = [
        Problem(table.source, "header", name, "each column once", "Rename or remove one of them.")
        for name, count in counts.items()
        if name and count > 1
    ]
    warnings: list[Problem] = []
    for name, cells in zip(table.header, table.cells, strict=True):
        if _plain(name) in known:
            column, unit = known[_plain(name)]
            columns.append(Written(column, unit, name, cells, cells.texts))
        elif _plain(name) not in of_card and (name or any(text.strip() for text in cells.texts)):
            problem, serious = _unknown(table.source, name)
            (errors if serious else warnings).append(problem)
    return columns, errors, warnings


def _plain(name: str) -> str:
    return name.strip().casefold().replace(" ", "_")


def _unknown(source: str, name: str) -> tuple[Problem, bool]:
    """The problem with an unknown name; serious when it looks like a slip, which would lose a column."""
    if not name:
        return Problem(
            source, "header", "", "a name above every column", "Name the column or empty it."
        ), True
    column = COLUMNS.get(_plain(name))
    if column is not None:
        units = ", ".join(column.written(unit) for unit in LENGTH_UNITS)
        return Problem(source, "header", name, "a length with its unit", f"Write one of {units}."), True
    if near := nearest(_plain(name), canonical_names()):
        return Problem(source, "header", shown(name), "a known column", f"Did you mean {near}?"), True
    return Problem(source, "header", shown(name), "a known column", "This column is not read."), False


def _foreign(table: Table) -> Problem:
    first = table.header[0] if table.header else ""
    remedy = "Describe the file in a mapping (--mapping); --suggest-mapping writes a first one."
    expected = "column names such as date, place, lie, target_yd, long_yd, right_yd, separated by commas"
    return Problem(table.source, "header", shown(first), expected, remedy)
