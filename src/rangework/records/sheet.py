"""The rows of one file as values by column, with the way back to what stood in the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.errors import Problem
from rangework.records.cells import MISSING, Values, Written, read_cells
from rangework.records.columns import Column
from rangework.records.header import nearest
from rangework.records.table import shown

Mask = NDArray[np.bool_]
#: What a device measures: in a misread ball these cells mean nothing and are not asked to.
_MEASURED = ("long", "right", "carry", "total", "side")


@dataclass(slots=True)
class Sheet:
    """Values of every row of a file.

    ``values`` and ``written`` are by column name; lengths may have been written in several columns of
    different units. ``lines`` int64[n] is the line of each row, ``broken`` bool[n] marks rows with an error,
    ``mapping`` names the mapping that the file was read through.
    """

    source: str
    lines: NDArray[np.int64]
    mapping: str = ""
    values: dict[str, Values] = field(default_factory=dict)
    written: dict[str, list[Written]] = field(default_factory=dict)
    errors: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)
    broken: Mask = field(default_factory=lambda: np.empty(0, bool))

    def __len__(self) -> int:
        return len(self.lines)

    def given(self, name: str) -> Mask:
        """Rows whose cell of this column is filled."""
        return self.values[name].given if name in self.values else self.nowhere()

    def bad(self, name: str) -> Mask:
        """Rows whose cell of this column could not be read."""
        return self.values[name].bad if name in self.values else self.nowhere()

    def array(self, name: str, missing: Any, dtype: Any = object) -> NDArray[Any]:
        """The values of a column; ``missing`` in every row when the file has no such column."""
        if name in self.values:
            return self.values[name].array
        return np.full(len(self), missing, dtype)

    def flag(self, name: str) -> Mask:
        """Rows where the flag is 1."""
        flagged: Mask = self.array(name, MISSING, np.int8) == 1
        return flagged

    def length(self, name: str) -> NDArray[np.float64]:
        """A length in metres, nan where missing."""
        return self.array(name, np.nan, np.float64)

    def nowhere(self) -> Mask:
        """No row."""
        return np.zeros(len(self), bool)

    def error(
        self, rows: Mask, name: str, expected: str | Callable[[Written], str] = "", remedy: str = ""
    ) -> None:
        """An error at the column ``name`` of each of ``rows``."""
        self.errors += self._problems(rows, name, expected, remedy)
        self.broken |= rows

    def warn(
        self, rows: Mask, name: str, expected: str | Callable[[Written], str] = "", remedy: str = ""
    ) -> None:
        """A warning at the column ``name`` of each of ``rows``."""
        self.warnings += self._problems(rows, name, expected, remedy)

    def _problems(
        self, rows: Mask, name: str, expected: str | Callable[[Written], str], remedy: str
    ) -> Iterable[Problem]:
        for row in np.flatnonzero(rows):
            written = self._cell(name, int(row))
            where = f"row {self.lines[row]}, column {written.header if written else name}"
            text = shown(written.originals[written.cells.codes[row]].strip()) if written else ""
            wanted = expected if isinstance(expected, str) else expected(written) if written else ""
            yield Problem(self.source, where, text, wanted, remedy)

    def _cell(self, name: str, row: int) -> Written | None:
        """The column of this name whose cell is filled in a row, else the first of them."""
        columns = self.written.get(name, [])
        filled = (column for column in columns if column.originals[column.cells.codes[row]].strip())
        return next(filled, columns[0] if columns else None)


def read_sheet(source: str, lines: NDArray[np.int64], columns: Iterable[Written], mapping: str = "") -> Sheet:
    """Read every cell; cells that cannot be read become errors of the sheet."""
    sheet = Sheet(source, lines, mapping, broken=np.zeros(len(lines), bool))
    read = [(written, read_cells(written)) for written in columns]
    for written, values in read:
        name = written.column.name
        earlier = sheet.values.get(name)
        sheet.written.setdefault(name, []).append(written)
        sheet.values[name] = values if earlier is None else _together(sheet, name, earlier, values)
    misread = sheet.flag("misread")
    for written, values in read:
        bad = values.bad & ~misread if written.column.name in _MEASURED else values.bad
        if bad.any():
            _bad_cells(sheet, written, bad)
    return sheet


def _bad_cells(sheet: Sheet, written: Written, bad: Mask) -> None:
    column = written.column
    expected = written.expected or column.expected
    for row in np.flatnonzero(bad):
        text = shown(written.originals[written.cells.codes[row]].strip())
        where = f"row {sheet.lines[row]}, column {written.header}"
        remedy = "" if written.expected else _remedy(column, text)
        sheet.errors.append(Problem(sheet.source, where, text, expected, remedy))
    sheet.broken |= bad


@lru_cache(maxsize=1024)
def _remedy(column: Column, text: str) -> str:
    if near := nearest(text.casefold(), column.choices):
        return f"Did you mean {near}?"
    if column.name == "next_lie":
        return "Water or out of bounds: give the lie after relief, and the penalty strokes in penalty."
    if column.sort == "length" and "," in text:
        return "Decimal commas are read through a mapping (docs/how-to/foreign-exports.md)."
    if column.sort == "date":
        return "Other ways to write a date are read through a mapping; --suggest-mapping writes a first one."
    return ""


def _together(sheet: Sheet, name: str, one: Values, other: Values) -> Values:
    """A length written in two columns of different units: at most one of them in a row."""
    if (twice := one.given & other.given).any():
        sheet.error(twice, name, "the length in one unit only", "Empty one of the two cells.")
    array = np.where(other.given & ~one.given, other.array, one.array)
    return Values(array, one.given | other.given, one.bad | other.bad)
