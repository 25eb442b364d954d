"""`rangework plan --practised`: the plan says what it learned, and from what."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from rangework.cli.main import rangework

sys.path.append(str(Path(__file__).parents[1] / "assessment"))

from filled_cards import hit_card


@pytest.mark.slow
def test_the_plan_says_what_tests_taught(tmp_path: Path) -> None:
    demo = tmp_path / "demo"
    assert CliRunner().invoke(rangework, ["demo", str(demo)]).exit_code == 0
    cards = [str(hit_card(tmp_path, f"{day}.csv", date(2026, 5 + day, 20), day)) for day in (1, 2)]
    log = tmp_path / "practice.csv"
    log.write_text("date,drill,minutes\n2026-06-25,approach_100_150.direction,90\n", encoding="utf-8")
    plans = {}
    for practised in ([], ["--practised", str(log)]):
        results = tmp_path / "plan.json"
        words = [
            "plan",
            str(demo / "shots.csv"),
            *cards,
            "--course",
            str(demo / "course.toml"),
            "--hours",
            "4",
        ]
        done = CliRunner().invoke(rangework, [*words, "--draws", "10", *practised, "--json", str(results)])
        assert done.exit_code == 0, done.output
        assert ("LEARNED FROM TESTS" in done.output) == bool(practised)
        plans[bool(practised)] = json.loads(results.read_text("utf-8"))
    assert plans[False]["learned"] is None
    learned = {each["part"]: each for each in plans[True]["learned"]}
    trained = learned["approach_100_150.direction"]
    assert (trained["hours"], trained["tests"], trained["balls"]) == (1.5, 2, 24)
    assert trained["most_steps"]["value"] == pytest.approx(trained["most_steps_before"], rel=0.1)
    assert "assumption.assessment.other_change" in {each["id"] for each in plans[True]["assumptions"]}
