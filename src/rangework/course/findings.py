"""Reading tables of a TOML file with every problem collected, so that the coach mends them in one go.

Every getter returns a usable value. When the file has none, or a wrong one, that is the default, and a wrong
one has become a Problem; so reading goes on to the end, and whoever reads must look at
``Findings.problems`` before using what was read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from rangework.errors import Problem
from rangework.units import METRES_PER, YARD_M

#: Units of a length, by the end of its key. A pace is taken as a yard: common practice, no source.
LENGTH_UNITS = {**METRES_PER, "paces": YARD_M}


@dataclass(slots=True)
class Findings:
    """What reading one file has found so far."""

    source: str
    problems: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)
    assumed: dict[str, list[int]] = field(default_factory=dict)

    def problem(self, place: str, value: object, expected: str, remedy: str = "") -> None:
        """Something that cannot be used."""
        self.problems.append(Problem(self.source, place, shown(value), expected, remedy))

    def warning(self, place: str, value: object, expected: str, remedy: str = "") -> None:
        """Something odd that is used all the same."""
        self.warnings.append(Problem(self.source, place, shown(value), expected, remedy))

    def assume(self, text: str, hole: int | None = None) -> None:
        """Something the file leaves open; the same text for several holes is told once."""
        holes = self.assumed.setdefault(text, [])
        if hole is not None and hole not in holes:
            holes.append(hole)

    def assumptions(self) -> tuple[str, ...]:
        """All assumptions in words, with the holes they were made for."""
        return tuple(f"{text}{_on_holes(holes)}" for text, holes in self.assumed.items())


class Table:
    """One table of the file, its place in it, and the keys that have been asked for.

    Keys that it lacks are taken from ``usual``, and faults in them are told with their place there.
    """

    def __init__(
        self, entries: Mapping[str, Any], place: str, findings: Findings, usual: Table | None = None
    ) -> None:
        own = {_without_unit(key) for key in entries}
        usual_entries = usual.entries if usual else {}
        inherited = {key: usual_entries[key] for key in usual_entries if _without_unit(key) not in own}
        self.entries: dict[str, Any] = {**inherited, **entries}
        self.place = place
        self.findings = findings
        self._own = entries
        self._usual = usual
        self._known: set[str] = set()
        self._lengths: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return bool(self._length_keys(key)) or key in self.entries

    def at(self, key: str) -> str:
        """The place of a key of this table."""
        if self._usual and key not in self._own and key in self._usual.entries:
            return self._usual.at(key)
        return f"{self.place}.{key}" if self.place else key

    def value(self, key: str) -> Any:
        """The raw value, None where there is none."""
        self._known.add(key)
        return self.entries.get(key)

    def missing(self, key: str, expected: str) -> None:
        """Report that a key is needed and not there."""
        self.findings.problem(self.at(key), None, expected, "It is missing; please add it.")

    def text(self, key: str, default: str, *, required: bool = False) -> str:
        """A text that is not empty."""
        value = self.value(key)
        if isinstance(value, str) and value.strip():
            return value.strip()
        if value is not None:
            self.findings.problem(self.at(key), value, "a text in quotes")
        elif required:
            self.missing(key, "a text in quotes")
        return default

    def choice(self, key: str, choices: Iterable[str], default: str, *, required: bool = False) -> str:
        """One of a few words."""
        options = list(choices)
        value = self.value(key)
        if isinstance(value, str) and value in options:
            return value
        expected = "one of " + ", ".join(options)
        if value is not None:
            self.findings.problem(self.at(key), value, expected, nearest(value, options))
        elif required:
            self.missing(key, expected)
        return default

    def flag(self, key: str) -> bool:
        """True or false; false when not given."""
        value = self.value(key)
        if value is not None and not isinstance(value, bool):
            self.findings.problem(self.at(key), value, "true or false")
        return value is True

    def number(self, key: str, low: float, high: float, default: float, *, required: bool = False) -> float:
        """A number from ``low`` to ``high``."""
        expected = f"a number from {low:g} to {high:g}"
        value = self.value(key)
        if value is None and required:
            self.missing(key, expected)
        return self._checked(key, value, low, high, expected, default)

    def whole(self, key: str, low: int, high: int, default: int, *, required: bool = False) -> int:
        """A whole number from ``low`` to ``high``."""
        expected = f"a whole number from {low} to {high}"
        value = self.value(key)
        if value is None and required:
            self.missing(key, expected)
        if isinstance(value, float):
            self.findings.problem(self.at(key), value, expected)
            return default
        return int(self._checked(key, value, low, high, expected, default))

    def length_m(
        self, key: str, low_yd: float, high_yd: float, default_m: float, *, required: bool = False
    ) -> float:
        """A length as metres; its key ends in its unit: ``_yd``, ``_m``, ``_ft`` or ``_paces``."""
        found = self.length_key(key, required=required)
        if found is None:
            return default_m
        name, unit_m = found
        low, high = low_yd * YARD_M / unit_m, high_yd * YARD_M / unit_m
        expected = f"a number from {low:.4g} to {high:.4g}"
        value = self._checked(name, self.value(name), low, high, expected, default_m / unit_m)
        return value * unit_m

    def length_key(self, key: str, *, required: bool = False) -> tuple[str, float] | None:
        """The key that gives this length, with its unit in metres."""
        self._lengths.add(key)
        given = self._length_keys(key)
        self._known.update(given)
        if not given:
            if required and key not in self.entries:
                self.missing(f"{key}_yd", f"a length as {key}_yd or {key}_m")
            return None
        if len(given) > 1:
            self.findings.problem(
                self.at(given[1]), self.entries[given[1]], f"only one of {', '.join(given)}"
            )
        return given[0], LENGTH_UNITS[given[0].removeprefix(f"{key}_")]

    def table(self, key: str) -> Table:
        """A table inside this one; an empty one when not given."""
        self._known.add(key)
        place = f"{self.place}.{key}" if self.place else key
        return as_table(self._own.get(key), place, self.findings, self._usual_table(key))

    def tables(self, key: str) -> list[Table]:
        """A list of tables inside this one; a single table counts as a list of one.

        Where the usual value is a single table, each entry of the list falls back on it.
        """
        value = self.value(key)
        if value is None:
            return []
        if isinstance(value, Mapping):
            return [as_table(value, self.at(key), self.findings)]
        if not isinstance(value, list):
            self.findings.problem(self.at(key), value, "a list of tables, [{...}, {...}]")
            return []
        usual = self._usual_table(key)
        return [
            as_table(each, f"{self.at(key)}[{i}]", self.findings, usual) for i, each in enumerate(value, 1)
        ]

    def allow(self, *keys: str) -> None:
        """Let lengths stand that are not looked at, as another key of this table says more."""
        for key in keys:
            self._known.update(self._length_keys(key))

    def texts(self, key: str) -> list[str]:
        """A list of texts, empty when not given."""
        value = self.value(key)
        if value is None or (isinstance(value, list) and all(isinstance(each, str) for each in value)):
            return list(value or [])
        self.findings.problem(self.at(key), value, 'a list of texts, ["...", "..."]')
        return []

    def close(self) -> None:
        """Report every key that nobody asked for."""
        names = sorted(self._known) + [
            f"{key}_{unit}" for key in sorted(self._lengths) for unit in ("yd", "m")
        ]
        for key in self.entries:
            if key in self._lengths:
                expected = f"a unit at the end of the key: {key}_yd or {key}_m"
                self.findings.problem(self.at(key), self.entries[key], expected)
            elif key not in self._known:
                self.findings.problem(
                    self.at(key), self.entries[key], "a key that is known", nearest(key, names)
                )

    def _usual_table(self, key: str) -> Table | None:
        if self._usual and isinstance(self._usual.entries.get(key), Mapping):
            return self._usual.table(key)
        return None

    def _length_keys(self, key: str) -> list[str]:
        return [name for unit in LENGTH_UNITS if (name := f"{key}_{unit}") in self.entries]

    def _checked(self, key: str, value: Any, low: float, high: float, expected: str, default: float) -> float:
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            self.findings.problem(self.at(key), value, expected)
            return default
        return float(value)


def as_table(value: Any, place: str, findings: Findings, usual: Table | None = None) -> Table:
    """The value as a table, an empty one where it is none."""
    if value is not None and not isinstance(value, Mapping):
        findings.problem(place, value, "a table of keys and values, { key = value }")
    return Table(value if isinstance(value, Mapping) else {}, place, findings, usual)


def nearest(word: object, known: Iterable[str]) -> str:
    """A remedy that names the likeliest intended word, or all when none is near."""
    options = list(dict.fromkeys(known))
    near = get_close_matches(str(word)[:60], options, n=1)
    if near:
        return f"Did you mean {near[0]}?"
    return f"Known here: {', '.join(options)}." if options else ""


def shown(value: object) -> str:
    """A value as a message shows it, cut to a readable length."""
    if value is None:
        return ""
    try:
        text = str(value).lower() if isinstance(value, bool) else str(value)
    except ValueError:
        # Python refuses to write out whole numbers of more than 4,300 digits
        return "a number too long to show"
    return text if len(text) <= 60 else f"{text[:57]}..."


def _without_unit(key: str) -> str:
    stem, _, unit = key.rpartition("_")
    return stem if unit in LENGTH_UNITS else key


def _on_holes(holes: list[int]) -> str:
    if not holes:
        return ""
    runs: list[list[int]] = []
    for number in sorted(holes):
        if runs and number == runs[-1][-1] + 1:
            runs[-1][1:] = [number]
        else:
            runs.append([number])
    numbers = ", ".join("-".join(map(str, run)) for run in runs)
    return f" (hole {numbers})" if len(holes) == 1 else f" (holes {numbers})"
