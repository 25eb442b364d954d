"""From the text of cells to dates, numbers, choices and names: each different text is read once."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.records.columns import LONGEST_TEXT, NO_LIE, Column
from rangework.records.rows import Cells
from rangework.records.safe_text import read_safe_text
from rangework.units import METRES_PER

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)
_SIGNS_OF_NUMBERS = re.compile(r"[0-9+\-.eE\n]*")
_WHOLE = re.compile(r"\d{1,9}(\.0*)?", re.ASCII)
_FLAGS = {"0": 0, "1": 1, "no": 0, "yes": 1, "false": 0, "true": 1}
_FIRST_YEAR, _LAST_YEAR = 1950, 2100
#: What stands for an empty cell of a flag or a count.
MISSING = -1


@dataclass(frozen=True, slots=True)
class Written:
    """One column as it was written: its meaning, its unit, its header, and its cells.

    ``cells`` holds texts in canonical writing (decimal point, ISO date); ``originals`` the texts of the
    file, for messages. ``expected`` replaces the canonical expectation where the file has its own writing.
    """

    column: Column
    unit: str
    header: str
    cells: Cells
    originals: list[str]
    expected: str = ""


@dataclass(frozen=True, slots=True)
class Values:
    """A column's values with what stood in its cells.

    ``array`` holds the missing value where a cell is bad or not given: NaT, nan, -1 (flag, count, lie) or
    the empty text.
    """

    array: NDArray[Any]
    given: NDArray[np.bool_]
    bad: NDArray[np.bool_]


class _UnreadableError(ValueError):
    pass


def read_cells(written: Written) -> Values:
    """The values of a column; lengths in metres."""
    read, missing, dtype = _readers(written)
    texts = [text.strip() for text in written.cells.texts]
    array = np.full(len(texts), missing, dtype)
    bad = np.zeros(len(texts), bool)
    if written.column.sort != "length" or not _read_numbers(texts, METRES_PER[written.unit], array):
        for index, text in enumerate(texts):
            if text:
                try:
                    array[index] = read(text)
                except _UnreadableError:
                    bad[index] = True
    given = np.fromiter(map(bool, texts), bool, len(texts))
    codes = written.cells.codes
    return Values(array[codes], given[codes], bad[codes])


def _read_numbers(texts: list[str], factor: float, array: NDArray[Any]) -> bool:
    """Read all numbers at once into ``array``; False, nothing read, when one of them is no plain number."""
    filled = [index for index, text in enumerate(texts) if text]
    written = [texts[index] for index in filled] if len(filled) < len(texts) else texts
    if not _SIGNS_OF_NUMBERS.fullmatch("\n".join(written)):
        return False
    try:
        array[filled] = np.fromiter(map(float, written), np.float64, len(written)) * factor
    except ValueError:
        return False
    return True


def is_readable(column: Column, text: str) -> bool:
    """Whether ``text`` in canonical writing can stand in a column that is no length."""
    written = Written(column, "", "", Cells(np.zeros(1, np.int32), [text]), [text])
    return not read_cells(written).bad[0]


def _readers(written: Written) -> tuple[Callable[[str], Any], Any, Any]:
    """How a cell is read, the missing value and the type of the array."""
    column = written.column
    match column.sort:
        case "date":
            return read_date, np.datetime64("NaT"), "datetime64[s]"
        case "text":
            return _read_text, "", object
        case "flag":
            return _read_flag, MISSING, np.int8
        case "count":
            return lambda text: _read_count(text, column), MISSING, np.int64
        case "length":
            factor = METRES_PER[written.unit]
            return lambda text: read_number(text) * factor, np.nan, np.float64
    lie = any(isinstance(kept, int) for kept in column.choices.values())
    return lambda text: _read_choice(text, column), NO_LIE if lie else "", np.int8 if lie else object


def read_number(text: str) -> float:
    """A plain decimal number; ValueError for anything else, ``nan`` and ``inf`` included."""
    if not _NUMBER.fullmatch(text.replace("−", "-")):
        raise _UnreadableError
    return float(text.replace("−", "-"))


def read_date(text: str) -> np.datetime64:
    """An ISO 8601 date, with or without a time; a time zone is left out: the clock at the place counts."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise _UnreadableError from None
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise _UnreadableError
    return np.datetime64(moment.replace(tzinfo=None, microsecond=0), "s")


def _read_text(text: str) -> str:
    text = read_safe_text(text)
    if len(text) > LONGEST_TEXT:
        raise _UnreadableError
    return text


def _read_flag(text: str) -> int:
    try:
        return _FLAGS[text.casefold()]
    except KeyError:
        raise _UnreadableError from None


def _read_count(text: str, column: Column) -> int:
    if not _WHOLE.fullmatch(text) or not column.low <= int(float(text)) <= column.high:
        raise _UnreadableError
    return int(float(text))


def _read_choice(text: str, column: Column) -> int | str:
    try:
        return column.choices[text.casefold().replace(" ", "_").replace("-", "_")]
    except KeyError:
        raise _UnreadableError from None
