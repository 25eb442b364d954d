"""The roster's file: made, migrated, shared, and refused where it cannot be used."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from rangework.errors import InputError
from rangework.records.profile import PlayerProfile
from rangework.store import Roster, add_player, back_up, find_player, kept_players, open_roster
from rangework.store.copying import damage
from rangework.store.players import Player
from rangework.store.schema import APPLICATION_ID, MIGRATIONS, NEWEST


def told(path: Path, **options: float) -> str:
    with pytest.raises(InputError) as caught:
        open_roster(path, **options)  # type: ignore[arg-type]
    return str(caught.value)


def test_a_new_roster_has_a_write_ahead_log_and_foreign_keys(roster: Roster) -> None:
    asked = {
        name: roster.connection.execute(f"PRAGMA {name}").fetchone()[0]
        for name in ("journal_mode", "foreign_keys", "secure_delete", "user_version", "application_id")
    }
    assert asked == {
        "journal_mode": "wal",
        "foreign_keys": 1,
        "secure_delete": 1,
        "user_version": NEWEST,
        "application_id": APPLICATION_ID,
    }


@pytest.mark.parametrize("schema", range(1, NEWEST))
def test_an_older_roster_is_migrated_and_keeps_its_players(path: Path, schema: int) -> None:
    old = sqlite3.connect(path)
    for statements in MIGRATIONS[:schema]:
        for statement in statements:
            old.execute(statement)
    old.execute(
        "INSERT INTO player (name, name_key, hand, reference, added_at) VALUES ('W', 'w', 'right', 'men', '2026')"
    )
    old.execute(f"PRAGMA user_version = {schema}")
    old.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    old.commit()
    old.close()
    with open_roster(path) as roster:
        assert [player.name for player in kept_players(roster)] == ["W"]
        tables = {row[0] for row in roster.connection.execute("SELECT name FROM sqlite_master")}
        assert {"trial", "plan", "assessment"} <= tables


def test_a_migration_that_fails_changes_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with open_roster(path, make=True):
        pass
    broken = (*MIGRATIONS, ("CREATE TABLE added (id INTEGER)", "CREATE TABLE player (id INTEGER)"))
    with monkeypatch.context() as patched:
        patched.setattr("rangework.store.roster_file.MIGRATIONS", broken)
        patched.setattr("rangework.store.roster_file.NEWEST", NEWEST + 1)
        with pytest.raises(sqlite3.OperationalError):
            open_roster(path)
    with open_roster(path) as roster:
        assert not roster.connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'added'").fetchone()


def test_a_newer_roster_is_left_alone(path: Path) -> None:
    with open_roster(path, make=True) as roster:
        roster.connection.execute(f"PRAGMA user_version = {NEWEST + 1}")
    before = path.read_bytes()
    assert f"of schema {NEWEST + 1}" in told(path)
    assert path.read_bytes() == before


def test_another_programs_database_is_left_alone(path: Path) -> None:
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE notes (text TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    assert "another program's database" in told(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "content", [b"date,place\n" * 50, b"\0" * 4096, b"SQLite format 3\0" + b"\xff" * 9000]
)
def test_a_file_that_is_no_roster(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    assert "roster" in told(path)
    assert path.read_bytes() == content


def test_no_file_and_a_folder(path: Path, tmp_path: Path) -> None:
    assert "there is no file of this name" in told(path)
    assert "this is a folder" in told(tmp_path)
    assert not path.exists()


def test_a_damaged_roster_is_told(path: Path, roster: Roster, player: Player) -> None:
    for number in range(200):
        add_player(roster, PlayerProfile(name=f"player {number}"))
    roster.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    roster.connection.close()
    whole = bytearray(path.read_bytes())
    assert not damage(path)
    whole[4096:] = b"\x5a" * (len(whole) - 4096)
    path.write_bytes(whole)
    assert damage(path)
    with pytest.raises(InputError, match="roster"), open_roster(path) as opened:
        kept_players(opened)


def test_one_writer_at_a_time(path: Path, roster: Roster, player: Player) -> None:
    with roster.writing():
        with (
            pytest.raises(InputError, match="Another rangework is writing"),
            open_roster(path, patience_s=0.05) as other,
        ):
            add_player(other, PlayerProfile(name="Late"))
        with open_roster(path, patience_s=0.05) as reader:
            assert [each.name for each in kept_players(reader)] == [player.name]
    with open_roster(path) as other:
        add_player(other, PlayerProfile(name="Late"))
        assert len(kept_players(roster)) == 2


def test_a_failed_transaction_leaves_nothing(roster: Roster, player: Player) -> None:
    def failing() -> None:
        with roster.writing():
            add_player(roster, PlayerProfile(name="Nobody"))
            raise RuntimeError

    with pytest.raises(RuntimeError):
        failing()
    assert len(kept_players(roster)) == 1


def test_a_backup_during_a_write_is_one_moment(roster: Roster, player: Player, tmp_path: Path) -> None:
    with roster.writing():
        add_player(roster, PlayerProfile(name="Half-way"))
        with open_roster(roster.path) as other:
            back_up(other, tmp_path / "copy.roster")
    assert not damage(tmp_path / "copy.roster")
    with open_roster(tmp_path / "copy.roster") as copy:
        assert [each.name for each in kept_players(copy)] == [player.name]
    with pytest.raises(InputError, match="nothing is overwritten"):
        back_up(roster, tmp_path / "copy.roster")
    assert sorted(file.name for file in tmp_path.iterdir() if "part" in file.name) == []


def test_names_are_found_however_they_are_written(roster: Roster, player: Player) -> None:
    assert find_player(roster, "  wren   ALDERSEY ").id == player.id
    with pytest.raises(InputError, match="Did you mean 'Wren Aldersey'"):
        find_player(roster, "Wren Alderson")
    for name in ("WREN aldersey", "", "  ", "x" * 101):
        with pytest.raises(InputError):
            add_player(roster, PlayerProfile(name=name))


def test_the_years_go_by(roster: Roster) -> None:
    junior = add_player(roster, PlayerProfile(name="Junior", age=12))
    roster.connection.execute(
        "UPDATE player SET age_on = date('now', '-13 months') WHERE id = ?", (junior.id,)
    )
    assert junior.profile.age == 12
    assert find_player(roster, "Junior").profile.age == 13
