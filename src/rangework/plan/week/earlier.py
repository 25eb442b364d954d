"""A plan that was made before, read back from the results file of `rangework week`."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from rangework.errors import InputError, Problem
from rangework.plan.drills import PLACES, Drill
from rangework.plan.week.availability import Span
from rangework.plan.week.planning import SoFar
from rangework.plan.week.week_plan import PlannedBlock, Session


@dataclass(frozen=True, slots=True)
class Issued:
    """A calendar entry as it was last written: ``fingerprint`` tells whether it has changed since."""

    uid: str
    sequence: int
    fingerprint: str
    start: str
    end: str
    summary: str


@dataclass(frozen=True, slots=True)
class EarlierPlan:
    """The sessions of a plan and the calendar entries that stand for it."""

    sessions: tuple[Session, ...]
    missed: frozenset[date]
    issued: tuple[Issued, ...]

    def so_far(self, today: date, missed: Collection[date]) -> SoFar:
        """What of it was held before ``today``: everything but the days missed."""
        all_missed = frozenset(day for day in (*self.missed, *missed) if day < today)
        held = (each for each in self.sessions if each.date < today and each.date not in all_missed)
        return SoFar(today, tuple(held), all_missed)


def read_earlier(path: Path, drills: Collection[Drill]) -> EarlierPlan:
    """The plan in a results file. Raises InputError with every problem of the file."""
    try:
        told = json.loads(path.read_text("utf-8-sig"))
    except OSError as error:
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({error.strerror})")) from error
    except (ValueError, RecursionError) as error:
        raise InputError(Problem(str(path), "", "", f"a results file of rangework week ({error})")) from error
    return _Reading(str(path), drills).plan(told)


class _Reading:
    def __init__(self, source: str, drills: Collection[Drill]) -> None:
        self._source = source
        self._drills = {drill.id for drill in drills}
        self._problems: list[Problem] = []

    def plan(self, told: Any) -> EarlierPlan:
        if (
            not isinstance(told, dict)
            or told.get("command") != "week"
            or not isinstance(told.get("days"), list)
        ):
            raise InputError(Problem(self._source, "", "", "a results file that rangework week wrote"))
        sessions, missed = [], set()
        for number, day in enumerate(told["days"]):
            found = self._tried(f"days[{number}]", self._day, day)
            if found:
                sessions += found[0]
                missed |= found[1]
        issued = [
            self._tried(f"calendar[{n}]", _issued, each) for n, each in enumerate(told.get("calendar") or [])
        ]
        if self._problems:
            raise InputError(self._problems)
        return EarlierPlan(tuple(sessions), frozenset(missed), tuple(each for each in issued if each))

    def _tried(self, place: str, reader: Any, told: Any) -> Any:
        try:
            return reader(told)
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            self._problems.append(Problem(self._source, place, "", f"what rangework week wrote ({error!r})"))
            return None

    def _day(self, told: Mapping[str, Any]) -> tuple[list[Session], set[date]]:
        day = date.fromisoformat(told["date"])
        return [self._session(day, each) for each in told["sessions"]], {day} if told["missed"] else set()

    def _session(self, day: date, told: Mapping[str, Any]) -> Session:
        warm_up, span = _span(told["warm_up"]), _span(told)
        blocks = tuple(self._block(each) for each in told["blocks"])
        return Session(day, int(told["number"]), span, warm_up, blocks, done=True)

    def _block(self, told: Mapping[str, Any]) -> PlannedBlock:
        if told["drill"] not in self._drills:
            raise ValueError(f"unknown drill {told['drill']!r}: give the same --drills")
        place = PLACES[PLACES.index(told["place"])]
        return PlannedBlock(
            told["drill"], str(told["name"]), place, _span(told), int(told["balls"]), int(told["full_swings"]),
            str(told["purpose"]), str(told["order"]), str(told.get("note", "")),
        )  # fmt: skip


def _issued(told: Mapping[str, Any]) -> Issued:
    texts = (str(told[key]) for key in ("fingerprint", "start", "end", "summary"))
    return Issued(str(told["uid"]), int(told["sequence"]), *texts)


def _span(told: Mapping[str, Any]) -> Span:
    hours, minutes = map(int, told["start"].split(":"))
    length = int(told["minutes"])
    if not (0 <= hours < 24 and 0 <= minutes < 60 and 0 < length <= 24 * 60):
        raise ValueError(f"{told['start']}, {length} min")
    return Span(60 * hours + minutes, 60 * hours + minutes + length)
