"""`rangework assess design` as a coach runs it: the card on 80 columns, as CSV, as pages, as JSON."""

from __future__ import annotations

import csv
import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.course import Course

sys.path.append(str(Path(__file__).parents[1] / "assessment"))


def design(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["assess", "design", *map(str, arguments)])


@pytest.fixture(scope="module")
def told(records: Path, small_course: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("designed")
    outputs = ("csv", "print", "card", "json")
    files = [word for name in outputs for word in (f"--{name}", folder / name)]
    result = design(
        records, "--course", small_course, "--tee", "long", "--handicap", "12", "--balls", "6", "--pins", "middle,back",
        "--date", "2026-06-01", "--measured-by", "paced", "--lies", "fairway,rough", *files,
    )  # fmt: skip
    assert result.exit_code == 0, result.output
    return folder, result.stdout


def test_the_card_fits_the_screen(told: tuple[Path, str]) -> None:
    _, text = told
    assert max(len(line) for line in text.splitlines() if "written" not in line) <= 80
    assert "6 balls on 2026-06-01" in text
    assert "Not with 6 balls: a change of 10 % or 20 % or 30 %." in text
    assert "709" not in text  # what would show a change is told in a sentence
    assert "before and as many after" in text


def test_a_longer_test_has_the_table_of_balls_to_see_a_change(demo_course: Course) -> None:
    from designed_tests import design as designed

    from rangework.assessment.ball_draw import DistanceWish
    from rangework.cli.assess.design_page import SHORT_TEST, design_text

    text = design_text(designed(demo_course, DistanceWish(), balls=SHORT_TEST))
    assert "709" in text
    assert f"Not with {SHORT_TEST} balls" in text


def test_all_files_tell_of_the_same_balls(told: tuple[Path, str]) -> None:
    folder, _ = told
    numbers = json.loads((folder / "json").read_text("utf-8"))
    rows = list(csv.DictReader((folder / "csv").read_text("utf-8").splitlines()))
    assert len(numbers["balls"]) == len(rows) == 6
    for ball, row in zip(numbers["balls"], rows, strict=True):
        assert ball["pin_distance_m"] == pytest.approx(float(row["pin_distance_yd"]) * 0.9144, abs=0.01)
        assert ball["expected_strokes"] == pytest.approx(float(row["expected_strokes"]), abs=1e-4)
        assert row["pin"] in ("middle", "back")
        assert row["lie"] in ("fairway", "rough")
    assert numbers["least_change_seen"] is None or numbers["least_change_seen"] > 0.1
    for name in ("print", "card"):
        assert "test 2026-06-01 0" in (folder / name).read_text("utf-8")


def test_all_faults_at_once_and_nothing_written(records: Path, tmp_path: Path) -> None:
    out = tmp_path / "card.csv"
    done = design(
        records, "--course", tmp_path / "none.toml", "--balls", "many", "--from", "60", "--csv", out
    )
    assert done.exit_code == 2
    for fault in ("none.toml", "--balls", "--to"):
        assert fault in done.stderr
    assert not out.exists()
