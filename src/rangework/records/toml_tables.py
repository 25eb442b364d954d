"""Tables of a TOML file, taken out key by key, with every problem gathered on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rangework.errors import Problem
from rangework.records.header import nearest
from rangework.records.table import shown

#: Beyond every number that is meant; TOML knows whole numbers that no float holds.
_LARGEST = 1e300


def is_number(value: object) -> bool:
    """Whether a value of a file is a number that a float holds; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= _LARGEST


class TomlTables:
    """A parsed TOML file; ``problems`` holds what was wrong with what was asked for so far."""

    def __init__(self, source: str, tables: dict[str, Any]) -> None:
        self.source = source
        self.tables = tables
        self.problems: list[Problem] = []

    def problem(self, place: str, value: Any, expected: str, remedy: str = "") -> None:
        """Add a problem; what is no text is shown as it prints."""
        text = value if isinstance(value, str) else "" if value is None else str(value)
        self.problems.append(Problem(self.source, place, shown(text), expected, remedy))

    def refuse_unknown(self, place: str, table: Mapping[str, Any], known: Iterable[str]) -> None:
        """A problem for each key that is not known, with the nearest that is."""
        known = list(known)
        for key in table:
            if key not in known:
                near = nearest(key, known)
                remedy = f"Did you mean {near}?" if near else f"Known: {', '.join(known)}."
                self.problem(f"[{place}]" if place else "key", key, "a known name", remedy)

    def table(self, name: str) -> dict[str, Any]:
        """The table of this name, empty where there is none."""
        table = self.tables.get(name, {})
        if isinstance(table, dict):
            return table
        self.problem(name, table, f"a table, headed [{name}]")
        return {}

    def text(self, place: str, table: dict[str, Any], key: str, default: str) -> str:
        """A text under ``key``."""
        value = table.get(key, default)
        if isinstance(value, str):
            return value
        self.problem(f"[{place}] {key}", value, 'a text in "quotes"')
        return default

    def number(self, place: str, table: dict[str, Any], key: str, default: int) -> int:
        """A whole number under ``key``, from ``default`` to 1000."""
        value = table.get(key, default)
        if isinstance(value, int) and not isinstance(value, bool) and default <= value <= 1000:
            return value
        self.problem(f"[{place}] {key}", value, f"a whole number from {default} to 1000")
        return default

    def texts(self, place: str, table: dict[str, Any], key: str) -> tuple[str, ...]:
        """A list of texts under ``key``."""
        value = table.get(key, [])
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(value)
        self.problem(f"[{place}] {key}", value, 'a list of texts, such as ["R", "right"]')
        return ()

    def table_of_texts(self, name: str, known: Iterable[str]) -> dict[str, str]:
        """The known keys of a table that holds only texts."""
        table = self.table(name)
        known = list(known)
        self.refuse_unknown(name, table, known)
        return {key: self.text(name, table, key, "").strip() for key in table if key in known}
