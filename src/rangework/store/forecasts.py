"""Forecasts kept before a round or a retest, as they were made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, fields

from rangework.assessment.forecasts import Forecast
from rangework.store.roster_file import Roster

_COLUMNS = ", ".join(field.name for field in fields(Forecast))


def keep_forecasts(roster: Roster, player: int, forecasts: Sequence[Forecast]) -> int:
    """Keep forecasts, all or none; how many were new.

    One made on the same day for the same number is there already and stays: a forecast that could be made over until
    it is right would be worth nothing.
    """
    with roster.writing() as connection:
        before = connection.total_changes
        connection.executemany(
            f"INSERT OR IGNORE INTO forecast (player_id, {_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [(player, *astuple(each)) for each in forecasts],
        )
        return connection.total_changes - before


def forecasts_of(roster: Roster, player: int) -> list[Forecast]:
    """All forecasts kept of a player, in the order they were made in."""
    with roster.reading() as connection:
        rows = connection.execute(
            f"SELECT {_COLUMNS} FROM forecast WHERE player_id = ? ORDER BY id", (player,)
        ).fetchall()
    return [Forecast(*row) for row in rows]
