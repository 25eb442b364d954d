"""Opening a roster: one file, write-ahead log, foreign keys, one writer at a time."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType

from rangework.errors import InputError, Problem
from rangework.store.faults import foreseen, not_a_roster, not_there, too_new
from rangework.store.schema import APPLICATION_ID, MIGRATIONS, NEWEST

#: How long a writer waits for another one.
PATIENCE_S = 10.0


class Roster:
    """An open roster. Inside ``with``, failures of the file become InputErrors that say what to do.

    ``connection`` is for the modules of ``rangework.store`` alone.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.connection = connection

    def __enter__(self) -> Roster:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        with suppress(sqlite3.Error):
            self.connection.close()
        if isinstance(error, sqlite3.Error) and (told := foreseen(error, self.path)):
            raise told from error

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction that alone may write: all of it is kept, or nothing."""
        with _transaction(self.connection, "BEGIN IMMEDIATE"):
            yield self.connection

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One moment of the roster, whatever others write meanwhile."""
        with _transaction(self.connection, "BEGIN"):
            yield self.connection


@contextmanager
def _transaction(connection: sqlite3.Connection, begin: str) -> Iterator[None]:
    if connection.in_transaction:
        yield
        return
    connection.execute(begin)
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        raise


def open_roster(path: Path, *, make: bool = False, patience_s: float = PATIENCE_S) -> Roster:
    """The roster at ``path``, brought to the newest schema; made where ``make`` and none is there.

    Raises InputError where there is none, and where it cannot be used: another program's, damaged, of a newer
    version, or locked for longer than ``patience_s``.
    """
    if path.is_dir():
        raise InputError(Problem(str(path), "", "", "a roster file, and this is a folder"))
    if not path.exists() and not (make and path.parent.is_dir()):
        raise not_there(path)
    roster = Roster(path, _connected(path, "rwc" if make else "rw", patience_s))
    try:
        _prepare(roster)
    except sqlite3.Error as error:
        roster.connection.close()
        raise foreseen(error, path) or error from error
    except BaseException:
        roster.connection.close()
        raise
    return roster


def _connected(path: Path, mode: str, patience_s: float) -> sqlite3.Connection:
    # a write-protected place cannot hold the files beside a roster: then it is read as it stands
    try:
        return sqlite3.connect(
            f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=patience_s, isolation_level=None
        )
    except sqlite3.Error as error:
        raise foreseen(error, path) or error from error


def _prepare(roster: Roster) -> None:
    try:
        _check(roster)
    except sqlite3.OperationalError as error:
        if getattr(error, "sqlite_errorname", "") not in ("SQLITE_CANTOPEN", "SQLITE_READONLY_CANTINIT"):
            raise
        _read_as_it_stands(roster)
        _check(roster)
    connection = roster.connection
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("PRAGMA temp_store = MEMORY")
    connection.execute("PRAGMA synchronous = FULL")
    if _schema(connection) < NEWEST:
        if not _tables(connection):
            connection.execute("PRAGMA journal_mode = WAL")
        _migrate(roster)


def _read_as_it_stands(roster: Roster) -> None:
    path, connection = roster.path, roster.connection
    waiting = path.with_name(f"{path.name}-wal")
    if waiting.exists() and waiting.stat().st_size:
        return
    connection.close()
    roster.connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None
    )


def _check(roster: Roster) -> None:
    """Whether it is a roster that this version knows."""
    connection = roster.connection
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    if application != APPLICATION_ID and (application or _tables(connection)):
        raise not_a_roster(roster.path)
    if (schema := _schema(connection)) > NEWEST:
        raise too_new(roster.path, schema, NEWEST)


def _schema(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _tables(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])


def _migrate(roster: Roster) -> None:
    """Bring an older roster to the newest schema, wholly or not at all."""
    with roster.writing() as connection:
        for statements in MIGRATIONS[_schema(connection) :]:
            for statement in statements:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {NEWEST}")
