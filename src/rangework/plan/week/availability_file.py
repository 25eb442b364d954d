"""Reading an availability file: all of its faults at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any, cast
from zoneinfo import ZoneInfo

from rangework.errors import InputError
from rangework.plan.drills import PLACES, Place
from rangework.plan.week.availability import (
    OUTDOORS,
    WEEKDAYS,
    Availability,
    DayAvailability,
    Span,
    Window,
    clocks_change_in,
)
from rangework.records.header import nearest
from rangework.records.toml_tables import TomlTables

_TOP_KEYS = (
    "event",
    "time_zone",
    "usual_hours_a_week",
    "usual_days_a_week",
    "event_green_speed_ft",
    "practice_green_speed_ft",
    "daylight",
    "lit",
    "usual",
    "day",
)
_DAY_KEYS = ("travel", "duties", "practice_round", "daylight", "heat_wbgt_c", "rest", "note")
_SPAN = re.compile(r"\s*(\d{1,2}):(\d\d)\s*-\s*(\d{1,2}):(\d\d)\s*")
_SPAN_EXPECTED = 'a time such as "17:30-19:00", from 00:00 to 24:00, its end after its start'
#: Stimpmeter readings of playable greens, generously.
_STIMP_FT = (4.0, 16.0)


def read_availability(path: Path) -> Availability:
    """The availability in a TOML file (docs/reference/availability.md).

    Raises InputError with every problem of the file.
    """
    tables = TomlTables(str(path), {})
    try:
        text = path.read_text("utf-8-sig")
    except OSError as error:
        tables.problem("", "", f"a file that can be read ({error.strerror})")
    except UnicodeDecodeError as error:
        tables.problem(f"byte {error.start}", "", "text in UTF-8")
    if tables.problems:
        raise InputError(tables.problems)
    return parse_availability(text, str(path))


def parse_availability(text: str, source: str) -> Availability:
    """``read_availability`` of a text; ``source`` names it in problems."""
    tables = TomlTables(source, {})
    try:
        tables.tables = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        tables.problem("", "", f"a TOML file ({error})")
        raise InputError(tables.problems) from error
    return _Reading(tables).availability()


class _Reading:
    """Takes an availability out of a parsed file; problems gather in the tables."""

    def __init__(self, tables: TomlTables) -> None:
        self._tables = tables
        self._problem = tables.problem

    def availability(self) -> Availability:
        top = self._tables.tables
        self._tables.refuse_unknown("", top, _TOP_KEYS)
        zone = self._zone(top)
        read = Availability(
            event=self._text("", top, "event"),
            time_zone=zone,
            usual_hours=self._number("", top, "usual_hours_a_week", (0.5, 80.0)),
            usual_days=self._whole_days(top),
            event_stimp_ft=self._number("", top, "event_green_speed_ft", _STIMP_FT),
            practice_stimp_ft=self._number("", top, "practice_green_speed_ft", _STIMP_FT),
            daylight=self._span("", top, "daylight"),
            lit=self._places("lit", top.get("lit", []), OUTDOORS),
            by_weekday=self._weekdays(),
            by_date=self._dates(zone),
        )
        if not self._tables.problems and not (read.by_weekday or read.by_date):
            self._problem("", "", "at least one table such as [usual.monday] or [day.2026-09-28]")
        if self._tables.problems:
            raise InputError(self._tables.problems)
        return read

    def _zone(self, top: Mapping[str, Any]) -> str:
        name = top.get("time_zone", "")
        try:
            if isinstance(name, str) and name:
                return ZoneInfo(name).key
        except (ValueError, OSError, KeyError):  # one that is not found is a KeyError
            pass
        self._problem("time_zone", name, 'the name of a time zone such as "Europe/London"')
        return "UTC"

    def _weekdays(self) -> dict[int, DayAvailability]:
        found = {}
        for name, table in self._subtables("usual"):
            if name in WEEKDAYS:
                found[WEEKDAYS.index(name)] = self._day(f"usual.{name}", table)
            else:
                near = nearest(name, WEEKDAYS)
                self._problem("[usual]", name, "a weekday", f"Did you mean {near}?" if near else "")
        return found

    def _dates(self, zone: str) -> dict[date, DayAvailability]:
        found = {}
        for name, table in self._subtables("day"):
            try:
                day = date.fromisoformat(name)
            except ValueError:
                self._problem("[day]", name, "a date such as 2026-09-28")
                continue
            found[day] = self._day(f"day.{name}", table)
            for window in found[day].windows or ():
                if clocks_change_in(day, window.span, zone):
                    expected = "a window in which the clocks do not change"
                    self._problem(f"[day.{name}]", str(window.span), expected)
        return found

    def _subtables(self, name: str) -> list[tuple[str, dict[str, Any]]]:
        tables = self._tables.table(name)
        for key, table in tables.items():
            if not isinstance(table, dict):
                self._problem(f"[{name}] {key}", table, f"a table, headed [{name}.{key}]")
        return [(key, table) for key, table in tables.items() if isinstance(table, dict)]

    def _day(self, place: str, table: dict[str, Any]) -> DayAvailability:
        rest = table.get("rest", False)
        if not isinstance(rest, bool):
            self._problem(f"[{place}] rest", str(rest), "true or false")
        return DayAvailability(
            windows=self._windows(place, table),
            travel=self._spans(place, table, "travel"),
            duties=self._spans(place, table, "duties"),
            practice_round=self._span(place, table, "practice_round"),
            daylight=self._span(place, table, "daylight"),
            heat_wbgt_c=self._number(place, table, "heat_wbgt_c", (-20.0, 50.0)),
            rest=rest is True,
            note=self._text(place, table, "note"),
        )

    def _windows(self, place: str, table: dict[str, Any]) -> tuple[Window, ...] | None:
        """The keys that are times; None where the table has none."""
        windows = []
        for key, value in table.items():
            if key in _DAY_KEYS:
                continue
            if key[:1].isdigit():
                span = self._as_span(f"[{place}]", key)
                places = self._places(f"[{place}] {key}", value, PLACES)
                windows += [Window(span, places)] if span else []
            else:
                self._tables.refuse_unknown(place, {key: value}, _DAY_KEYS)
        windows.sort(key=lambda window: window.span)
        for first, second in pairwise(windows):
            if first.span.meets(second.span):
                self._problem(f"[{place}]", f"{first.span}, {second.span}", "windows that do not overlap")
        return tuple(windows) or None

    def _places(self, place: str, value: Any, known: Collection[Place]) -> tuple[Place, ...]:
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            self._problem(place, value, 'a list of places, such as ["range", "putting_green"]')
            return ()
        for each in value:
            if each not in known:
                near = nearest(each, known)
                remedy = f"Did you mean {near}?" if near else ""
                self._problem(place, each, "one of " + ", ".join(known), remedy)
        return cast(tuple[Place, ...], tuple(dict.fromkeys(each for each in value if each in known)))

    def _spans(self, place: str, table: dict[str, Any], key: str) -> tuple[Span, ...] | None:
        if key not in table:
            return None
        value = table[key]
        if not isinstance(value, list):
            self._problem(f"[{place}] {key}", value, 'a list of times, such as ["09:00-12:30"]')
            return None
        spans = [self._as_span(f"[{place}] {key}", each) for each in value]
        return tuple(span for span in spans if span)

    def _span(self, place: str, table: dict[str, Any], key: str) -> Span | None:
        where = f"[{place}] {key}" if place else key
        return self._as_span(where, table[key]) if key in table else None

    def _as_span(self, place: str, value: Any) -> Span | None:
        found = _SPAN.fullmatch(value) if isinstance(value, str) else None
        if found:
            hours, minutes, to_hours, to_minutes = map(int, found.groups())
            start, end = 60 * hours + minutes, 60 * to_hours + to_minutes
            if start < end <= 24 * 60 and minutes < 60 and to_minutes < 60:
                return Span(start, end)
        self._problem(place, value, _SPAN_EXPECTED)
        return None

    def _number(
        self, place: str, table: Mapping[str, Any], key: str, within: tuple[float, float]
    ) -> float | None:
        value = table.get(key)
        if value is None:
            return None
        if (
            isinstance(value, (int, float))
            and not isinstance(value, bool)
            and within[0] <= value <= within[1]
        ):
            return float(value)
        where = f"[{place}] {key}" if place else key
        self._problem(where, str(value), f"a number from {within[0]:g} to {within[1]:g}")
        return None

    def _whole_days(self, top: Mapping[str, Any]) -> int | None:
        value = top.get("usual_days_a_week")
        if value is None or (isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 7):
            return value
        self._problem("usual_days_a_week", str(value), "whole days from 1 to 7")
        return None

    def _text(self, place: str, table: dict[str, Any], key: str) -> str:
        value = table.get(key, "")
        if isinstance(value, str):
            return value.strip()
        self._problem(f"[{place}] {key}" if place else key, value, 'a text in "quotes"')
        return ""
