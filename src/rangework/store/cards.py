"""Filled cards of practice tests, as the files they came from."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from rangework.store.players import now
from rangework.store.roster_file import Roster


@dataclass(frozen=True, slots=True)
class KeptCard:
    """A filled card: its number, the day of its last ball (ISO 8601), the test's name, balls hit, and its file."""

    id: int
    day: str
    name: str
    balls: int
    file_name: str
    content: bytes


_COLUMNS = "id, day, name, balls, file_name, content"


def cards_of(roster: Roster, player: int) -> list[KeptCard]:
    """A player's cards by day."""
    with roster.reading() as connection:
        rows = connection.execute(
            f"SELECT {_COLUMNS} FROM assessment WHERE player_id = ? ORDER BY day, id", (player,)
        )
        return [KeptCard(*row) for row in rows]


def keep_card(
    roster: Roster,
    player: int,
    *,
    day: str,
    name: str,
    balls: int,
    file_name: str,
    content: bytes,
    instead_of: int | None = None,
) -> bool:
    """Keep a card; False, and nothing kept, where this very file is there. ``instead_of``: the card it goes on with."""
    digest = hashlib.sha256(content).hexdigest()
    with roster.writing() as connection:
        there = connection.execute(
            "SELECT 1 FROM assessment WHERE player_id = ? AND digest = ?", (player, digest)
        ).fetchone()
        if there:
            return False
        if instead_of is not None:
            connection.execute("DELETE FROM assessment WHERE id = ?", (instead_of,))
        connection.execute(
            "INSERT INTO assessment (player_id, day, name, balls, file_name, content, digest, kept_at) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (player, day, name, balls, file_name, content, digest, now()),
        )
    return True
