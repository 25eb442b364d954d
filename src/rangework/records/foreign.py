"""A foreign export, read through its mapping, as columns in canonical writing."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from rangework.errors import Problem
from rangework.records.cells import Values, Written
from rangework.records.columns import COLUMNS, Column
from rangework.records.date_format import to_iso
from rangework.records.header import canonical_columns
from rangework.records.mapping import MAPPED_COLUMNS, ExportMapping, Rows
from rangework.records.rows import Cells
from rangework.records.sheet import Sheet
from rangework.records.table import Table

_SWAP = str.maketrans(".,", ",.")
_ANY_CLUB = "*"
_WORD = re.compile(r"[^\W\d_]+")


def without_skipped(table: Table, mapping: ExportMapping) -> Table:
    """The table without the rows that the mapping says are no balls."""
    if not mapping.skip.header:
        return table
    kept = ~_matching(table, mapping.skip)
    cells = tuple(Cells(cells.codes[kept], cells.texts) for cells in table.cells)
    return Table(table.source, table.header, cells, table.lines[kept], table.problems)


def mapped_columns(table: Table, mapping: ExportMapping) -> tuple[list[Written], list[Problem]]:
    """The columns that a mapping finds in a table that holds its headers, and the errors of the header."""
    twice = [header for header in sorted(mapping.headers) if table.header.count(header) > 1]
    if twice:
        return [], [Problem(table.source, "header", header, "each mapped header once") for header in twice]
    columns = [_mapped(table, mapping, name, header) for name, header in mapping.columns.items()]
    columns += [_fixed(table, name, value) for name, value in mapping.fixed.items()]
    if mapping.lie_by_club:
        columns.append(_lie_by_club(table, mapping))
    if mapping.misread.header:
        columns.append(_misread(table, mapping.misread))
    if "measured" not in mapping.columns.keys() | mapping.fixed.keys():
        measured = {"carry": "carry", "total": "finish"}
        columns += [_fixed(table, "measured", measured[name]) for name in measured if name in mapping.columns]
    return columns, []


def own_columns(table: Table, mapping: ExportMapping) -> tuple[list[Written], list[Problem], list[Problem]]:
    """The columns of a file with rangework's own headers in another writing; its errors and warnings."""
    columns, errors, warnings = canonical_columns(table)
    columns = [_in_canonical_writing(written, mapping) for written in columns]
    there = {written.column.name for written in columns}
    columns += [_fixed(table, name, value) for name, value in mapping.fixed.items() if name not in there]
    if mapping.misread.header and "misread" not in there:
        columns.append(_misread(table, mapping.misread))
    return columns, errors, warnings


def _in_canonical_writing(written: Written, mapping: ExportMapping) -> Written:
    translate = _translation(mapping, written.column)
    cells = Cells(written.cells.codes, [translate(text.strip()) for text in written.cells.texts])
    return replace(written, cells=cells, expected=_expected(mapping, written.column))


def place_balls(sheet: Sheet, mapping: ExportMapping) -> None:
    """Turn side words, carry and total into long and right."""
    if "right" in sheet.values:
        _turn_right(sheet, mapping)
    distance = next((name for name in ("carry", "total") if name in sheet.values), None)
    if distance is None:
        return
    length, right, target = sheet.length(distance), sheet.length("right"), sheet.length("target")
    along = length
    if mapping.carry == "straight":
        beside = (np.abs(right) > np.abs(length)) & ~sheet.flag("misread")
        sheet.error(beside, distance, "a distance from the player that is at least the distance to the side")
        along = np.sqrt(np.where(np.abs(right) > np.abs(length), np.nan, length**2 - right**2))
    values = sheet.values[distance]
    sheet.values["long"] = Values(along - target, values.given, values.bad)
    sheet.written["long"] = sheet.written[distance]


def _matching(table: Table, rows: Rows) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    cells = table.cells[table.header.index(rows.header)]
    wanted = np.array([text.strip().casefold() in rows.values for text in cells.texts], bool)
    return wanted[cells.codes]


def _mapped(table: Table, mapping: ExportMapping, name: str, header: str) -> Written:
    column = MAPPED_COLUMNS[name]
    cells = table.cells[table.header.index(header)]
    translate = _translation(mapping, column)
    canonical = Cells(cells.codes, [translate(text.strip()) for text in cells.texts])
    return Written(
        column, mapping.units.get(name, ""), header, canonical, cells.texts, _expected(mapping, column)
    )


def _translation(mapping: ExportMapping, column: Column) -> Callable[[str], str]:
    if column.sort == "date":
        return lambda text: to_iso(text, mapping.date_format)
    if column.name == "right" and mapping.right_words and "side" not in mapping.columns:
        return lambda text: _plain_number(_signed(text, mapping), mapping)
    if column.sort in ("length", "count"):
        return lambda text: _plain_number(text, mapping)
    words = mapping.values.get(column.name, {})
    return lambda text: words.get(text.casefold(), text)


def _plain_number(text: str, mapping: ExportMapping) -> str:
    if mapping.thousands:
        grouped = rf"(?<=\d){re.escape(mapping.thousands)}(?=\d{{3}}(?!\d))"
        text = re.sub(grouped, "", text)
    return text.translate(_SWAP) if mapping.decimal == "," else text


def _signed(text: str, mapping: ExportMapping) -> str:
    """``12,5 L`` as ``-12,5``: the word says the side, and no sign stands beside it."""
    words = _WORD.findall(text)
    if not words and re.fullmatch(r"[0.,]*", text):
        return text
    if len(words) != 1 or text.startswith(("-", "+")):
        return f"{text} ?"
    number = text.replace(words[0], "").strip()
    if words[0].casefold() in map(str.casefold, mapping.left_words):
        return f"-{number}"
    return number if words[0].casefold() in map(str.casefold, mapping.right_words) else f"{text} ?"


def _expected(mapping: ExportMapping, column: Column) -> str:
    if column.sort == "date":
        return f"a date written {mapping.date_format}"
    if column.sort != "length":
        return ""
    number = "12.5".translate(_SWAP) if mapping.decimal == "," else "12.5"
    if column.name == "right" and mapping.right_words and "side" not in mapping.columns:
        return f"a number such as {number} {mapping.right_words[0]} or {number} {mapping.left_words[0]}"
    return f"a number such as {number}"


def _fixed(table: Table, name: str, value: str) -> Written:
    cells = Cells(np.zeros(len(table.lines), np.int32), [value])
    return Written(COLUMNS[name], "", f"[fixed] {name}", cells, cells.texts)


def _lie_by_club(table: Table, mapping: ExportMapping) -> Written:
    header = mapping.columns["club"]
    clubs = table.cells[table.header.index(header)]
    lies = {club.casefold(): lie for club, lie in mapping.lie_by_club.items()}
    other = lies.get(_ANY_CLUB, "")
    texts = [lies.get(club.strip().casefold(), other) or "?" for club in clubs.texts]
    expected = f'a club named in [lie_by_club], or a line "{_ANY_CLUB}" there'
    return Written(COLUMNS["lie"], "", header, Cells(clubs.codes, texts), clubs.texts, expected)


def _misread(table: Table, rows: Rows) -> Written:
    cells = table.cells[table.header.index(rows.header)]
    texts = ["1" if text.strip().casefold() in rows.values else "0" for text in cells.texts]
    return Written(COLUMNS["misread"], "", rows.header, Cells(cells.codes, texts), cells.texts)


def _turn_right(sheet: Sheet, mapping: ExportMapping) -> None:
    right = sheet.values["right"]
    array = right.array
    if "side" in sheet.values:
        words = np.array([text.casefold() for text in sheet.array("side", "")], object)
        left = np.isin(words, [word.casefold() for word in mapping.left_words])
        known = left | np.isin(words, [word.casefold() for word in mapping.right_words])
        unknown = right.given & ~right.bad & ~known & (array != 0.0)
        sheet.error(unknown, "side", "one of " + ", ".join((*mapping.right_words, *mapping.left_words)))
        array = np.where(left, -np.abs(array), np.abs(array))
    elif mapping.right == "negative":
        array = -array
    sheet.values["right"] = Values(array, right.given, right.bad)
