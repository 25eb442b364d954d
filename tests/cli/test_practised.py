"""Hours really practised: of the file that is named, else of the roster where a player of it stands in."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rangework.cli.kept import KeptPlayer
from rangework.cli.practised import practised_by
from rangework.records.profile import PlayerProfile
from rangework.skill.parts import PART_IDS
from rangework.store import Practice, add_player, log_practice, open_roster

DAY = date(2026, 6, 25)


@pytest.fixture
def kept(tmp_path: Path) -> KeptPlayer:
    path = tmp_path / "club.roster"
    with open_roster(path, make=True) as roster:
        wren = add_player(roster, PlayerProfile(name="Wren")).id
        log_practice(roster, wren, Practice(DAY.isoformat(), "pace_to_five_lengths", 2.0))
        add_player(roster, PlayerProfile(name="Asta"))
    return KeptPlayer(path, "wren")


def test_the_roster_stands_in_unless_a_file_is_named(kept: KeptPlayer, tmp_path: Path) -> None:
    file = tmp_path / "practice.csv"
    file.write_text(f"date,drill,hours\n{DAY},putt.pace,0.5\n", encoding="utf-8")
    pace = PART_IDS.index("putt.pace")
    of_roster = practised_by(kept, None, None)
    assert of_roster.log is not None
    assert of_roster.log.between(DAY, DAY)[pace] > 0.5
    assert of_roster.group is None
    for records in (kept, [tmp_path / "shots.csv"]):
        of_file = practised_by(records, file, None).log
        assert of_file is not None
        assert of_file.between(DAY, DAY)[pace] == 0.5


def test_nothing_logged_is_nothing_known(kept: KeptPlayer, tmp_path: Path) -> None:
    assert practised_by([tmp_path / "shots.csv"], None, None).log is None
    assert practised_by(KeptPlayer(kept.roster, "Asta"), None, None).log is None
