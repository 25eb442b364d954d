"""Reading a drills file: the coach's own drills and expected responses, with all faults at once."""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from rangework.errors import InputError, Problem
from rangework.plan.drills import (
    CHANCE_USELESS,
    ORDERS,
    PLACES,
    PURPOSES,
    Drill,
    Order,
    Place,
    Purpose,
    drill_catalogue,
)
from rangework.plan.response import LARGEST_CARRY_M, LARGEST_SHARE, ResponseOverride, steps_of_share
from rangework.records.toml_tables import is_number
from rangework.skill.parts import PART_BY_ID, PART_IDS, STEP_CARRY_M
from rangework.units import METRES_PER

_TOP_KEYS = ("drill", "response", "add_to_catalogue")
_DRILL_KEYS = (
    "name",
    "place",
    "trains",
    "balls_per_hour",
    "full_swings_per_hour",
    "least_block_minutes",
    "equipment",
    "how",
    "cautions",
    "purpose",
    "order",
    "most_a_week",
    "rehearses_course",
    "chance_useless",
)
_RESPONSE_KEYS = ("most_percent", "most_m", "most_yd", "half_hours", "maintenance_hours_per_week")
_MOST_BALLS_PER_HOUR = 600.0
MOST_USELESS = 0.9


@dataclass(frozen=True, slots=True)
class DrillFile:
    """What a drills file says: the drills to plan with, and the coach's responses by part."""

    drills: tuple[Drill, ...]
    responses: Mapping[str, ResponseOverride]


def read_drills(path: Path) -> DrillFile:
    """The drills and responses in a TOML file (docs/reference/drills.md).

    A file without drills of its own, or with ``add_to_catalogue = true``, keeps rangework's catalogue.
    Raises InputError with every problem of the file.
    """
    try:
        text = path.read_text("utf-8-sig")
    except OSError as error:
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({error.strerror})")) from error
    except UnicodeDecodeError as error:
        raise InputError(Problem(str(path), f"byte {error.start}", "", "text in UTF-8")) from error
    return parse_drills(text, str(path))


def parse_drills(text: str, source: str) -> DrillFile:
    """``read_drills`` of a text; ``source`` names it in problems."""
    try:
        entries = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(Problem(source, "", "", f"a TOML file ({error})")) from error
    return _Reading(source).file(entries)


class _Reading:
    """Takes drills out of a parsed file and gathers what is wrong with them."""

    def __init__(self, source: str) -> None:
        self._source = source
        self._problems: list[Problem] = []

    def file(self, entries: dict[str, Any]) -> DrillFile:
        self._unknown_keys("", entries, _TOP_KEYS)
        own = [self._drill(id_, table) for id_, table in self._tables("drill", entries)]
        responses = {id_: self._response(id_, table) for id_, table in self._tables("response", entries)}
        add = entries.get("add_to_catalogue", not own)
        if not isinstance(add, bool):
            self._problem("add_to_catalogue", add, "true or false")
        if self._problems:
            raise InputError(self._problems)
        taken = {drill.id for drill in own}
        kept = [drill for drill in drill_catalogue() if drill.id not in taken] if add else []
        return DrillFile((*kept, *own), responses)

    def _problem(self, place: str, value: object, expected: str, remedy: str = "") -> None:
        shown = str(value).lower() if isinstance(value, bool) else str(value)
        self._problems.append(Problem(self._source, place, shown, expected, remedy))

    def _tables(self, key: str, entries: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
        tables = entries.get(key, {})
        if not isinstance(tables, dict):
            self._problem(key, tables, f"tables such as [{key}.NAME]")
            return []
        for id_, table in tables.items():
            if not isinstance(table, dict):
                self._problem(f"{key}.{id_}", table, f"a table [{key}.{id_}]")
        return [(id_, table) for id_, table in tables.items() if isinstance(table, dict)]

    def _unknown_keys(self, place: str, table: dict[str, Any], known: Collection[str]) -> None:
        for key in table:
            if key not in known:
                where = f"{place}.{key}" if place else key
                self._problem(where, key, "one of " + ", ".join(known), _nearest(key, known))

    def _drill(self, id_: str, table: dict[str, Any]) -> Drill:
        place = f"drill.{id_}"
        self._unknown_keys(place, table, _DRILL_KEYS)
        balls = self._number(place, table, "balls_per_hour", (0.0, _MOST_BALLS_PER_HOUR))
        return Drill(
            id=id_,
            name=self._text(place, table, "name", needed=True),
            place=cast(Place, self._choice(place, table, "place", PLACES)),
            trains=self._trains(f"{place}.trains", table.get("trains")),
            balls_per_hour=balls,
            full_swings_per_hour=self._number(
                place, table, "full_swings_per_hour", (0.0, _MOST_BALLS_PER_HOUR), if_absent=0.0
            ),
            least_block_minutes=self._block(place, table),
            equipment=self._text(place, table, "equipment"),
            how=self._text(place, table, "how"),
            cautions=self._cautions(place, table),
            purpose=cast(Purpose, self._choice(place, table, "purpose", PURPOSES, "development")),
            order=cast(Order, self._choice(place, table, "order", ORDERS, "either")),
            most_a_week=self._most_a_week(place, table),
            rehearses_course=self._rehearses(place, table),
            chance_useless=self._number(
                place, table, "chance_useless", (0.0, MOST_USELESS), if_absent=CHANCE_USELESS
            ),
        )

    def _text(self, place: str, table: dict[str, Any], key: str, *, needed: bool = False) -> str:
        value = table.get(key, "")
        if not isinstance(value, str) or (needed and not value.strip()):
            self._problem(f"{place}.{key}", value, "text in quotes")
            return ""
        return value.strip()

    def _choice(
        self, place: str, table: dict[str, Any], key: str, known: Collection[str], if_absent: str = ""
    ) -> str:
        value = table.get(key, if_absent)
        if value not in known:
            self._problem(f"{place}.{key}", value, "one of " + ", ".join(known), _nearest(value, known))
        return str(value)

    def _most_a_week(self, place: str, table: dict[str, Any]) -> int:
        value = table.get("most_a_week", 7)
        if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 7:
            return value
        self._problem(f"{place}.most_a_week", value, "whole sessions a week from 1 to 7")
        return 7

    def _rehearses(self, place: str, table: dict[str, Any]) -> bool:
        value = table.get("rehearses_course", False)
        if not isinstance(value, bool):
            self._problem(f"{place}.rehearses_course", value, "true or false")
        return value is True

    def _number(
        self,
        place: str,
        table: dict[str, Any],
        key: str,
        within: tuple[float, float],
        *,
        if_absent: float | None = None,
    ) -> float:
        value: Any = table.get(key, if_absent)
        if is_number(value) and within[0] <= value <= within[1]:
            return float(value)
        self._problem(
            f"{place}.{key}", "" if value is None else value, f"a number from {within[0]:g} to {within[1]:g}"
        )
        return within[0]

    def _block(self, place: str, table: dict[str, Any]) -> int:
        value = table.get("least_block_minutes", "")
        if isinstance(value, int) and not isinstance(value, bool) and 5 <= value <= 240 and value % 5 == 0:
            return value
        self._problem(f"{place}.least_block_minutes", value, "whole minutes from 5 to 240, a multiple of 5")
        return 5

    def _cautions(self, place: str, table: dict[str, Any]) -> tuple[str, ...]:
        value = table.get("cautions", [])
        if isinstance(value, list) and all(isinstance(caution, str) for caution in value):
            return tuple(value)
        self._problem(f"{place}.cautions", value, "a list of texts in quotes")
        return ()

    def _trains(self, place: str, table: object) -> dict[str, float]:
        if not isinstance(table, dict) or not table:
            self._problem(
                place, "" if table is None else table, "parts and shares", 'Write { "putt.pace" = 0.7 }.'
            )
            return {}
        kept = {part: float(share) for part, share in table.items() if self._share(place, part, share)}
        if math.fsum(kept.values()) > 1.0 + 1e-9:
            self._problem(place, f"{math.fsum(kept.values()):g}", "shares that sum to at most 1")
        return kept

    def _share(self, place: str, part: str, share: object) -> bool:
        known = self._known_part(place, part, quoted=not isinstance(share, dict))
        if isinstance(share, dict) or (is_number(share) and 0.0 < cast(float, share) <= 1.0):
            return known
        self._problem(f'{place}."{part}"', share, "a share of the hour, above 0 and at most 1")
        return False

    def _known_part(self, place: str, part: str, *, quoted: bool) -> bool:
        if part in PART_BY_ID:
            return True
        # TOML reads an unquoted putt.pace as a table in a table
        remedy = _nearest(part, PART_IDS) if quoted else 'Quote parts that hold a dot, as in "putt.pace".'
        self._problem(f'{place}."{part}"', part, "a part of the game", remedy)
        return False

    def _response(self, part: str, table: dict[str, Any]) -> ResponseOverride:
        place = f'response."{part}"'
        if not self._known_part(
            "response", part, quoted=not any(isinstance(value, dict) for value in table.values())
        ):
            return ResponseOverride()
        self._unknown_keys(place, table, _RESPONSE_KEYS)
        return ResponseOverride(
            most_steps=self._most_steps(place, part, table),
            half_hours=self._optional(place, table, "half_hours", (0.1, 10_000.0)),
            maintenance_hours_per_week=self._optional(
                place, table, "maintenance_hours_per_week", (0.01, 40.0)
            ),
        )

    def _optional(
        self, place: str, table: dict[str, Any], key: str, within: tuple[float, float]
    ) -> float | None:
        return self._number(place, table, key, within) if key in table else None

    def _most_steps(self, place: str, part: str, table: dict[str, Any]) -> float | None:
        kind = PART_BY_ID[part].kind
        allowed = ("most_m", "most_yd") if kind == "carry" else ("most_percent",)
        given = [key for key in ("most_percent", "most_m", "most_yd") if key in table]
        for key in given:
            if key not in allowed or len(given) > 1:
                self._problem(f"{place}.{key}", table[key], f"{' or '.join(allowed)}, once, for this part")
                return None
        if not given:
            return None
        if kind == "carry":
            unit_m = METRES_PER[given[0].removeprefix("most_")]
            return (
                self._number(place, table, given[0], (0.0, LARGEST_CARRY_M / unit_m)) * unit_m / STEP_CARRY_M
            )
        most = self._number(place, table, "most_percent", (0.0, 100.0 * LARGEST_SHARE[kind]))
        return steps_of_share(kind, most / 100.0)


def _nearest(word: object, known: Collection[str]) -> str:
    near = difflib.get_close_matches(str(word), known, n=1)
    return f"Did you mean {near[0]!r}?" if near else ""
