"""From the bytes of a delimited file to its cells: encoding and structure, no meaning yet."""

from __future__ import annotations

import codecs
import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.records.rows import Batch, CellGatherer, Cells, RowBatches

_SHOWN_LENGTH = 60
#: A file of nothing but blanks and line ends is called empty up to this size.
_MOST_EMPTY = 1_000_000
_MARKS = {
    "utf-16": (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE),
    "utf-32": (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE),
}
_BYTE_ORDER_MARKS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


@dataclass(frozen=True, slots=True)
class Layout:
    """How the text of a file is laid out. ``encoding`` utf-8 reads a byte-order mark or none."""

    delimiter: str = ","
    encoding: str = "utf-8"
    header_line: int = 1
    lines_after_header: int = 0


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
    if len(data) < _MOST_EMPTY and not data.strip(b"\xef\xbb\xbf \t\r\n"):
        raise InputError(Problem(str(path), "", "", "a header and rows, and the file is empty"))
    return data


def read_header(data: bytes, source: str, layout: Layout) -> tuple[str, ...]:
    """The names in the header line; empty when there is none. InputError as for `read_table`."""
    return _header(RowBatches(decoded(data, source, layout.encoding), layout.delimiter, source), layout)


def read_table(data: bytes, source: str, layout: Layout) -> Table:
    """Split a file into cells.

    Rows that are too long or too short are named in ``problems`` and left out, never shifted. Empty lines
    are no rows. InputError when the text cannot be decoded or holds NUL characters.
    """
    batches = RowBatches(decoded(data, source, layout.encoding), layout.delimiter, source)
    header = _header(batches, layout)
    columns = [CellGatherer() for _ in header]
    lines = [np.empty(0, np.int64)]
    problems: list[Problem] = []
    batches.take(layout.lines_after_header)
    while (batch := batches.take()).rows:
        if set(map(len, batch.rows)) != {len(header)} or not all(map(any, batch.rows)):
            problems += _misshapen(source, len(header), batch)
            batch = batch.of_width(len(header))
        lines.append(batch.lines)
        for column, cells in zip(columns, zip(*batch.rows, strict=True), strict=False):
            column.add(cells)
    cells = tuple(column.cells() for column in columns)
    return Table(source, header, cells, np.concatenate(lines), (*problems, *batches.problems))


def decoded(data: bytes, source: str, encoding: str) -> io.TextIOWrapper:
    """The text of a file, line ends as they are; InputError with the line of a byte that is no text."""
    encoding = "utf-8-sig" if encoding.lower().replace("_", "-") in ("utf-8", "utf8") else encoding
    other = _BYTE_ORDER_MARKS.get(data[:2])
    if other and encoding == "utf-8-sig":
        remedy = f'Save it as UTF-8, or write encoding = "{other}" in a mapping.'
        raise InputError(Problem(source, "", "", f"text in UTF-8, and this is {other.upper()}", remedy))
    encoding = _with_byte_order(data, encoding)
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


def _with_byte_order(data: bytes, encoding: str) -> str:
    """The encoding, its byte order named where neither its name nor a mark tells it: readers would stop."""
    name = codecs.lookup(encoding).name
    marks = _MARKS.get(name)
    return f"{name}-le" if marks and not data.startswith(marks) else encoding


def _header(batches: RowBatches, layout: Layout) -> tuple[str, ...]:
    batches.take(layout.header_line - 1)
    while rows := batches.take(1).rows:
        if any(rows[0]):
            return tuple(name.strip() for name in rows[0])
    return ()


def _misshapen(source: str, width: int, batch: Batch) -> list[Problem]:
    remedy = "Look for a missing or surplus separator, or a quotation mark that is not closed."
    return [
        Problem(source, f"row {line}", f"{len(row)} cells", f"{width} cells, as in the header", remedy)
        for line, row in zip(batch.lines, batch.rows, strict=True)
        if len(row) != width and "".join(row).strip()
    ]
