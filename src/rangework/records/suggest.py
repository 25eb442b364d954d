"""A first mapping for a foreign export, from the headers and values seen in it, for the coach to finish."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from pathlib import Path

from rangework.errors import InputError, Problem
from rangework.records.columns import COLUMNS
from rangework.records.header import recognised
from rangework.records.header_words import is_driver, meanings, side_of, unit_of
from rangework.records.mapping import MAPPED_COLUMNS
from rangework.records.sniffing import Sighting, see, sniff_date_formats, sniff_decimal
from rangework.records.table import Layout, read_bytes

#: Stands behind every line that only the coach can settle.
FINISH = "# FINISH:"
_NEEDED = ("date", "target", "carry", "right")
_MOST_LISTED = 40
_WORD = re.compile(r"[^\W\d_]+")


def suggest_mapping(path: Path) -> str:
    """A mapping in TOML for the file at ``path``.

    Whatever the file does not say is marked ``# FINISH:``. A unit that no header states and a date that may
    be read in two ways are left out, so that the file is refused until somebody who knows writes them.
    InputError when the file cannot be read or is canonical already.
    """
    sighting = see(read_bytes(Path(path)))
    names = [name for name in sighting.header if name]
    if names and len(recognised(names)) == len(names):
        return _of_writing_only(Path(path), sighting)
    if len(names) < 2:
        raise InputError(Problem(str(path), "", "", "a text file of columns with a header"))
    return _Suggestion(Path(path).name, sighting).text()


def _of_writing_only(path: Path, sighting: Sighting) -> str:
    """The mapping of a file with rangework's own headers: what a spreadsheet made of its writing."""
    suggestion = _Suggestion(path.name, sighting)
    if suggestion.is_canonical():
        raise InputError(Problem(str(path), "header", "", "a foreign export, and this file needs no mapping"))
    told = [*suggestion.opening("whose headers are rangework's own"), "", *suggestion.file()]
    return "\n".join(told) + "\n"


class _Suggestion:
    """Decides table by table what to write."""

    def __init__(self, file_name: str, sighting: Sighting) -> None:
        self.file_name = file_name
        self.seen = sighting
        self.columns = _assign(sighting)

    def text(self) -> str:
        parts = [
            self.opening("from its headers and values"),
            self.file(),
            self._columns(),
            self._units(),
            self._fixed(),
            self._distance(),
            self._lies(),
            self._misread(),
        ]
        return "\n\n".join("\n".join(part) for part in parts if part) + "\n"

    def opening(self, origin: str) -> list[str]:
        """What the mapping is, and what to do with it."""
        return [
            f"# A first mapping for {_one_line(self.file_name)}, {origin}.",
            f"# Settle every line marked {FINISH[2:-1]} and look over the rest. Then run",
            "# rangework check FILE --mapping THIS_FILE",
        ]

    def _cells(self, name: str) -> list[str]:
        return self.seen.column(self.columns[name]) if name in self.columns else []

    def is_canonical(self) -> bool:
        """Whether separators, numbers and dates are written as rangework writes them."""
        formats = sniff_date_formats(self._cells("date"))
        iso = not formats or any(words.startswith("YYYY-MM-DD") for words in formats)
        return self.seen.layout == Layout() and sniff_decimal(self.seen) == "." and iso

    def file(self) -> list[str]:
        """How the file is written."""
        layout = self.seen.layout
        lines = [
            "[file]",
            f"delimiter = {_quoted(layout.delimiter)}",
            f"decimal = {_quoted(sniff_decimal(self.seen))}",
            f"encoding = {_quoted(layout.encoding)}",
        ]
        if not layout.encoding.startswith("utf"):
            lines[-1] += f"  {FINISH} do letters with accents look right?"
        formats = sniff_date_formats(self._cells("date"))
        if len(formats) == 1:
            lines.append(f"date_format = {_quoted(formats[0])}")
        elif "date" in self.columns:
            example = _one_line(next(filter(None, self._cells("date")), ""))
            choice = " or ".join(formats) or "such as DD.MM.YYYY"
            lines.append(f'# date_format = ""  {FINISH} how is {example} meant? {choice}')
        if layout.header_line > 1:
            lines.append(f"header_line = {layout.header_line}")
        if layout.lines_after_header:
            lines.append(f"lines_after_header = {layout.lines_after_header}  # the row of units")
        return lines

    def _columns(self) -> list[str]:
        lines = ["[columns]  # our name = header in the file"]
        lines += [f"{name} = {_quoted(header)}" for name, header in self.columns.items() if name != "remark"]
        finish = {"carry", "total", "long"} & self.columns.keys()
        for name in _NEEDED:
            if name not in self.columns and not (name == "carry" and finish):
                meaning = MAPPED_COLUMNS[name].meaning
                lines.append(f'# {name} = ""  {FINISH} the header of the {meaning}')
        unused = [header for header in self.seen.header if header and header not in self.columns.values()]
        if unused:
            lines.append(f"# Not used: {', '.join(map(_one_line, unused[:_MOST_LISTED]))}")
        return lines

    def _units(self) -> list[str]:
        lines = ["[units]"]
        for name in (
            name for name in self.columns if name != "remark" and MAPPED_COLUMNS[name].sort == "length"
        ):
            header = self.columns[name]
            stated = self.seen.unit_row[self.seen.header.index(header)] if self.seen.unit_row else ""
            unit = unit_of(header) or unit_of(stated)
            ask = f'# {name} = ""  {FINISH} "yd", "m" or "ft"; the file does not say'
            lines.append(f"{name} = {_quoted(unit)}" if unit else ask)
        return lines if len(lines) > 1 else []

    def _fixed(self) -> list[str]:
        lines = ["[fixed]  # what all balls of the file share"]
        if "place" not in self.columns:
            places = ", ".join(sorted(set(map(str, COLUMNS["place"].choices.values()))))
            lines.append(f'place = "range"  {FINISH} where were the balls hit? {places}')
        if "date" not in self.columns:
            lines.append(f'# date = "2026-05-04"  {FINISH} the day, if no header has it')
        return lines if len(lines) > 1 else []

    def _distance(self) -> list[str]:
        lines = ["[distance]"]
        if self.columns.keys() & {"carry", "total"}:
            ask = 'or "straight", from the player to the ball?'
            lines.append(f'carry = "along the line"  {FINISH} {ask}')
        words = sorted({word for cell in self._cells("right") for word in _WORD.findall(cell)})[:_MOST_LISTED]
        if words:
            for side in ("right", "left"):
                chosen = [word for word in words if side_of(word) == side]
                lines.append(f"{side}_words = [{', '.join(map(_quoted, chosen))}]")
                if not chosen:
                    lines[-1] += f"  {FINISH} which of {', '.join(words)}?"
        elif "right" in self.columns:
            lines.append(f'right = "positive"  {FINISH} or "negative", if a ball to the right has a minus?')
        return lines if len(lines) > 1 else []

    def _lies(self) -> list[str]:
        if "lie" in self.columns:
            return self._lie_words()
        if "club" not in self.columns:
            return [
                f'# [fixed] lie = "fairway"  {FINISH} what were the balls hit from? Add the line to [fixed].'
            ]
        clubs = _distinct(self._cells("club"))
        lines = ["[lie_by_club]  # what each club was hit from"]
        lines += [f'{_quoted(club)} = "tee"  {FINISH} from a tee?' for club in clubs if is_driver(club)]
        others = [club for club in clubs if not is_driver(club)]
        lines.append(f'"*" = "fairway"  {FINISH} {", ".join(map(_one_line, others[:_MOST_LISTED]))}')
        return lines

    def _lie_words(self) -> list[str]:
        foreign = [
            word for word in _distinct(self._cells("lie")) if word.casefold() not in COLUMNS["lie"].choices
        ]
        if not foreign:
            return []
        choices = ", ".join(COLUMNS["lie"].choices)
        lines = ["[values.lie]  # their word = ours"]
        return lines + [f'# {_quoted(word)} = ""  {FINISH} {choices}' for word in foreign[:_MOST_LISTED]]

    def _misread(self) -> list[str]:
        distance = next((name for name in ("carry", "total", "long") if name in self.columns), None)
        if distance is None:
            return []
        without = [not re.search(r"\d", cell) for cell in self._cells(distance)]
        if not any(without):
            return []
        cells, header = self._cells(distance), self.columns[distance]
        remarks = self._cells("remark")
        if remarks and all(remark for remark, empty in zip(remarks, without, strict=True) if empty):
            cells, header = remarks, self.columns["remark"]
        values = _distinct(
            [cell for cell, empty in zip(cells, without, strict=True) if empty], keep_empty=True
        )
        listed = ", ".join(map(_quoted, values[:_MOST_LISTED]))
        return [
            f"[misread]  {FINISH} balls hit and not read? Seen: {sum(without)}",
            f"column = {_quoted(header)}",
            f"values = [{listed}]",
        ]


def _assign(sighting: Sighting) -> dict[str, str]:
    """Our name to header: each header its likeliest meaning that no header before it took."""
    columns: dict[str, str] = {}
    for header in sighting.header:
        if sighting.header.count(header) == 1:
            free = (name for name in meanings(header) if name not in columns)
            if name := next(free, ""):
                columns[name] = header
    if "carry" in columns:
        columns.pop("total", None)
    order = [*MAPPED_COLUMNS, "remark"]
    return dict(sorted(columns.items(), key=lambda item: order.index(item[0])))


def _distinct(cells: Iterable[str], keep_empty: bool = False) -> list[str]:
    return [cell for cell in dict.fromkeys(cells) if cell or keep_empty]


def _quoted(text: str) -> str:
    """A text as a TOML string."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _one_line(text: str) -> str:
    """A text that can stand in a comment."""
    return "".join(sign if sign.isprintable() else "?" for sign in text)
