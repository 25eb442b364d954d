"""The demo's records are what their script makes, and say what a coach would look for in them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.demo import making
from rangework.demo.scenario import demo_files, write_demo
from rangework.lie import Lie
from rangework.records import ShotRecords, read_records
from rangework.records.profile import read_profile

MAKE_ANEW = "run python -m rangework.demo.making, and look at what changed"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


@pytest.fixture(scope="module")
def records(demo: Path) -> ShotRecords:
    return read_records(sorted(demo.glob("*.csv")), mappings=[demo / "mapping-device.toml"])


def shipped(name: str) -> str:
    return next(file for file in demo_files() if file.name == name).read_text("utf-8")


@pytest.mark.parametrize("name", ["shots.csv", "putts.csv", "device.csv"])
def test_shipped_practice_is_what_the_script_makes(name: str) -> None:
    assert making.made_practice()[name] == shipped(name), MAKE_ANEW


@pytest.mark.slow
def test_the_shipped_log_is_what_the_script_makes() -> None:
    assert making.made_files()["rounds.csv"] == shipped("rounds.csv"), MAKE_ANEW


def test_every_file_of_the_demo_is_without_faults(demo: Path) -> None:
    result = CliRunner().invoke(rangework, ["check", *map(str, sorted(demo.iterdir()))])
    assert result.exit_code == 0, result.output
    assert "Look at" not in result.output


def test_the_demo_holds_every_kind_of_record(records: ShotRecords) -> None:
    held = records.summary()
    assert 500 <= held["aimed"] <= 600
    assert held["putts"] == 240
    assert held["rounds"] == 8
    assert 5 <= held["misread"] <= 30
    assert set(records.aimed["place"]) == {"range", "short_game_area"}
    assert set(records.aimed["lie"]) == {Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND}
    assert set(records.log["lie"]) >= {Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.GREEN}


def test_every_round_is_eighteen_holes_played_out(records: ShotRecords) -> None:
    rounds = records.log.groupby("round")
    assert (rounds["hole"].nunique() == 18).all()
    assert (records.log.groupby(["round", "hole"])["next_lie"].last() == Lie.HOLED).all()
    scores = rounds.size() + rounds["penalty"].sum()
    assert scores.between(80, 108).all()


def test_the_clubs_of_the_profile_and_of_all_records_have_one_name(demo: Path, records: ShotRecords) -> None:
    clubs = set(read_profile(demo / "player.toml").clubs)
    assert set(records.aimed["club"]) == clubs


def test_long_clubs_go_wide_and_to_the_right(records: ShotRecords) -> None:
    balls = records.aimed[(records.aimed["place"] == "range") & ~records.aimed["misread"]]
    angle = np.degrees(np.arctan2(balls["right_m"], balls["target_m"] + balls["long_m"]))
    long_club = balls["club"].isin(["3 wood", "4 hybrid"])  # a 5 iron is half of the band below
    short_club = balls["club"].isin(["8 iron", "9 iron", "pitching wedge"])
    assert angle[long_club].median() > 0.8
    assert angle[long_club].std() > 1.2 * angle[short_club].std()
