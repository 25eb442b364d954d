"""Balls as rows of the roster's tables, and back as the very same frames."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from rangework.records.columns import Kind
from rangework.records.shots import FRAME_COLUMNS, KINDS, ShotRecords, from_frames, make_frame
from rangework.store.roster_file import Roster

#: Columns of a frame that the tables hold elsewhere, or under another name.
_ELSEWHERE = ("date", "session", "source", "row")


def _own_columns(kind: Kind) -> list[str]:
    return [name for name in FRAME_COLUMNS[kind] if name not in _ELSEWHERE]


def write_balls(connection: sqlite3.Connection, file: int, records: ShotRecords) -> None:
    """Write the balls of one file, sessions first."""
    numbers = _write_sessions(connection, file, records)
    for kind, sessions in zip(KINDS, numbers, strict=True):
        frame = records.frame(kind)
        if not len(frame):
            continue
        moments = frame["date"].to_numpy().astype("datetime64[s]").astype(np.int64).tolist()
        columns = [[file] * len(frame), sessions, range(len(frame)), frame["row"].tolist(), moments]
        columns += [_values(frame[name]) for name in _own_columns(kind)]
        marks = ", ".join("?" * len(columns))
        connection.executemany(f"INSERT INTO {kind} VALUES ({marks})", zip(*columns, strict=True))


def _write_sessions(connection: sqlite3.Connection, file: int, records: ShotRecords) -> list[list[int]]:
    """The number of the session of every ball, by kind."""
    keys = [
        zip(frame["date"].dt.floor("D").astype("int64").tolist(), frame["session"].tolist(), strict=True)
        for frame in map(records.frame, KINDS)
    ]
    numbers: dict[tuple[int, str], int] = {}
    found = [[numbers.setdefault(key, len(numbers)) for key in kind] for kind in keys]
    connection.executemany(
        "INSERT INTO session VALUES (?, ?, ?, ?)",
        [(file, number, day, name) for (day, name), number in numbers.items()],
    )
    return found


def _values(column: pd.Series[Any]) -> list[Any]:
    """Python values; nan as None, and no negative zero, which SQLite does not keep."""
    if column.dtype == np.float64:
        array = column.to_numpy() + 0.0
        values = array.tolist()
        if np.isnan(array).any():
            return [None if value != value else value for value in values]
        return list(values)
    if column.dtype == bool:
        return list(column.astype(np.int8).tolist())
    return list(column.tolist())


def player_records(roster: Roster, player: int) -> ShotRecords:
    """Every ball of a player, in the order in which files were imported; nothing more to merge."""
    with roster.reading() as connection:
        files = connection.execute(
            "SELECT id, name FROM record_file WHERE player_id = ? ORDER BY id", (player,)
        ).fetchall()
        return records_of_files(connection, files)


def tested_balls(roster: Roster, player: int) -> ShotRecords:
    """The aimed balls that a player hit for a test."""
    with roster.reading() as connection:
        files = connection.execute(
            "SELECT id, name FROM record_file WHERE player_id = ? ORDER BY id", (player,)
        ).fetchall()
        return from_frames({"aimed": _frame(connection, "aimed", files, "ball.purpose = 'test'")})


def players_tested_again(roster: Roster, most: int) -> list[int]:
    """At most so many players with logged hours and tests on two days or more: those with most hours."""
    with roster.reading() as connection:
        hours = connection.execute(
            "SELECT player_id FROM practice GROUP BY player_id ORDER BY sum(hours) DESC, player_id"
        ).fetchall()
        found: list[int] = []
        for (player,) in hours:
            (days,) = connection.execute(
                "SELECT count(DISTINCT moment / 86400) FROM aimed WHERE purpose = 'test' AND file_id IN "
                "(SELECT id FROM record_file WHERE player_id = ?)",
                (player,),
            ).fetchone()
            found += [player] if days > 1 else []
            if len(found) == most:
                break
    return found


def records_of_files(connection: sqlite3.Connection, files: Sequence[tuple[int, str]]) -> ShotRecords:
    """The balls of these files, given by number and name."""
    return from_frames({kind: _frame(connection, kind, files) for kind in KINDS})


def _frame(
    connection: sqlite3.Connection, kind: Kind, files: Sequence[tuple[int, str]], where: str = "TRUE"
) -> pd.DataFrame:
    names = _own_columns(kind)
    own = ", ".join(f"ball.{name}" for name in names)
    query = (
        f"SELECT ball.position, ball.line, ball.moment, session.name, {own} FROM {kind} AS ball JOIN session "
        "ON session.file_id = ball.file_id AND session.number = ball.session WHERE ball.file_id = ? "
        f"AND {where}"
    )
    parts = []
    for file, source in files:
        rows = connection.execute(query, (file,)).fetchall()
        rows.sort(key=lambda row: row[0])
        if rows:
            parts.append(_part(kind, names, list(zip(*rows, strict=True)), source))
    if not parts:
        return make_frame(kind, {})
    return pd.concat(parts, ignore_index=True) if len(parts) > 1 else parts[0]


def _part(kind: Kind, names: Sequence[str], columns: Sequence[Sequence[Any]], source: str) -> pd.DataFrame:
    _, lines, moments, sessions, *own = columns
    values: dict[str, Any] = {
        "date": np.array(moments, np.int64).astype("datetime64[s]"),
        "session": list(sessions),
        "source": [source] * len(lines),
        "row": np.array(lines, np.int64),
    }
    for name, column in zip(names, own, strict=True):
        dtype = FRAME_COLUMNS[kind][name]
        values[name] = list(column) if dtype == "str" else np.array(column, dtype)
    return make_frame(kind, values)
