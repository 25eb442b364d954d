"""Plain text tables that fit 80 columns."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field

WIDTH = 80
GAP = "  "
UNKNOWN = "?"
SMALLEST_LABEL = 12


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of a table under a heading of their own; an empty heading prints none."""

    heading: str
    rows: Sequence[Sequence[str]] = field(default_factory=tuple)


def table(headings: Sequence[str], blocks: Sequence[Block], *, width: int = WIDTH) -> str:
    """Rows under ``headings``: the first column reads left, dotted to the rest, which read right.

    A heading may hold line breaks. First cells too long for ``width`` are wrapped; the dots stand on their
    last line. Without any row the table says so.
    """
    rows = [row for block in blocks for row in block.rows]
    if not rows:
        return "  (nothing to show)"
    widths = [_column_width(column) for column in zip(_longest(headings), *rows, strict=True)]
    room = width - len(GAP) - 1 - sum(len(GAP) + column for column in widths[1:])
    widths[0] = min(widths[0], max(room, SMALLEST_LABEL))
    lines = _heading_lines(headings, widths)
    for block in blocks:
        lines += [block.heading] if block.heading and block.rows else []
        lines += [line for row in block.rows for line in _row_lines(row, widths)]
    return "\n".join(lines)


def paragraph(text: str, *, indent: str = "", width: int = WIDTH) -> str:
    """Text wrapped to the page, its line breaks taken as spaces."""
    return textwrap.fill(" ".join(text.split()), width, initial_indent=indent, subsequent_indent=indent)


def item(text: str) -> str:
    """Text as a point of a list."""
    first, *rest = paragraph(text, indent="    ").splitlines()
    return "\n".join([f"  - {first.lstrip()}", *rest])


def number(value: float | None, decimals: int = 1, *, signed: bool = False) -> str:
    """A number with fixed decimals; ``?`` for None and nan, and never a negative zero."""
    if value is None or math.isnan(value):
        return UNKNOWN
    rounded = round(value, decimals) + 0.0
    return f"{rounded:+.{decimals}f}" if signed else f"{rounded:.{decimals}f}"


def percent(share: float | None, decimals: int = 0) -> str:
    """A share of one as a percentage; ``?`` where it is unknown."""
    shown = number(None if share is None else 100.0 * share, decimals)
    return shown if shown == UNKNOWN else f"{shown} %"


def interval(low: float | None, high: float | None, decimals: int = 1, *, signed: bool = False) -> str:
    """Both ends of an interval; ``?`` where either is unknown."""
    ends = [number(end, decimals, signed=signed) for end in (low, high)]
    return UNKNOWN if UNKNOWN in ends else " to ".join(ends)


def clock(minutes: float) -> str:
    """A time of practice as hours and minutes: ``1 h 20``, ``45 min``."""
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02d}" if hours else f"{rest} min"


def _longest(headings: Sequence[str]) -> list[str]:
    return [max(heading.split("\n"), key=len) for heading in headings]


def _column_width(cells: Sequence[str]) -> int:
    return max(map(len, cells))


def _heading_lines(headings: Sequence[str], widths: Sequence[int]) -> list[str]:
    split = [heading.split("\n") for heading in headings]
    depth = max(map(len, split))
    padded = [[""] * (depth - len(lines)) + lines for lines in split]
    return [_line(cells, widths, " ") for cells in zip(*padded, strict=True)]


def _row_lines(row: Sequence[str], widths: Sequence[int]) -> list[str]:
    *above, last = textwrap.wrap(row[0], widths[0]) or [""]
    dots = "." if len(row) > 1 else " "
    return [GAP + line for line in above] + [_line([last, *row[1:]], widths, dots)]


def _line(cells: Sequence[str], widths: Sequence[int], dots: str) -> str:
    first = cells[0] + (" " if cells[0] else "")
    rest = [cell.rjust(size) for cell, size in zip(cells[1:], widths[1:], strict=True)]
    return GAP.join([GAP + first.ljust(widths[0] + 1, dots)[: widths[0] + 1], *rest]).rstrip()
