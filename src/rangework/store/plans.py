"""Plans made, as they were made."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rangework.plan.practice_plan import DrillHours
from rangework.store.players import now
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan of the past: when, for which course, what it promised (strokes a round), its hours and numbers.

    ``results`` are those of ``rangework plan --json``, ``page`` is what that command printed.
    """

    made_at: str
    course: str
    seed: int
    strokes_saved: float
    settings: Mapping[str, Any]
    results: Mapping[str, Any]
    page: str
    hours: tuple[DrillHours, ...]


def keep_plan(
    roster: Roster,
    player: int,
    *,
    course: str,
    seed: int,
    strokes_saved: float,
    settings: Mapping[str, Any],
    results: Mapping[str, Any],
    page: str,
    hours: Sequence[DrillHours],
) -> None:
    """Keep a plan, wholly or not at all. ``settings`` and ``results`` hold plain JSON values."""
    texts = [json.dumps(each, ensure_ascii=False, sort_keys=True) for each in (settings, results)]
    with roster.writing() as connection:
        made = connection.execute(
            "INSERT INTO plan (player_id, made_at, course, seed, strokes_saved, settings, results, page) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (player, now(), course, seed, strokes_saved, *texts, page),
        )
        connection.executemany(
            "INSERT INTO plan_hours VALUES (?, ?, ?, ?, ?, ?, ?)",
            [(made.lastrowid, h.drill, h.name, h.place, h.minutes, h.balls, h.full_swings) for h in hours],
        )


def plans_of(roster: Roster, player: int, *, latest: int | None = None) -> list[KeptPlan]:
    """A player's plans, the latest first; at most ``latest`` of them."""
    with roster.reading() as connection:
        rows = connection.execute(
            "SELECT id, made_at, course, seed, strokes_saved, settings, results, page FROM plan WHERE player_id = ? "
            "ORDER BY made_at DESC, id DESC LIMIT ?",
            (player, -1 if latest is None else latest),
        ).fetchall()
        return [_plan(row, _hours(connection, row[0])) for row in rows]


def _plan(row: Sequence[Any], hours: tuple[DrillHours, ...]) -> KeptPlan:
    _, made_at, course, seed, saved, settings, results, page = row
    return KeptPlan(made_at, course, seed, saved, json.loads(settings), json.loads(results), page, hours)


def _hours(connection: sqlite3.Connection, plan: int) -> tuple[DrillHours, ...]:
    rows = connection.execute(
        "SELECT drill, name, place, minutes, balls, full_swings FROM plan_hours WHERE plan_id = ?", (plan,)
    )
    return tuple(DrillHours(*row) for row in rows)
