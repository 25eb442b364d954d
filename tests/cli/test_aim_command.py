"""`rangework aim` prints targets side by side on 80 columns, and the same numbers as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.estimate import unknown_bases

KEYS = (
    "target", "club", "expected_strokes", "standard_error", "low", "high", "birdie", "par", "bogey", "double",
    "green", "short_sided", "bunker", "penalty", "difference",
)  # fmt: skip


def aim(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["aim", *map(str, arguments)])


@pytest.fixture(scope="module")
def few(records: Path, small_course: Path) -> list[str | Path]:
    """A quick run on the nine short holes."""
    return [records, "--course", small_course, "--tee", "long", "--handicap", "12", "--draws", "6"]


def results(path: Path, *arguments: str | Path) -> dict[str, Any]:
    result = aim(*arguments, "--json", path)
    assert result.exit_code == 0, result.output
    told: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return {**told, "page": result.stdout}


@pytest.fixture(scope="module")
def told(few: list[str | Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    path = tmp_path_factory.mktemp("told") / "aim.json"
    wanted = ("--target", "pin", "--target", "8 right", "--target", "5 yd short of the middle")
    return results(path, *few, "--hole", "3", "--pin", "back", *wanted)


def test_every_choice_has_every_number(told: dict[str, Any]) -> None:
    assert [choice["target"] for choice in told["choices"][:3]] == [
        "at the pin", "8 yd right of the pin", "5 yd short of the middle of the green",
    ]  # fmt: skip
    for choice in told["choices"]:
        assert set(KEYS) <= set(choice)
        assert choice["low"] <= choice["high"]
        assert sum(choice[name] for name in ("birdie", "par", "bogey", "double")) == pytest.approx(1.0)
        assert all(0.0 <= choice[name] <= 1.0 for name in ("green", "short_sided", "bunker", "penalty"))
        assert unknown_bases(choice["basis"]) == []
        assert choice["difference"] >= 0.0
    assert told["best"]["difference"] == 0.0
    assert told["best"] in told["choices"]
    assert (told["hole"], told["par"], told["pin"], told["from"]["stroke"]) == (3, 3, "back", 1)


def test_every_pair_is_compared(told: dict[str, Any]) -> None:
    count = len(told["choices"])
    assert len(told["differences"]) == count * (count - 1) // 2
    for pair in told["differences"]:
        means = [told["choices"][pair[which]]["expected_strokes"] for which in ("first", "second")]
        assert pair["difference"] == pytest.approx(means[0] - means[1])


def test_the_page_fits_and_speaks(told: dict[str, Any]) -> None:
    lines = told["page"].splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[0] == "AIM on hole 3 of Threlby"
    page = " ".join(told["page"].split())
    assert told["advice"] in page
    assert "Never toward people" in page
    assert "less than 8 yd of green" in page


def test_a_tee_shot_out_of_reach_of_the_green_has_lengths_to_choose_from(
    few: list[str | Path], tmp_path: Path
) -> None:
    told = results(tmp_path / "aim.json", *few, "--hole", "1", "--units", "metres")
    assert told["choices"][0]["target"] == "longest"
    assert told["choices"][1]["target"].startswith("carry ")
    assert " m" in told["choices"][1]["target"]
    assert all(choice["green"] < 0.2 for choice in told["choices"])


@pytest.mark.slow
def test_a_score_may_be_aimed_for(few: list[str | Path], tmp_path: Path) -> None:
    told = results(
        tmp_path / "aim.json", *few, "--hole", "1", "--from", "rough,60", "--stroke", "3", "--objective", "5 or better",
    )  # fmt: skip
    assert told["objective"] == "5 or better"
    assert told["from"]["stroke"] == 3
    chances = [choice["reached"]["value"] for choice in told["choices"]]
    assert told["best"]["reached"]["value"] == max(chances)
    assert "5 or better, of 100 holes played for it" in told["page"]


def test_a_break_even_line_is_told_against_a_golfer(few: list[str | Path], tmp_path: Path) -> None:
    told = results(tmp_path / "aim.json", *few, "--hole", "3", "--pin", "middle", "--against", "12")
    line = told["break_even"]
    assert line["against"] == 12.0
    assert line["polygons"][0][0] == line["polygons"][0][-1]
    assert 2.5 < line["expected_strokes"] < 4.5
    assert unknown_bases(line["basis"]) == []
    assert "Break-even: from here a golfer of handicap 12.0 needs" in " ".join(told["page"].split())


@pytest.mark.slow
@pytest.mark.parametrize("suffix", ["png", "svg"])
def test_a_picture_may_be_wanted(few: list[str | Path], tmp_path: Path, suffix: str) -> None:
    drawn = tmp_path / f"aim.{suffix}"
    told = results(tmp_path / "aim.json", *few, "--hole", "3", "--pin", "12 on, 6 right", "--picture", drawn)
    assert drawn.read_bytes()[:5] in (b"\x89PNG\r", b"<?xml")
    values = told["target_values"]
    assert len(values["values"]) == len(values["beyond_m"])
    assert len(values["values"][0]) == len(values["right_m"])
    assert len(values["choices_m"]) == len(told["choices"])
    assert unknown_bases(values["basis"]) == []


@pytest.mark.slow
def test_notes_of_every_hole(few: list[str | Path], tmp_path: Path) -> None:
    out = tmp_path / "notes.html"
    told = results(tmp_path / "aim.json", *few, "--all", "--notes", out, "--pins", "own")
    assert [note["hole"] for note in told["notes"]] == list(range(1, 10))
    assert told["notes"][2]["way"] == []
    assert set(told["notes"][2]["approaches"][0]["pins"]) == {"middle", "back"}
    shots = [shot for note in told["notes"] for each in note["approaches"] for shot in each["pins"].values()]
    assert all(unknown_bases(shot["basis"]) == [] for shot in shots)
    assert all(shot["saved"] is None or shot["saved"] >= 0.0 for shot in shots)
    assert "Threlby, long tees" in out.read_text("utf-8")
    assert "Check the local rule." in told["page"]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ([], "Give --hole N for one shot"),
        (["--hole", "3", "--notes", "notes.md"], "--notes goes with --all"),
        (["--all", "--notes", "notes.pdf"], "must end in .html or .md or .txt"),
        (["--all", "--hole", "3"], "are for a single shot"),
        (["--all", "--objective", "5 or better"], "are for a single shot"),
        (["--all", "--target", "pin"], "are for a single shot"),
    ],
)
def test_notes_and_single_shots_do_not_mix(few: list[str | Path], wrong: list[str], message: str) -> None:
    result = aim(*few, *wrong)
    assert result.exit_code == 2
    assert message in result.stderr


def test_without_a_golfer_there_is_no_line(told: dict[str, Any]) -> None:
    assert told["break_even"] is None
    assert told["target_values"] is None
    assert "Break-even" not in told["page"]


def test_the_advice_names_what_is_not_really_different(few: list[str | Path], tmp_path: Path) -> None:
    told = results(tmp_path / "aim.json", *few, "--hole", "3", "--pin", "middle", "--from", "fairway,90")
    real = [choice["real"] for choice in told["choices"]]
    assert ("No real difference whether you" in told["advice"]) == (not real[0] and len(real) > 1)
    assert told["page"].count("no real difference") == sum(
        not choice["real"] for choice in told["choices"] if choice != told["best"]
    )


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (["--hole", "10"], "--hole is '10': expected a hole of Threlby: 1 to 9"),
        (["--hole", "3", "--pin", "moon"], "--pin is 'moon'"),
        (["--hole", "3", "--tee", "moon"], "--tee is 'moon'"),
        (["--hole", "3", "--from", "swamp,50"], "one of fairway, rough, sand, recovery"),
        (["--hole", "3", "--from", "fairway,300"], "from tee to pin"),
        (["--hole", "3", "--from-point", "900,900"], "on the map of the hole"),
        (["--hole", "3", "--target", "8 rihgt"], "Did you mean right?"),
        (["--hole", "1", "--target", "pin"], "within reach"),
        (["--hole", "3", "--objective", "win"], "5 or better"),
        (["--hole", "3", "--picture", "aim.pdf"], "must end in .png or .svg"),
        (["--hole", "3", "--pin", "90 on, 3 left"], "a place on the green of hole 3"),
        (["--hole", "3", "--from", "rough,50", "--from-point", "1,2"], "not both"),
    ],
)
def test_faults_of_the_command_line(
    few: list[str | Path], tmp_path: Path, wrong: list[str], message: str
) -> None:
    path = tmp_path / "aim.json"
    result = aim(*few, *wrong, "--json", path)
    assert result.exit_code == 2
    assert message in result.stderr
    assert "Traceback" not in result.output
    assert not path.exists()


def test_faults_of_files_and_of_words_are_told_together(tmp_path: Path) -> None:
    result = aim(
        tmp_path / "none.csv",
        "--course",
        tmp_path / "none.toml",
        "--hole",
        "1",
        "--target",
        "8 rihgt",
        "--from",
        "x",
    )
    assert result.exit_code == 2
    assert all(word in result.stderr for word in ("none.csv", "none.toml", "rihgt", "--from"))
