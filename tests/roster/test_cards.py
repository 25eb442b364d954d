"""Filled cards in the roster: wholly or not at all, once, read again as they were, and gone when forgotten."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.roster.cards import kept_cards
from rangework.store import find_player, open_roster, player_records
from rangework.store.cards import cards_of

sys.path.append(str(Path(__file__).parents[1] / "assessment"))

from filled_cards import hit_card


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three cards of two days, and the demo's course."""
    folder = tmp_path_factory.mktemp("cards")
    assert CliRunner().invoke(rangework, ["demo", str(folder / "demo")]).exit_code == 0
    hit_card(folder, "june.csv", date(2026, 6, 20), 1)
    hit_card(folder, "july.csv", date(2026, 7, 20), 2)
    lines = (folder / "june.csv").read_text("utf-8").splitlines(keepends=True)
    (folder / "begun.csv").write_text("".join(lines[:11]), encoding="utf-8", newline="")
    return folder


@pytest.fixture
def club(tmp_path: Path, demo: Path) -> Path:
    path = tmp_path / "club.roster"
    run(path, "roster", "add", "Wren", "--handicap", "14")
    run(path, "roster", "import", "Wren", demo / "demo" / "course.toml")
    return path


def run(club: Path, *words: str | Path, code: int = 0) -> Result:
    done = CliRunner(env={"RANGEWORK_ROSTER": str(club)}).invoke(rangework, list(map(str, words)))
    assert done.exit_code == code, done.output
    return done


def kept(club: Path) -> list[tuple[str, int]]:
    with open_roster(club) as roster:
        return [(card.day, card.balls) for card in cards_of(roster, find_player(roster, "Wren").id)]


def balls(club: Path) -> int:
    with open_roster(club) as roster:
        return player_records(roster, find_player(roster, "Wren").id).n_balls


def test_a_card_is_kept_once_and_gone_on_with(club: Path, demo: Path) -> None:
    assert "10 balls: kept" in run(club, "roster", "import", "Wren", demo / "begun.csv").output
    further = run(club, "roster", "import", "Wren", demo / "june.csv").output
    assert "24 balls: kept, in place of the card that it goes on with" in " ".join(further.split())
    assert (kept(club), balls(club)) == ([("2026-06-20", 24)], 24)
    for again in ("june.csv", "begun.csv"):
        told = run(club, "roster", "import", "Wren", demo / again).output
        assert "nothing changed, it is there already" in " ".join(told.split())
    run(club, "roster", "import", "Wren", demo / "july.csv")
    assert (kept(club), balls(club)) == ([("2026-06-20", 24), ("2026-07-20", 24)], 48)
    assert "2026-07-20  tested: June test, 24 balls" in run(club, "roster", "history", "Wren").output
    shown = " ".join(run(club, "roster", "show", "Wren").output.split())
    assert (
        "Filled cards of tests: June test (2026-06-20, 24 balls), June test (2026-07-20, 24 balls)." in shown
    )


def test_a_bad_card_imports_nothing_unless_told(club: Path, demo: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    lines = (demo / "june.csv").read_text("utf-8").splitlines()
    cells = lines[3].split(",")
    cells[lines[0].split(",").index("hole")] = ""
    lines[3] = ",".join(cells)
    bad.write_text("\n".join(lines) + "\n", encoding="utf-8")
    told = run(club, "roster", "import", "Wren", demo / "july.csv", bad, code=2)
    assert "row 4, column hole" in told.stderr
    assert (kept(club), balls(club)) == ([], 0)
    told = run(club, "roster", "import", "Wren", demo / "july.csv", bad, "--skip-bad-rows")
    assert "23 balls, 1 fault left out: kept" in told.output
    assert kept(club) == [("2026-06-20", 23), ("2026-07-20", 24)]


def test_cards_go_out_and_come_back_the_same(club: Path, demo: Path, tmp_path: Path) -> None:
    named = tmp_path / "named.csv"
    named.write_text((demo / "june.csv").read_text("utf-8").replace("June test", "=cmd()"), encoding="utf-8")
    run(club, "roster", "import", "Wren", named, demo / "july.csv")
    run(club, "roster", "export", "Wren", tmp_path / "out")
    written = tmp_path / "out" / "card-2026-06-20-1.csv"
    assert "'=cmd()," in written.read_text("utf-8")
    other = tmp_path / "other.roster"
    run(other, "roster", "add", "Wren")
    run(other, "roster", "import", "Wren", *sorted((tmp_path / "out").glob("*[0-9].csv")))
    assert balls(other) == balls(club)
    for first, second in zip(kept_cards(club, "Wren"), kept_cards(other, "Wren"), strict=True):
        assert first.name == second.name
        pd.testing.assert_frame_equal(first.balls, second.balls, check_exact=True)
    back = run(club, "roster", "import", "Wren", written, tmp_path / "out" / "balls.csv").output
    assert " ".join(back.split()).count("nothing changed") == 3


def test_a_forgotten_player_leaves_no_card(club: Path, demo: Path) -> None:
    run(club, "roster", "import", "Wren", demo / "june.csv")
    assert any(b"June test" in path.read_bytes() for path in club.parent.glob("club.roster*"))
    run(club, "roster", "forget", "Wren", "--yes")
    assert not any(b"June test" in path.read_bytes() for path in club.parent.glob("club.roster*"))


@pytest.mark.slow
def test_kept_cards_are_scored_and_compared_as_files_are(club: Path, demo: Path) -> None:
    shots = demo / "demo" / "shots.csv"
    none = run(club, "assess", "score", "--player", "Wren", code=2)
    assert "balls, and there are none" in none.stderr
    run(club, "roster", "import", "Wren", shots, demo / "june.csv")
    one = run(club, "assess", "progress", "--player", "Wren", code=2)
    assert "2 filled cards or more, and 1 are kept" in " ".join(one.stderr.split())
    run(club, "roster", "import", "Wren", demo / "july.csv")
    course = ["--course", demo / "demo" / "course.toml", "--handicap", "14"]
    files = run(club, "assess", "progress", demo / "june.csv", demo / "july.csv", shots, *course).output
    kept_ones = run(club, "assess", "progress", "--player", "Wren").output.replace("Wren", "the player")
    assert kept_ones.split() == files.split()
    latest = run(club, "assess", "score", "--player", "Wren").output
    given = run(club, "assess", "score", demo / "july.csv", "--player", "Wren").output
    assert latest == given
    mixed = run(club, "assess", "score", shots, "--player", "Wren", code=2)
    assert "with --player the roster's balls are the records" in " ".join(mixed.stderr.split())


def test_what_must_be_given(club: Path) -> None:
    assert "Or give --player with --roster." in run(club, "assess", "score", code=2).stderr
