"""Rows of a delimited text in batches, and their cells gathered by column."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from rangework.errors import Problem

#: Rows taken at a time: few enough to stay in the processor's cache, which doubles the speed.
_ROWS_AT_A_TIME = 500
#: After this many cells a column of mostly different texts is no longer searched for equal ones.
_CELLS_BEFORE_JUDGING = 20_000
_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Batch:
    """Some rows, with the line int64[n] that each starts on, from 1."""

    lines: NDArray[np.int64]
    rows: list[list[str]]

    def of_width(self, width: int) -> Batch:
        """The rows of so many cells that are not all empty."""
        kept = [index for index, row in enumerate(self.rows) if len(row) == width and any(row)]
        return Batch(self.lines[kept], [self.rows[index] for index in kept])


class RowBatches:
    """Reads rows batch by batch; a row that cannot be split ends the text and becomes a problem."""

    def __init__(self, text: Iterable[str], delimiter: str, source: str) -> None:
        self._reader = csv.reader(text, delimiter=delimiter)
        self._source = source
        self.problems: list[Problem] = []

    def take(self, count: int = _ROWS_AT_A_TIME) -> Batch:
        """The next rows, at most ``count``; none at the end of the text."""
        before = self._reader.line_num
        rows: list[list[str]] = []
        if not self.problems:
            try:
                rows.extend(islice(self._reader, count))
            except csv.Error as error:
                self._end(before, rows, error)
        return Batch(self._lines(before, rows), rows)

    def _lines(self, before: int, rows: list[list[str]]) -> NDArray[np.int64]:
        if self._reader.line_num - before == len(rows):
            return np.arange(before + 1, before + 1 + len(rows), dtype=np.int64)
        heights = [1 + sum(len(_LINE_END.findall(cell)) for cell in row) for row in rows]
        return before + 1 + np.cumsum([0, *heights[:-1]], dtype=np.int64)[: len(rows)]

    def _end(self, before: int, rows: list[list[str]], error: csv.Error) -> None:
        lines = self._lines(before, [*rows, []])
        remedy = "Look for a quotation mark that is not closed. Nothing after this row was read."
        place = f"row {lines[-1]}"
        self.problems.append(Problem(self._source, place, "", f"cells of usual length ({error})", remedy))


@dataclass(frozen=True, slots=True)
class Cells:
    """A column as text: ``texts[codes[i]]`` stands in row i. Equal texts are mostly kept once."""

    codes: NDArray[np.int32]
    texts: list[str]


class _Codes(dict[str, int]):
    """Numbers texts in the order in which they are first asked for."""

    def __missing__(self, text: str) -> int:
        code = self[text] = len(self)
        return code


class CellGatherer:
    """Gathers the cells of one column: by code while texts repeat, one by one where nearly all differ."""

    def __init__(self) -> None:
        self._known = _Codes()
        self._codes = [np.empty(0, np.int32)]
        self._coded = 0
        self._singly: list[str] = []
        self._repeats = True

    def add(self, texts: Sequence[str]) -> None:
        """Add the cells of further rows."""
        if not self._repeats:
            self._singly.extend(texts)
            return
        self._codes.append(np.fromiter(map(self._known.__getitem__, texts), np.int32, len(texts)))
        self._coded += len(texts)
        self._repeats = self._coded < _CELLS_BEFORE_JUDGING or 2 * len(self._known) < self._coded

    def cells(self) -> Cells:
        """The column."""
        known = list(self._known)
        singly = np.arange(len(known), len(known) + len(self._singly), dtype=np.int32)
        return Cells(np.concatenate([*self._codes, singly]), known + self._singly)
