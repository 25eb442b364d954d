"""Which of two drills a player was assigned by lot, kept apart from what is measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class Assignment:
    """A player's part in a trial of two drills: from the day ``started`` (ISO 8601) for so many weeks."""

    player: int
    started: str
    weeks: float
    first_drill: str
    second_drill: str
    assigned: str
    hours_a_week: float
    seed: int


def keep_assignments(roster: Roster, assignments: Sequence[Assignment]) -> None:
    """Keep a trial's assignments, all or none; one of the same day is replaced."""
    with roster.writing() as connection:
        connection.executemany(
            "INSERT OR REPLACE INTO trial (player_id, started, weeks, first_drill, second_drill, assigned, "
            "hours_a_week, seed) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            [
                (
                    a.player,
                    a.started,
                    a.weeks,
                    a.first_drill,
                    a.second_drill,
                    a.assigned,
                    a.hours_a_week,
                    a.seed,
                )
                for a in assignments
            ],
        )


def assignments(roster: Roster) -> list[Assignment]:
    """Every assignment, by day and player."""
    with roster.reading() as connection:
        rows = connection.execute(
            "SELECT player_id, started, weeks, first_drill, second_drill, assigned, hours_a_week, seed FROM trial "
            "ORDER BY started, player_id"
        ).fetchall()
    return [Assignment(*row) for row in rows]
