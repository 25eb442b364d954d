"""From the bytes of a delimited file to its cells: encoding and structure, no meaning yet."""

from __future__ import annotations

import csv
import io
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem

#: Rows taken at a time: enough for speed, few enough that a file's cells never stand in memory as a whole.
_ROWS_AT_A_TIME = 50_000
_SHOWN_LENGTH = 60
_BYTE_ORDER_MARKS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


@dataclass(frozen=True, slots=True)
class Layout:
    """How the text of a file is laid out. ``encoding`` utf-8 reads a byte-order mark or none."""

    delimiter: str = ","
    encoding: str = "utf-8"
    header_line: int = 1
    lines_after_header: int = 0


@dataclass(frozen=True, slots=True)
class Cells:
    """A column as text: ``texts[codes[i]]`` stands in row i. Each different text is kept once."""

    codes: NDArray[np.int32]
    texts: list[str]


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of a file that have as many cells as its header; ``problems`` tells of the others.

    ``lines`` int64[n] is the line each row starts on, from 1.
    """

    source: str
    header: tuple[str, ...]
    cells: tuple[Cells, ...]
    lines: NDArray[np.int64]
    problems: tuple[Problem, ...]


class _Codes(dict[str, int]):
    """Numbers texts in the order in which they are first asked for."""

    def __missing__(self, text: str) -> int:
        code = self[text] = len(self)
        return code


def shown(value: str) -> str:
    """A value short enough to print."""
    return value if len(value) <= _SHOWN_LENGTH else value[: _SHOWN_LENGTH - 1] + "…"


def read_bytes(path: Path) -> bytes:
    """The bytes of a file; InputError when there is none to read."""
    try:
        data = Path(path).read_bytes()
    except IsADirectoryError:
        raise InputError(
            Problem(str(path), "", "", "a file, and this is a folder", "Name the files in it.")
        ) from None
    except FileNotFoundError:
        raise InputError(Problem(str(path), "", "", "a file, and there is none of this name")) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({reason})")) from None
    if not data.strip(b"\xef\xbb\xbf \t\r\n"):
        raise InputError(Problem(str(path), "", "", "a header and rows, and the file is empty"))
    return data


def read_header(data: bytes, source: str, layout: Layout) -> tuple[str, ...]:
    """The names in the header line; empty when there is none. InputError as for `read_table`."""
    rows = _numbered_rows(_text(data, source, layout.encoding), layout.delimiter, source, [])
    return _header(rows, layout.header_line)


def read_table(data: bytes, source: str, layout: Layout) -> Table:
    """Split a file into cells.

    Rows that are too long or too short are named in ``problems`` and left out, never shifted. Empty lines
    are no rows. InputError when the text cannot be decoded or holds NUL characters.
    """
    problems: list[Problem] = []
    rows = _numbered_rows(_text(data, source, layout.encoding), layout.delimiter, source, problems)
    header = _header(rows, layout.header_line)
    codes = [_Codes() for _ in header]
    numbered: list[list[NDArray[np.int32]]] = [[np.empty(0, np.int32)] for _ in header]
    lines = [np.empty(0, np.int64)]
    deque(islice(rows, layout.lines_after_header), maxlen=0)
    while chunk := list(islice(rows, _ROWS_AT_A_TIME)):
        whole = [(line, row) for line, row in chunk if len(row) == len(header) and any(row)]
        if len(whole) < len(chunk):
            problems += _misshapen(source, len(header), chunk)
        lines.append(np.fromiter((line for line, _ in whole), np.int64, len(whole)))
        columns = zip(*(row for _, row in whole), strict=True)
        for column, known, parts in zip(columns, codes, numbered, strict=False):
            parts.append(np.fromiter(map(known.__getitem__, column), np.int32, len(whole)))
    cells = (Cells(np.concatenate(parts), list(known)) for parts, known in zip(numbered, codes, strict=True))
    return Table(source, header, tuple(cells), np.concatenate(lines), tuple(problems))


def _text(data: bytes, source: str, encoding: str) -> io.TextIOWrapper:
    encoding = "utf-8-sig" if encoding.lower().replace("_", "-") in ("utf-8", "utf8") else encoding
    other = _BYTE_ORDER_MARKS.get(data[:2])
    if other and encoding == "utf-8-sig":
        remedy = f'Save it as UTF-8, or write encoding = "{other}" in a mapping.'
        raise InputError(Problem(source, "", "", f"text in UTF-8, and this is {other.upper()}", remedy))
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        bad = data[error.start : error.start + 1]
        line = data.count(b"\n", 0, error.start) + 1
        remedy = "Save it as UTF-8, or name its encoding in a mapping (cp1252 is usual on older systems)."
        expected = f"text in {encoding.removesuffix('-sig').upper()}"
        raise InputError(Problem(source, f"row {line}", f"byte 0x{bad.hex()}", expected, remedy)) from None
    nul = text.find("\0")
    if nul >= 0:
        line = text.count("\n", 0, nul) + 1
        raise InputError(
            Problem(
                source,
                f"row {line}",
                "\0",
                "text without NUL characters",
                "Export the file again as plain text.",
            )
        )
    return io.TextIOWrapper(io.BytesIO(data), encoding, newline="")


def _numbered_rows(
    text: io.TextIOWrapper, delimiter: str, source: str, problems: list[Problem]
) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line it starts on, as a quoted cell may hold line breaks.

    A row that cannot be split becomes a problem, and ends the file.
    """
    reader = csv.reader(text, delimiter=delimiter)
    line = 1
    try:
        for row in reader:
            yield line, row
            line = reader.line_num + 1
    except csv.Error as error:
        remedy = "Look for a quotation mark that is not closed. Nothing after this row was read."
        problems.append(Problem(source, f"row {line}", "", f"cells of usual length ({error})", remedy))


def _header(rows: Iterator[tuple[int, list[str]]], header_line: int) -> tuple[str, ...]:
    names = next((row for line, row in rows if line >= header_line and any(row)), [])
    return tuple(name.strip() for name in names)


def _misshapen(source: str, width: int, rows: list[tuple[int, list[str]]]) -> list[Problem]:
    remedy = "Look for a missing or surplus separator, or a quotation mark that is not closed."
    return [
        Problem(source, f"row {line}", f"{len(row)} cells", f"{width} cells, as in the header", remedy)
        for line, row in rows
        if len(row) != width and "".join(row).strip()
    ]
