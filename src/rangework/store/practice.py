"""Hours really practised."""

from __future__ import annotations

from dataclasses import dataclass

from rangework.store.players import now
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class Practice:
    """Hours of one drill on one day (ISO 8601)."""

    day: str
    drill: str
    hours: float
    note: str = ""


def log_practice(roster: Roster, player: int, practice: Practice) -> bool:
    """Keep hours practised; False, and nothing kept, where the very same line is there already."""
    row = (player, practice.day, practice.drill, practice.hours, practice.note)
    with roster.writing() as connection:
        there = connection.execute(
            "SELECT 1 FROM practice WHERE player_id = ? AND day = ? AND drill = ? AND hours = ? AND note = ?",
            row,
        ).fetchone()
        if not there:
            connection.execute(
                "INSERT INTO practice (player_id, day, drill, hours, note, logged_at) VALUES (?, ?, ?, ?, ?, ?)",
                (*row, now()),
            )
    return there is None


def practised(roster: Roster, player: int) -> list[Practice]:
    """All hours practised, by day."""
    with roster.reading() as connection:
        rows = connection.execute(
            "SELECT day, drill, hours, note FROM practice WHERE player_id = ? ORDER BY day, id", (player,)
        ).fetchall()
    return [Practice(*row) for row in rows]
