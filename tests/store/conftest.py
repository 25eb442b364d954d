"""A roster with a player, and files to import."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from store_rows import write_rows

from rangework.records import ShotRecords, read_records
from rangework.records.profile import PlayerProfile
from rangework.store import Player, Roster, add_player, open_roster


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "club.roster"


@pytest.fixture
def roster(path: Path) -> Iterator[Roster]:
    with open_roster(path, make=True) as made:
        yield made


@pytest.fixture
def player(roster: Roster) -> Player:
    return add_player(roster, PlayerProfile(name="Wren Aldersey", handicap=14.2))


@pytest.fixture(scope="session")
def records(tmp_path_factory: pytest.TempPathFactory) -> ShotRecords:
    return read_records([write_rows(tmp_path_factory.mktemp("rows") / "rows.csv")])
