"""`rangework assess forecast`: kept before, checked after."""

from __future__ import annotations

import json
import sqlite3
import sys
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework

sys.path.append(str(Path(__file__).parents[1] / "assessment"))

from filled_cards import hit_card


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("forecasts") / "demo"
    assert CliRunner().invoke(rangework, ["demo", str(folder)]).exit_code == 0
    return folder


def run(demo: Path, *words: str) -> Result:
    course = ["--course", str(demo / "course.toml"), "--handicap", "14"]
    return CliRunner().invoke(rangework, ["assess", "forecast", *words, *course])


@pytest.mark.slow
def test_a_retest_is_foretold_kept_and_checked(demo: Path, tmp_path: Path) -> None:
    cards = [str(hit_card(tmp_path, f"{month}.csv", date(2026, month, 1), month)) for month in (6, 7)]
    kept = tmp_path / "kept.json"
    done = run(demo, cards[0], "--keep", str(kept), "--on", "2026-06-02")
    assert done.exit_code == 0, done.output
    assert "RETEST" in done.output
    first = json.loads(kept.read_text("utf-8"))["forecasts"]
    assert {each["about"] for each in first} == {"test"}
    open_still = run(demo, cards[0], "--check", str(kept))
    assert "None of the" in open_still.output
    results = tmp_path / "outcomes.json"
    checked = run(demo, *cards, "--check", str(kept), "--json", str(results))
    assert checked.exit_code == 0, checked.output
    assert "HOW THE FORECASTS STOOD UP" in checked.output
    assert len(json.loads(results.read_text("utf-8"))["outcomes"]) == len(first)
    assert json.loads(kept.read_text("utf-8"))["forecasts"] == first


def test_one_of_keep_and_check(demo: Path, tmp_path: Path) -> None:
    assert run(demo, str(demo / "rounds.csv")).exit_code == 2
    file = tmp_path / "other.json"
    file.write_text("{}", encoding="utf-8")
    done = run(demo, str(demo / "rounds.csv"), "--check", str(file))
    assert done.exit_code == 2
    assert "forecasts that rangework has kept" in done.output


@pytest.mark.slow
def test_a_round_is_foretold_from_records_before_it(demo: Path, tmp_path: Path) -> None:
    lines = (demo / "rounds.csv").read_text("utf-8").splitlines()
    days = sorted({line.split(",")[0] for line in lines[1:]})
    early = tmp_path / "early.csv"
    early.write_text(
        "\n".join(line for line in lines if line.split(",")[0] < days[-2] or line is lines[0]), "utf-8"
    )
    kept = tmp_path / "kept.json"
    done = run(demo, str(demo / "shots.csv"), str(early), "--keep", str(kept), "--on", days[-2])
    assert done.exit_code == 0, done.output
    made = {each["quantity"]: each for each in json.loads(kept.read_text("utf-8"))["forecasts"]}
    assert made["score"]["high"] - made["score"]["low"] < 25
    checked = run(demo, str(demo / "rounds.csv"), "--check", str(kept))
    assert "6 of 6 kept forecasts have an outcome" in " ".join(checked.output.split())


def test_a_retest_is_foretold_from_cards_before_its_day_alone(demo: Path, tmp_path: Path) -> None:
    """A later card in hand changes nothing, and it is said that it was left out."""
    june, july = (str(hit_card(tmp_path, f"{month}.csv", date(2026, month, 1), month)) for month in (6, 7))
    alone, both = tmp_path / "alone.json", tmp_path / "both.json"
    for kept, files in ((alone, [june]), (both, [june, july])):
        done = run(demo, *files, "--keep", str(kept), "--on", "2026-07-01")
        assert done.exit_code == 0, done.output
    assert both.read_bytes() == alone.read_bytes()
    assert "1 card of that day or later left out" in " ".join(done.output.split())
    too_early = run(demo, june, "--keep", str(tmp_path / "none.json"), "--on", "2026-06-01")
    assert too_early.exit_code == 2
    assert "a day after that of a card; the first one is of 2026-06-01" in too_early.output
    assert not (tmp_path / "none.json").exists()


def test_a_forecast_is_kept_with_the_player_and_goes_with_the_player(demo: Path, tmp_path: Path) -> None:
    cards = [str(hit_card(tmp_path, f"{month}.csv", date(2026, month, 1), month)) for month in (6, 7)]
    roster, name = str(tmp_path / "players.db"), "Wren Aldersey"
    run_all(
        ["roster", "add", name, "--handicap", "14", "--roster", roster],
        ["roster", "import", name, cards[0], str(demo / "course.toml"), "--roster", roster],
    )
    common = ["assess", "forecast", "--player", name, "--roster", roster]
    made = run_all([*common, cards[0], "--on", "2026-06-02"])
    assert f"Kept with {name} in the roster." in made
    assert "kept already, and stays as it was" in " ".join(
        run_all([*common, cards[0], "--on", "2026-06-02"]).split()
    )
    checked = run_all([*common, *cards, "--check-kept"])
    assert "HOW THE FORECASTS STOOD UP" in checked
    run_all(["roster", "export", name, str(tmp_path / "out"), "--roster", roster])
    exported = tmp_path / "out" / "forecasts.json"
    assert len(json.loads(exported.read_text("utf-8"))["forecasts"]) >= 2
    by_file = run(demo, *cards, "--check", str(exported))
    assert "HOW THE FORECASTS STOOD UP" in by_file.output
    run_all(["roster", "forget", name, "--yes", "--roster", roster])
    with sqlite3.connect(roster) as connection:
        assert connection.execute("SELECT count(*) FROM forecast").fetchone() == (0,)


def run_all(*commands: list[str]) -> str:
    """The output of the last of the commands, all of which must succeed."""
    for words in commands:
        done = CliRunner().invoke(rangework, words)
        assert done.exit_code == 0, done.output
    return done.output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--keep", "f.json"], "Give RECORDS or a filled card"),
        (["card.csv"], "Give either --keep FILE or --check FILE"),
        (["card.csv", "--check-kept"], "--check-kept goes with --player"),
        (["card.csv", "--keep", "a.json", "--check", "b.json"], "Give one of"),
    ],
)
def test_what_does_not_go_together_is_told(demo: Path, words: list[str], told: str) -> None:
    done = run(demo, *words)
    assert done.exit_code == 2
    assert told in done.output
