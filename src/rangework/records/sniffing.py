"""How a foreign export seems to be written: encoding, separator, decimal sign, dates."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rangework.records.date_format import to_iso
from rangework.records.header_words import unit_of
from rangework.records.table import Layout

_DELIMITERS = (",", ";", "\t", "|")
#: Rows looked at: enough to see every habit of a file, few enough to be quick.
_ROWS_SEEN = 2000
_NUMERIC = re.compile(r"[+-]?[\d.,]+")
_DAYS = (
    "YYYY-MM-DD",
    "DD.MM.YYYY",
    "DD.MM.YY",
    "DD/MM/YYYY",
    "MM/DD/YYYY",
    "DD/MM/YY",
    "MM/DD/YY",
    "DD-MM-YYYY",
    "MM-DD-YYYY",
    "YYYY/MM/DD",
    "YYYY.MM.DD",
    "YYYYMMDD",
    "DD MMM YYYY",
    "DD-MMM-YYYY",
    "MMM DD, YYYY",
)
_TIMES = ("", " hh:mm", " hh:mm:ss", "Thh:mm", "Thh:mm:ss", " hh:mm AM", " hh:mm:ss AM")


@dataclass(frozen=True, slots=True)
class Sighting:
    """What was seen of a file: its layout, its header, the units of a unit row if any, and its first rows."""

    layout: Layout
    header: tuple[str, ...]
    unit_row: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def column(self, header: str) -> list[str]:
        """The cells seen under a header."""
        index = self.header.index(header)
        return [row[index].strip() for row in self.rows]


def see(data: bytes) -> Sighting:
    """Look at the first rows of a delimited file."""
    encoding = sniff_encoding(data)
    text = data.decode(encoding, errors="replace").removeprefix("\ufeff").replace("\0", "")
    seen = [_seen(text, delimiter) for delimiter in _DELIMITERS]
    delimiter, rows = max(zip(_DELIMITERS, seen, strict=True), key=lambda pair: _fit(pair[1]))
    top = _header_index(rows)
    header = tuple(cell.strip() for cell in rows[top][1]) if rows else ()
    body = [tuple(row) for _, row in rows[top + 1 :] if len(row) == len(header)]
    unit_row = body[0] if body and _is_unit_row(body[0]) else ()
    layout = Layout(delimiter, encoding, rows[top][0] if rows else 1, 1 if unit_row else 0)
    return Sighting(layout, header, unit_row, tuple(body[1:] if unit_row else body))


def sniff_encoding(data: bytes) -> str:
    """UTF-8 where the bytes allow it; UTF-16 by its mark or its zeros; else the usual one-byte encoding."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    start = data[:2000]
    if start and start.count(0) > len(start) // 4:
        return "utf-16-le" if start[1::2].count(0) > start[::2].count(0) else "utf-16-be"
    for encoding in ("utf-8", "cp1252"):
        try:
            data.decode(encoding)
        except UnicodeDecodeError:
            continue
        return encoding
    return "latin-1"


def sniff_decimal(sighting: Sighting) -> str:
    """The sign that more numbers hold; a point when none is seen."""
    cells = [cell.strip() for row in sighting.rows for cell in row]
    commas = sum(bool(re.match(r"[+-]?\d+,\d+(?![\d.,])", cell)) for cell in cells)
    points = sum(bool(re.match(r"[+-]?\d+\.\d+(?![\d.,])", cell)) for cell in cells)
    return "," if commas > points else "."


def sniff_date_formats(cells: Sequence[str]) -> list[str]:
    """Every format in which all the cells are dates: several when day and month cannot be told apart."""
    filled = sorted({cell for cell in cells if cell})
    if not filled:
        return []
    formats = [day + time for time in _TIMES for day in _DAYS]
    return [words for words in formats if all(to_iso(cell, words) != cell for cell in filled)]


def _seen(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """The first rows that are not empty, with their numbers."""
    rows: list[tuple[int, list[str]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for number, row in enumerate(reader, 1):
            if any(cell.strip() for cell in row):
                rows.append((number, row))
            if len(rows) == _ROWS_SEEN:
                break
    except csv.Error:
        pass
    return rows


def _fit(rows: list[tuple[int, list[str]]]) -> float:
    """How well a separator splits the rows: share of rows as wide as the header, times its width."""
    if not rows:
        return 0.0
    width = len(rows[_header_index(rows)][1])
    return (width - 1) * sum(len(row) == width for _, row in rows) / len(rows)


def _header_index(rows: list[tuple[int, list[str]]]) -> int:
    """The first row as wide as most rows that holds names rather than numbers; 0 when there is none."""
    if not rows:
        return 0
    usual = Counter(len(row) for _, row in rows).most_common(1)[0][0]
    for index, (_, row) in enumerate(rows):
        names = [cell for cell in row if cell.strip() and not _NUMERIC.fullmatch(cell.strip())]
        if len(row) == usual and len(names) * 2 > len(row):
            return index
    return 0


def _is_unit_row(row: tuple[str, ...]) -> bool:
    filled = [cell for cell in row if cell.strip()]
    return bool(filled) and all(unit_of(cell) or not re.search(r"\w", cell) for cell in filled)
