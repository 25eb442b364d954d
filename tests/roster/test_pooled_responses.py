"""From the balls and hours of a roster to what practice does: who speaks, what is shown, and what plans take."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.plan.drills import drill_catalogue
from rangework.records import read_records
from rangework.records.profile import PlayerProfile
from rangework.roster.pooled_responses import PooledResponses, pooled_responses
from rangework.skill.parts import PART_IDS
from rangework.store import Practice, Roster, add_player, import_records, log_practice, open_roster
from rangework.store.plans import plans_of

DRILLS = drill_catalogue()
BAND = "approach_100_150.direction"
DRILL = max(DRILLS, key=lambda drill: drill.trains.get(BAND, 0.0)).id
BEFORE, AFTER = date(2026, 5, 1), date(2026, 6, 26)

Add = Callable[..., int]


def write_test(path: Path, day: date, spread: float, rng: np.random.Generator, purpose: str = "test") -> Path:
    """60 balls at 125 yd, so many times as wide as those of a golfer of about handicap 12."""
    rows = [
        f"{day},range,fairway,125,{rng.normal(0, 8 * spread):.2f},{rng.normal(0, 8 * spread):.2f},{purpose}"
        for _ in range(60)
    ]
    path.write_text("\n".join(["date,place,lie,target_yd,long_yd,right_yd,purpose", *rows, ""]))
    return path


def add(
    roster: Roster, folder: Path, name: str, *, spread: float = 1.0, hours: float = 8.0, handicap: float | None = 12.0
) -> int:  # fmt: skip
    """A player with two tests; the spread of the second is ``spread`` times that of the first."""
    player = add_player(roster, PlayerProfile(name=name, handicap=handicap)).id
    rng = np.random.default_rng(player)
    for day, wide in ((BEFORE, 1.0), (AFTER, spread)):
        file = write_test(folder / f"{name}-{day}.csv", day, wide, rng)
        import_records(roster, player, file.name, f"{name}{day}", read_records([file]))
    if hours:
        for week in range(8):
            log_practice(
                roster, player, Practice(date(2026, 5, 2 + week).isoformat(), DRILL, hours / 8.0, str(week))
            )
    return player


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "club.roster"


def pooled(roster: Roster) -> PooledResponses | None:
    return pooled_responses(roster, DRILLS)


def test_nobody_speaks_until_two_do(path: Path, tmp_path: Path) -> None:
    with open_roster(path, make=True) as roster:
        assert pooled(roster) is None
        add(roster, tmp_path, "Wren")
        add(roster, tmp_path, "Idle", hours=0.0)
        assert pooled(roster) is None
        told = CliRunner().invoke(rangework, ["roster", "learned", "--roster", str(path)])
        assert told.exit_code == 0
        assert "Nothing yet" in told.output
        add(roster, tmp_path, "Asta", handicap=None)
        found = pooled(roster)
    assert found is not None
    assert found.players == 2


def test_who_got_better_moves_the_group_up_and_who_did_not_down(path: Path, tmp_path: Path) -> None:
    factors = {}
    for spread in (0.5, 2.0):
        club = tmp_path / f"{spread}.roster"
        with open_roster(club, make=True) as roster:
            for number in range(6):
                # half of them practise much, half little: the season cannot be taken for practice
                hours, own = (30.0, spread) if number % 2 else (2.0, 1.0)
                add(roster, tmp_path, f"player {number}", spread=own, hours=hours)
            found = pooled(roster)
        assert found is not None
        factors[spread] = {each.part: each for each in found.parts}
    better, worse = (factors[spread][BAND].factor.value for spread in (0.5, 2.0))
    assert better > 1.05
    assert worse < 0.95
    one = factors[0.5][BAND]
    assert one.players == 6
    assert one.seen is not None
    assert one.seen.value > one.assumed
    assert one.now.value == pytest.approx(one.assumed * one.factor.value)
    assert one.now.low is not None
    assert one.now.low < one.now.value < one.seen.value
    assert factors[0.5]["approach_100_150.bias"].seen is None


def test_the_table_and_its_numbers(path: Path, tmp_path: Path) -> None:
    with open_roster(path, make=True) as roster:
        for number in range(3):
            add(roster, tmp_path, f"player {number}", spread=0.7)
    results = tmp_path / "learned.json"
    done = CliRunner().invoke(rangework, ["roster", "learned", "--roster", str(path), "--json", str(results)])
    assert done.exit_code == 0, done.output
    assert "3 players practised a part between two tests" in " ".join(done.output.split())
    assert "Far from what is assumed: approach 100-150 yd, distance control" in " ".join(done.output.split())
    assert max(map(len, done.output.splitlines())) <= 80
    told = json.loads(results.read_text("utf-8"))
    assert told["players"] == 3
    assert {"part", "players", "hours", "retests", "seen", "assumed", "now", "factor"} == set(
        told["parts"][0]
    )
    assert told["parts"][0]["retests"] == 3
    assert "assumption.roster.pooling+assumption.plan.useless_drills" in told["parts"][0]["now"]["basis"]


@pytest.mark.slow
def test_plans_take_it_in_and_without_evidence_nothing_changes(tmp_path: Path, small_course: Path) -> None:
    """Wren's plan, beside nobody, beside two who are tested but logged nothing, and beside two who speak."""
    plans = {}
    for case in ("alone", "idle", "speaking"):
        club = tmp_path / f"{case}.roster"
        with open_roster(club, make=True) as roster:
            wren = add(roster, tmp_path, "Wren", hours=0.0)
            if case != "alone":
                for name in ("Asta", "Ivo"):
                    add(roster, tmp_path, name, spread=0.4, hours=0.0 if case == "idle" else 40.0)
        words = ["roster", "plan", "Wren", "--course", str(small_course), "--hours", "3", "--draws", "2"]
        done = CliRunner().invoke(rangework, [*words, "--processes", "1", "--roster", str(club)])
        assert done.exit_code == 0, done.output
        assert ("LEARNED FROM THE ROSTER" in done.output) == (case == "speaking")
        with open_roster(club) as roster:
            plans[case] = plans_of(roster, wren)[0]
    assert plans["alone"].results == plans["idle"].results  # to the last bit
    assert plans["alone"].page == plans["idle"].page
    learned = plans["speaking"].results["learned_from_roster"]
    assert learned["players"] == 2
    factors = {each["part"]: each["factor"]["value"] for each in learned["parts"]}
    assert set(factors) == set(PART_IDS)
    assert factors[BAND] > 1.02
    assert "WHAT PRACTICE HAS DONE IN THIS ROSTER" in plans["speaking"].page
    assert plans["speaking"].strokes_saved > plans["alone"].strokes_saved
    assert "assumption.roster.pooling" in {each["id"] for each in plans["speaking"].results["assumptions"]}
