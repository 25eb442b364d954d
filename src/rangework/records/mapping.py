"""A mapping: how a foreign export is written, told in a TOML file that a coach can finish by hand."""

from __future__ import annotations

import codecs
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from rangework.errors import InputError, Problem
from rangework.records.cells import is_readable
from rangework.records.columns import COLUMNS, LENGTH_UNITS, Column
from rangework.records.date_format import strptime_format
from rangework.records.table import Layout, read_bytes
from rangework.records.toml_tables import TomlTables
from rangework.units import LengthUnit

#: Columns that only a mapping knows: they become long, right and measured.
EXTRA_COLUMNS: Mapping[str, Column] = MappingProxyType(
    {
        "carry": Column("carry", "length", "distance from the player to where the ball landed"),
        "total": Column("total", "length", "distance from the player to where the ball stopped"),
        "side": Column("side", "text", "the word for right or left, in a column of its own"),
    }
)
MAPPED_COLUMNS: Mapping[str, Column] = MappingProxyType({**COLUMNS, **EXTRA_COLUMNS})
#: Columns that may stand under [fixed]: they describe how the balls were hit, not the single ball.
FIXABLE = (
    "date",
    "session",
    "place",
    "lie",
    "club",
    "measured",
    "surface",
    "purpose",
    "wind",
    "pin",
    "round",
)

_CARRY_WORDS = ("along the line", "straight")
_RIGHT_WORDS = ("positive", "negative")
#: Codecs of Python that are no encodings of text files.
_NO_ENCODINGS = ("idna", "punycode", "undefined", "unicode_escape", "raw_unicode_escape")


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows known by what stands in one of their columns."""

    header: str = ""
    values: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ExportMapping:
    """How one kind of export is read. ``columns`` maps our names to the file's headers.

    ``carry`` tells whether a distance runs along the target line or straight from the player to the ball;
    ``right`` which sign right has; ``values`` translates words, by column: theirs to ours.
    """

    source: str
    layout: Layout
    decimal: str = "."
    thousands: str = ""
    date_format: str = "YYYY-MM-DD"
    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, LengthUnit] = field(default_factory=dict)
    fixed: Mapping[str, str] = field(default_factory=dict)
    lie_by_club: Mapping[str, str] = field(default_factory=dict)
    carry: str = "along the line"
    right: str = "positive"
    right_words: tuple[str, ...] = ()
    left_words: tuple[str, ...] = ()
    misread: Rows = Rows()
    skip: Rows = Rows()
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    @property
    def own_names(self) -> bool:
        """Whether the headers are rangework's own, so that only the writing of the cells is told."""
        return not self.columns

    @property
    def headers(self) -> set[str]:
        """Every header that a file must hold for this mapping to apply."""
        return {*self.columns.values(), *filter(None, (self.misread.header, self.skip.header))}


def read_mapping(path: Path) -> ExportMapping:
    """A mapping from a TOML file (docs/how-to/foreign-exports.md). InputError names all its problems."""
    try:
        tables = tomllib.loads(read_bytes(path).decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise InputError(Problem(str(path), f"byte {error.start}", "", "text in UTF-8")) from None
    except tomllib.TOMLDecodeError as error:
        raise InputError(
            Problem(str(path), "", "", f"a TOML file ({error})", 'Texts stand in "quotes".')
        ) from None
    except RecursionError:
        raise InputError(Problem(str(path), "", "", "a TOML file without deep nesting")) from None
    return _Reader(str(path), tables).mapping()


class _Reader(TomlTables):
    """Reads the tables of a mapping and collects every problem on the way."""

    def mapping(self) -> ExportMapping:
        known = ("file", "columns", "units", "fixed", "lie_by_club", "distance", "misread", "skip", "values")
        self.refuse_unknown("", self.tables, known)
        columns = self.table_of_texts("columns", MAPPED_COLUMNS)
        mapping = ExportMapping(
            self.source,
            **self._file(),
            columns=columns,
            units=self._units(columns),
            fixed=self.table_of_texts("fixed", FIXABLE),
            lie_by_club=self._lies(columns),
            **self._distance(),
            misread=self._rows("misread"),
            skip=self._rows("skip"),
            values=self._values(),
        )
        self._agreement(mapping)
        if self.problems:
            raise InputError(self.problems)
        return mapping

    def _file(self) -> dict[str, Any]:
        table = self.table("file")
        known = (
            "delimiter",
            "decimal",
            "thousands",
            "encoding",
            "date_format",
            "header_line",
            "lines_after_header",
        )
        self.refuse_unknown("file", table, known)
        delimiter = self.text("file", table, "delimiter", ",")
        if len(delimiter) != 1 or delimiter in '"\r\n\0' or delimiter.isalnum():
            self.problem("[file] delimiter", delimiter, 'one character, such as ";" or "\\t"')
            delimiter = ","
        decimal = self.text("file", table, "decimal", ".")
        if decimal not in (".", ","):
            self.problem("[file] decimal", decimal, '"." or ","')
        thousands = self.text("file", table, "thousands", "")
        if len(thousands) > 1 or (thousands and (thousands == decimal or thousands in "+-0123456789")):
            self.problem("[file] thousands", thousands, "one character that is not the decimal sign, or none")
        date_format = self.text("file", table, "date_format", "YYYY-MM-DD")
        try:
            strptime_format(date_format)
        except ValueError as error:
            self.problem("[file] date_format", date_format, f"a date such as DD.MM.YYYY ({error})")
            date_format = "YYYY-MM-DD"
        layout = Layout(
            delimiter,
            self._encoding(table),
            self.number("file", table, "header_line", 1),
            self.number("file", table, "lines_after_header", 0),
        )
        return {"layout": layout, "decimal": decimal, "thousands": thousands, "date_format": date_format}

    def _encoding(self, table: dict[str, Any]) -> str:
        name = self.text("file", table, "encoding", "utf-8")
        try:
            codec = codecs.lookup(name).name.replace("-", "_")
            b"a".decode(name)
        except UnicodeError:
            return name
        except (LookupError, ValueError, TypeError):
            codec = _NO_ENCODINGS[0]
        if codec in _NO_ENCODINGS:
            self.problem(
                "[file] encoding", name, 'an encoding of text, such as "utf-8", "utf-16" or "cp1252"'
            )
            return "utf-8"
        return name

    def _units(self, columns: dict[str, str]) -> dict[str, LengthUnit]:
        table = self.table_of_texts(
            "units", (name for name, column in MAPPED_COLUMNS.items() if column.sort == "length")
        )
        units: dict[str, LengthUnit] = {}
        for name in (name for name in columns if MAPPED_COLUMNS[name].sort == "length"):
            unit = next((unit for unit in LENGTH_UNITS if unit == table.get(name)), None)
            if unit is None:
                self.problem(
                    f"[units] {name}", table.get(name, ""), 'the unit of the column: "yd", "m" or "ft"'
                )
            units[name] = unit or "m"
        return units

    def _lies(self, columns: dict[str, str]) -> dict[str, str]:
        table = self.table("lie_by_club")
        if table and "club" not in columns:
            self.problem("[columns]", "", "the column club, which [lie_by_club] uses")
        lies = {club.strip(): self.text("lie_by_club", table, club, "fairway") for club in table}
        for club, lie in lies.items():
            self._readable(f"[lie_by_club] {club}", "lie", lie)
        return lies

    def _readable(self, place: str, name: str, value: str) -> None:
        if not is_readable(MAPPED_COLUMNS[name], value):
            self.problem(place, value, MAPPED_COLUMNS[name].expected)

    def _distance(self) -> dict[str, Any]:
        table = self.table("distance")
        self.refuse_unknown("distance", table, ("carry", "right", "right_words", "left_words"))
        carry = self.text("distance", table, "carry", _CARRY_WORDS[0])
        if carry not in _CARRY_WORDS:
            self.problem("[distance] carry", carry, " or ".join(f'"{word}"' for word in _CARRY_WORDS))
        right = self.text("distance", table, "right", _RIGHT_WORDS[0])
        if right not in _RIGHT_WORDS:
            self.problem("[distance] right", right, " or ".join(f'"{word}"' for word in _RIGHT_WORDS))
        words = {key: self.texts("distance", table, key) for key in ("right_words", "left_words")}
        if bool(words["right_words"]) != bool(words["left_words"]):
            self.problem("[distance]", "", "both right_words and left_words, or neither")
        if words["right_words"] and right == "negative":
            self.problem("[distance] right", right, "either words for right and left or a sign")
        if shared := {word.casefold() for word in words["right_words"]} & {
            w.casefold() for w in words["left_words"]
        }:
            self.problem("[distance]", ", ".join(sorted(shared)), "words that mean either right or left")
        return {"carry": carry, "right": right, **words}

    def _rows(self, name: str) -> Rows:
        table = self.table(name)
        self.refuse_unknown(name, table, ("column", "values"))
        rows = Rows(self.text(name, table, "column", "").strip(), self.texts(name, table, "values"))
        if bool(rows.header) != bool(rows.values):
            self.problem(f"[{name}]", "", "both column (a header of the file) and values (a list of texts)")
        return Rows(rows.header, tuple(value.strip().casefold() for value in rows.values))

    def _values(self) -> dict[str, dict[str, str]]:
        tables = self.table("values")
        words = [name for name, column in COLUMNS.items() if column.sort in ("choice", "flag", "text")]
        self.refuse_unknown("values", tables, words)
        translations: dict[str, dict[str, str]] = {}
        for name, table in tables.items():
            place = f"values.{name}"
            if not isinstance(table, dict):
                self.problem(place, table, f"a table, headed [{place}]")
            elif name in words:
                translations[name] = {
                    key.strip().casefold(): self.text(place, table, key, "") for key in table
                }
                for key, value in translations[name].items():
                    self._readable(f"[{place}] {key}", name, value)
        return translations

    def _agreement(self, mapping: ExportMapping) -> None:
        columns = mapping.columns
        if not columns and not self.table("file"):
            expected = "a table [columns] that names the headers of the file"
            self.problem("", "", expected, "Where they are rangework's own, a table [file] is enough.")
        for name, header in columns.items():
            if not header:
                self.problem(
                    f"[columns] {name}", "", "a header of the file", "Fill it in or remove the line."
                )
        for name in columns.keys() & mapping.fixed.keys():
            self.problem(f"[fixed] {name}", mapping.fixed[name], "a column either in [columns] or in [fixed]")
        for name, value in mapping.fixed.items():
            self._readable(f"[fixed] {name}", name, value)
            if not value:
                self.problem(
                    f"[fixed] {name}", "", MAPPED_COLUMNS[name].expected, "Fill it in or remove the line."
                )
        if len(finishes := [name for name in ("carry", "total", "long") if name in columns]) > 1:
            self.problem("[columns]", ", ".join(finishes), "one of carry, total and long")
        if "side" in columns and not mapping.right_words:
            self.problem("[distance]", "", "right_words and left_words, for the column side")
        if mapping.lie_by_club and "lie" in columns.keys() | mapping.fixed.keys():
            self.problem("[lie_by_club]", "", "the lie by club only where no other line gives it")
        if mapping.misread.header and "misread" in columns:
            self.problem(
                "[misread]",
                mapping.misread.header,
                "misread rows told once",
                "Remove misread from [columns].",
            )
