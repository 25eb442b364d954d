"""Balls come back as they went in; a file comes in once, wholly or not at all; and a player can be forgotten."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from store_rows import ROWS, write_rows

from rangework.errors import InputError
from rangework.records import ShotRecords, merge_records, read_records
from rangework.records.profile import PlayerProfile
from rangework.records.shots import KINDS
from rangework.store import (
    Practice,
    Roster,
    add_player,
    find_player,
    forget_player,
    import_records,
    imported_files,
    log_practice,
    open_roster,
    player_records,
    practised,
)
from rangework.store.forgetting import sweep
from rangework.store.players import Player
from rangework.store.record_files import held, lines


def same(one: ShotRecords, other: ShotRecords) -> None:
    for kind in KINDS:
        pd.testing.assert_frame_equal(one.frame(kind), other.frame(kind), check_exact=True)


def test_every_ball_comes_back(roster: Roster, player: Player, records: ShotRecords) -> None:
    done = import_records(roster, player.id, "rows.csv", "1", records)
    assert (done.balls_read, done.balls_new) == (len(ROWS), len(ROWS))
    same(player_records(roster, player.id), records)


def test_the_same_file_twice_changes_nothing(roster: Roster, player: Player, records: ShotRecords) -> None:
    import_records(roster, player.id, "rows.csv", "1", records)
    before = list(roster.connection.iterdump())
    assert import_records(roster, player.id, "rows.csv", "1", records).known
    assert import_records(roster, player.id, "renamed.csv", "2", records).balls_new == 0
    assert list(roster.connection.iterdump()) == before


def test_files_one_by_one_are_the_files_together(roster: Roster, player: Player, tmp_path: Path) -> None:
    """A file that grew, one that overlaps, and equal balls of one file."""
    files = [
        write_rows(tmp_path / "a.csv", ROWS[:4]),
        write_rows(tmp_path / "b.csv", [*ROWS[:2], ROWS[1], *ROWS[3:]]),
        write_rows(tmp_path / "c.csv", ROWS[1:]),
    ]
    for number, file in enumerate(files):
        import_records(roster, player.id, file.name, str(number), read_records([file]))
    together = merge_records([read_records([file]) for file in files])
    same(player_records(roster, player.id), together)
    assert [file.balls_new for file in imported_files(roster, player.id)] == [4, 4]


def test_what_is_held_and_listed(roster: Roster, player: Player, records: ShotRecords) -> None:
    import_records(roster, player.id, "rows.csv", "1", records)
    other = add_player(roster, PlayerProfile(name="Ada"))
    found = held(roster, player.id)
    assert (found.aimed, found.putts, found.strokes, found.sessions) == (3, 2, 2, 4)
    assert (found.first_day, found.last_day) == ("2026-05-04", "2026-05-06")
    assert held(roster, other.id).balls == 0
    assert [(line.name, line.balls, line.last_ball) for line in lines(roster)] == [
        ("Ada", 0, None),
        ("Wren Aldersey", len(ROWS), "2026-05-06"),
    ]


def test_practice_is_logged_once(roster: Roster, player: Player) -> None:
    hour = Practice("2026-06-01", "round_the_hole", 0.75, "windy")
    assert log_practice(roster, player.id, hour)
    assert not log_practice(roster, player.id, hour)
    assert practised(roster, player.id) == [hour]


SECRETS = ("Quillfeather", "secretsession", "oddclub", "privatenote", "hiddenfile")


@pytest.mark.parametrize("with_reader", [False, True])
def test_a_forgotten_player_leaves_no_trace(path: Path, tmp_path: Path, *, with_reader: bool) -> None:
    rows = [row.replace("first", SECRETS[1]).replace("driver", SECRETS[2]) for row in ROWS[:5]] * 200
    secret = read_records([write_rows(tmp_path / f"{SECRETS[4]}.csv", rows[:600])])
    with open_roster(path, make=True) as roster:
        kept = add_player(roster, PlayerProfile(name="Ada"))
        child = add_player(roster, PlayerProfile(name=SECRETS[0], age=11, clubs={SECRETS[2]: 100.0}))
        import_records(roster, child.id, f"{SECRETS[4]}.csv", "1", secret)
        log_practice(roster, child.id, Practice("2026-06-01", "d", 1.0, SECRETS[3]))
        log_practice(roster, kept.id, Practice("2026-06-01", "d", 1.0, "kept note"))
        # what the search must be able to see
        assert traces(path) == set(SECRETS)
        if with_reader:
            roster.connection.execute("PRAGMA busy_timeout = 50")
            with open_roster(path) as reader, reader.reading():
                find_player(reader, "Ada")
                with pytest.raises(InputError, match="traces are left"):
                    forget_player(roster, SECRETS[0].upper())
            sweep(roster)
        else:
            assert forget_player(roster, SECRETS[0].upper()) == SECRETS[0]
        assert traces(path) == set()
        assert practised(roster, kept.id)[0].note == "kept note"
        for table in ("aimed", "putts", "log", "session", "record_file", "player_club"):
            assert not roster.connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    assert traces(path) == set()


def traces(path: Path) -> set[str]:
    beside = [file.read_bytes() for file in path.parent.iterdir() if file.name.startswith(path.name)]
    return {
        secret for secret in SECRETS for content in beside if secret.casefold().encode() in content.lower()
    }
