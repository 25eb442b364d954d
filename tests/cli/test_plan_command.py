"""`rangework plan` puts the answer first, keeps to 80 columns, and writes the same numbers as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.estimate import unknown_bases
from rangework.plan.cautions import ALWAYS
from rangework.plan.drills import PLACES, drill_catalogue
from rangework.skill.parts import PART_IDS

PART_KEYS = {"part", "family", "step", "strokes_saved", "standard_error", "low", "high", "basis"}
DRILL_KEYS = {"drill", "place", "first_hour", "next_hour", "low", "high", "chance_best"}
HOURS_KEYS = {"drill", "place", "minutes", "balls"}


def plan(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["plan", *map(str, arguments)])


def results(path: Path, *arguments: str | Path) -> dict[str, Any]:
    result = plan(*arguments, "--json", path)
    assert result.exit_code == 0, result.output
    told: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return {**told, "page": result.stdout}


@pytest.fixture(scope="module")
def few(records: Path, small_course: Path) -> list[str | Path]:
    """A quick run: a few balls, nine holes, eight plausible players."""
    return [records, "--course", small_course, "--handicap", "12", "--draws", "8"]


@pytest.fixture(scope="module")
def told(few: list[str | Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return results(tmp_path_factory.mktemp("told") / "plan.json", *few, "--hours", "4")


def test_the_answer_comes_first_and_the_page_fits(told: dict[str, Any]) -> None:
    lines = told["page"].splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[0].startswith("WHERE AN HOUR PAYS MOST for the player on Threlby")
    names = {drill.id: drill.name for drill in drill_catalogue()}
    assert names[told["drills"][0]["drill"]] in " ".join(lines[1:3])


def test_every_caution_is_on_the_page_and_in_the_results(told: dict[str, Any]) -> None:
    page = " ".join(told["page"].split())
    assert all(caution in page for caution in told["cautions"])
    assert set(ALWAYS) <= set(told["cautions"])


def test_the_page_says_how_much_of_the_player_is_measured_and_what_is_odd(told: dict[str, Any]) -> None:
    page = " ".join(told["page"].split())
    assert "Of the 24 parts of the game the records decide" in page
    assert all(f"Look at {warning}" in page for warning in told["warnings"])
    assert any(warning.startswith("fit: range") for warning in told["warnings"])


def test_parts_are_those_of_worth(told: dict[str, Any]) -> None:
    assert [part["part"] for part in told["parts"]] == list(PART_IDS)
    assert all(set(part) == PART_KEYS for part in told["parts"])
    assert all(part["standard_error"] <= 0.005 for part in told["parts"])
    assert all(unknown_bases(part["basis"]) == [] for part in told["parts"])


def test_drills_come_by_their_first_hour(told: dict[str, Any]) -> None:
    drills = told["drills"]
    assert len(drills) == len(drill_catalogue())
    assert all(set(drill) >= DRILL_KEYS for drill in drills)
    first = [drill["first_hour"] for drill in drills]
    assert first == sorted(first, reverse=True)
    assert all(drill["low"] <= drill["high"] for drill in drills)
    assert sum(drill["chance_best"] for drill in drills) == pytest.approx(1.0)
    assert all(unknown_bases(drill["basis"]) == [] for drill in drills)


def test_the_hours_keep_to_the_week(told: dict[str, Any]) -> None:
    hours = told["hours"]
    assert all(set(block) >= HOURS_KEYS for block in hours)
    assert 200 < sum(block["minutes"] for block in hours) <= 240
    assert sum(block["full_swings"] for block in hours) <= 200


def test_promise_replay_and_no_practice(told: dict[str, Any]) -> None:
    assert told["no_practice"] < 0.0 < told["strokes_saved"]
    replayed = told["replayed"]
    assert replayed["standard_error"] > 0.0
    assert replayed["agrees"]
    assert replayed["strokes_saved"] == replayed["rounds"][-1]["replayed"]
    for estimate in told["estimates"].values():
        assert estimate["low"] <= estimate["value"] <= estimate["high"]
        assert unknown_bases(estimate["basis"]) == []


def test_one_more_hour_limits_and_the_cautious_plan(told: dict[str, Any]) -> None:
    more = told["one_more_hour"]
    assert set(more["by_place"]) == set(PLACES)
    assert more["any"] == max(more["by_place"].values())
    assert more["any"] <= told["one_more_hour_at_the_margin"]["any"] + 1e-9
    assert all(limit["price"] > 0.0 for limit in told["binding"])
    assert "hours" in {limit["name"] for limit in told["binding"]}
    robust = told["robust"]
    assert robust["strokes_saved"] <= told["strokes_saved"] + 1e-9
    assert robust["worst_fifth"] >= robust["mean_plan_worst_fifth"] - 1e-9
    assert sum(block["minutes"] for block in robust["hours"]) <= 240


def test_assumptions_are_named(told: dict[str, Any]) -> None:
    ids = {each["id"] for each in told["assumptions"]}
    assert {"assumption.plan.response.to_12", "assumption.plan.response_width"} <= ids


DRILLS = """
[drill.towels]
name = "Chips between two towels"
place = "home"
trains = { chip = 0.5 }
balls_per_hour = 80
least_block_minutes = 10

[response.chip]
most_percent = 30
half_hours = 5
"""


@pytest.mark.slow
def test_hours_by_place_and_drills_of_the_coach(few: list[str | Path], tmp_path: Path) -> None:
    drills = tmp_path / "drills.toml"
    drills.write_text(DRILLS, encoding="utf-8")
    told = results(tmp_path / "plan.json", *few, "--hours", "home=1", "--drills", drills, "--weeks", "4")
    assert [block["drill"] for block in told["hours"]] == ["towels"]
    assert told["weeks"] == 4
    assert "putt.line" in told["untrainable"]
    assert "NOT TO BE TRAINED" in told["page"]
    assert "assumption.plan.response.coach" in {each["id"] for each in told["assumptions"]}


@pytest.mark.slow
def test_the_answer_does_not_depend_on_threads(
    few: list[str | Path], told: dict[str, Any], tmp_path: Path
) -> None:
    again = results(tmp_path / "plan.json", *few, "--hours", "4", "--threads", "1")
    assert again == told


@pytest.mark.slow
def test_limits_that_clash_are_told_with_the_amount(few: list[str | Path]) -> None:
    result = plan(*few, "--hours", "2", "--at-least", "pace_to_five_lengths=3")
    assert result.exit_code == 2
    assert "These clash" in result.stderr
    assert "2.20 h too little" in result.stderr


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (["--swings-a-day", "150"], "full swings a day"),
        (["--days", "9"], "--days"),
        (["--at-least", "putt.pase=1"], "Did you mean 'putt.pace'?"),
        (["--at-least", "putt.pace"], "NAME=HOURS"),
        (["--weeks", "0"], "--weeks"),
        (["--hours", "moon=2"], "hours"),
    ],
)
def test_limits_that_no_week_can_have_are_refused_before_the_work(
    few: list[str | Path], wrong: list[str], told: str
) -> None:
    hours = [] if wrong[0] == "--hours" else ["--hours", "4"]
    result = plan(*few, *hours, *wrong)
    assert result.exit_code == 2
    assert told in result.stderr


def test_faults_of_all_files_are_told_together(tmp_path: Path) -> None:
    names = [tmp_path / f"none.{kind}" for kind in ("csv", "toml", "profile", "drills")]
    result = plan(names[0], "--course", names[1], "--profile", names[2], "--drills", names[3], "--hours", "6")
    assert result.exit_code == 2
    assert all(name.name in result.stderr for name in names)


@pytest.mark.slow
def test_the_demo(tmp_path: Path) -> None:
    assert CliRunner().invoke(rangework, ["demo", str(tmp_path / "demo")]).exit_code == 0
    demo = tmp_path / "demo"
    told = results(
        tmp_path / "plan.json", *sorted(demo.glob("*.csv")), "--mapping", demo / "mapping-device.toml",
        "--profile", demo / "player.toml", "--course", demo / "course.toml", "--drills",
        demo / "drills.toml", "--hours", "6",
    )  # fmt: skip
    assert told["replayed"]["agrees"]
    assert told["strokes_saved"] > 0.3
    assert told["page"].startswith(
        "FREE STROKES, before any practice"
    )  # the rounds show how long the tee shots are
    assert "\n\nWHERE AN HOUR PAYS MOST for Wren Aldersey on Querrowmoss" in told["page"]
    assert max(map(len, told["page"].splitlines())) <= 80


def test_where_the_aim_is_not_known_the_plan_says_how_to_find_out(told: dict[str, Any]) -> None:
    assert "`rangework habits --aims pin`" in " ".join(told["page"].split())
    assert "FREE STROKES" not in told["page"]
    assert told["free_strokes"] is None


@pytest.mark.slow
def test_stated_aims_put_the_free_strokes_first(few: list[str | Path], tmp_path: Path) -> None:
    told = results(tmp_path / "plan.json", *few, "--hours", "4", "--aims", "pin")
    free = told["free_strokes"]["decisions"]
    assert told["page"].startswith("FREE STROKES, before any practice")
    assert f"about {free['value']:.2f} strokes a round" in " ".join(told["page"].split())
    assert free["low"] < free["value"] < free["high"]
    assert free["value"] > 0.0  # of eight players so little known, one may aim better at the pin
    assert unknown_bases(free["basis"]) == []
