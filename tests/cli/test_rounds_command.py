"""`rangework rounds` prints a page of 80 columns and the same numbers as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.estimate import unknown_bases
from rangework.play.rounds import FAMILIES, GROUP_FAMILY, GROUPS
from rangework.skill.parts import PART_IDS
from rangework.strokes_gained.logged import COLUMNS


def rounds(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["rounds", *map(str, arguments)])


def results(path: Path, *arguments: str | Path) -> dict[str, Any]:
    result = rounds(*arguments, "--json", path)
    assert result.exit_code == 0, result.output
    told: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return {**told, "page": result.stdout}


@pytest.fixture(scope="module")
def few(records: Path, card: Path, small_course: Path) -> list[str | Path]:
    """A quick run: a few balls, two rounds, nine holes."""
    return [
        records,
        card,
        "--course",
        small_course,
        "--tee",
        "long",
        "--handicap",
        "12",
        "--rounds",
        "400",
        "--draws",
        "4",
    ]


@pytest.fixture(scope="module")
def told(few: list[str | Path], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return results(tmp_path_factory.mktemp("told") / "rounds.json", *few)


def test_the_page_fits_and_says_what_is_unofficial(told: dict[str, Any]) -> None:
    lines = told["page"].splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[0] == "400 ROUNDS on Threlby, long tees (par 29)"
    for word in ("differential", "index"):
        (line,) = (
            line
            for line in lines
            if line.strip().startswith(("differential", "handicap index")) and word in line
        )
        assert "simulated, unofficial" in line


def test_every_named_number_is_there(told: dict[str, Any]) -> None:
    assert told["rounds"] == 400
    names = ("mean", "sd", "fairways", "greens", "putts", "three_putts", "penalties", "differential", "index")
    assert all(isinstance(told[name], float) for name in names)
    for name in names:
        estimate = told["estimates"][name]
        assert estimate["low"] <= estimate["high"]
        assert estimate["value"] == told[name]
        assert unknown_bases(estimate["basis"]) == []
    assert sorted(told["quantiles"]) == ["0.05", "0.25", "0.5", "0.75", "0.95"]
    assert list(told["quantiles"].values()) == sorted(told["quantiles"].values())


def test_strokes_beside_the_reference_golfer_add_up(told: dict[str, Any]) -> None:
    against = told["against_reference"]
    groups = told["against_reference_by_group"]
    assert set(against) == {*FAMILIES, "total"}
    for family in FAMILIES:
        of_family = sum(groups[group] for group, of in zip(GROUPS, GROUP_FAMILY, strict=True) if of == family)
        assert of_family == pytest.approx(against[family], abs=1e-9)
    assert sum(against[family] for family in FAMILIES) == pytest.approx(against["total"], abs=1e-9)
    assert against["total"] == pytest.approx(told["reference_mean"] - told["mean"], abs=1e-6)


@pytest.mark.slow
def test_the_parts_share_the_same_strokes_out(
    few: list[str | Path], told: dict[str, Any], tmp_path: Path
) -> None:
    parts = results(tmp_path / "parts.json", *few, "--by-part")
    shared = parts["against_reference_by_part"]
    assert tuple(shared) == PART_IDS
    assert sum(shared.values()) == pytest.approx(told["against_reference"]["total"], abs=1e-9)
    assert "THE SAME STROKES BY PART" in parts["page"]
    assert told["against_reference_by_part"] is None


def test_logged_rounds_stand_beside_expected_ones(told: dict[str, Any]) -> None:
    logged = told["logged"]
    assert logged["rounds"] == 2
    assert logged["course"] == "Threlby, long tees"
    families = {each["family"]: each for each in logged["families"]}
    assert tuple(families) == COLUMNS
    assert families["tee"]["logged"] == 2.0
    assert families["putting"]["logged"] == 18.0
    assert all(each["inside"] == (each["causes"] is None) for each in families.values())
    assert "2 LOGGED ROUNDS" in told["page"]


@pytest.mark.slow
def test_the_answer_does_not_depend_on_threads(
    few: list[str | Path], told: dict[str, Any], tmp_path: Path
) -> None:
    again = results(tmp_path / "rounds.json", *few, "--threads", "1")
    assert without_page(again) == without_page(told)
    other = results(tmp_path / "rounds.json", *few, "--seed", "1")
    assert other["mean"] != told["mean"]


def without_page(told: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in told.items() if key != "page"}


def test_a_reference_golfer_needs_no_records(small_course: Path, tmp_path: Path) -> None:
    told = results(
        tmp_path / "rounds.json", "--reference-golfer", "tour", "--course", small_course, "--rounds", "200",
        "--tee", "short", "--units", "metres", "--reference", "20",
    )  # fmt: skip
    assert told["logged"] is None
    assert told["estimates"]["mean"]["low"] is None
    assert "?" not in told["page"]
    assert "pitches, 18-46 m" in told["page"]
    assert told["against_reference"]["total"] > 1.0


@pytest.mark.parametrize(
    "wrong",
    [
        [],
        ["card.csv", "--reference-golfer", "5"],
        ["card.csv", "--women"],
        ["--women"],
        ["--reference-golfer", "5", "--handicap", "3"],
        ["--reference-golfer", "5", "--women", "--profile", "player.toml"],
        ["--reference-golfer", "best"],
        ["--reference-golfer", "5", "--rounds", "0"],
    ],
)
def test_what_cannot_be_meant_is_a_usage_error(wrong: list[str], small_course: Path) -> None:
    result = rounds(*wrong, "--course", small_course)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_faults_of_all_files_are_told_together(tmp_path: Path) -> None:
    names = [tmp_path / "none.csv", tmp_path / "none.toml", tmp_path / "nobody.toml"]
    result = rounds(names[0], "--course", names[1], "--profile", names[2])
    assert result.exit_code == 2
    assert all(name.name in result.stderr for name in names)


@pytest.mark.parametrize("wrong", [["--tee", "moon"], ["--pin", "moon"]])
def test_names_that_the_course_lacks_are_told(small_course: Path, wrong: list[str]) -> None:
    result = rounds("--reference-golfer", "5", "--course", small_course, *wrong)
    assert result.exit_code == 2
    assert "expected one of" in result.stderr


def test_the_official_rating_is_used_where_there_is_one(told: dict[str, Any]) -> None:
    assert told["rating"] == {"golfers": "men", "course_rating": 28.4, "slope": 108, "estimated": False}
    assert told["estimates"]["rating"] is None
    assert "For men these tees are rated 28.4/108." in told["page"]
    assert told["differential"] == pytest.approx(2 * (told["mean"] - 28.4) * 113 / 108, abs=0.05)
    assert "assumption.estimated_rating" not in told["estimates"]["index"]["basis"]


def reference_golfer(course: Path, folder: Path, *more: str) -> dict[str, Any]:
    return results(folder / "rounds.json", "--course", course, "--rounds", "200", "--reference-golfer", *more)


@pytest.mark.parametrize("tee", ["short", pytest.param("long", marks=pytest.mark.slow)])
def test_women_and_tees_without_their_rating_get_an_estimated_one(
    tee: str, small_course: Path, tmp_path: Path
) -> None:
    told = reference_golfer(small_course, tmp_path, "26", "--tee", tee, "--women")
    rating, estimates = told["rating"], told["estimates"]["rating"]
    assert rating["golfers"] == "women"
    assert rating["estimated"]
    assert "rating" in told["unofficial"]
    assert f"{rating['course_rating']:.1f}/{rating['slope']} (estimated here, unofficial)" in unwrapped(told)
    for name in ("course_rating", "bogey_rating", "slope"):
        assert estimates[name]["low"] <= estimates[name]["value"] <= estimates[name]["high"]
        assert unknown_bases(estimates[name]["basis"]) == []
    assert rating["course_rating"] == round(estimates["course_rating"]["value"], 1)
    assert told["index"] == pytest.approx(26.0, abs=1.5)
    assert "assumption.estimated_rating" in told["estimates"]["index"]["basis"]
    assert "A woman of handicap 26.0 scores" in unwrapped(told)
    assert "STROKES BESIDE A GOLFER OF THE WOMEN'S TOUR" in told["page"]


def unwrapped(told: Mapping[str, Any]) -> str:
    return " ".join(told["page"].split())


@pytest.mark.slow
def test_an_estimate_stays_with_the_tees_whatever_is_played(small_course: Path, tmp_path: Path) -> None:
    usual = reference_golfer(small_course, tmp_path, "0", "--tee", "short")
    other = reference_golfer(
        small_course, tmp_path, "20", "--tee", "short", "--seed", "7", "--pin", "back", "--threads", "1"
    )
    assert usual["estimates"]["rating"] == other["estimates"]["rating"]


@pytest.mark.slow
def test_a_player_of_the_womens_tables_gets_an_estimate_too(few: list[str | Path], tmp_path: Path) -> None:
    profile = tmp_path / "player.toml"
    profile.write_text('name = "Una"\nreference = "women"\n', encoding="utf-8")
    told = results(tmp_path / "rounds.json", *few, "--profile", profile)
    assert told["rating"]["golfers"] == "women"
    assert told["rating"]["estimated"]
    assert told["index"] is not None
    assert "STROKES BESIDE A WOMAN OF HANDICAP" in told["page"]


def test_too_few_rounds_for_an_index_are_told(small_course: Path, tmp_path: Path) -> None:
    told = results(
        tmp_path / "rounds.json", "--reference-golfer", "9", "--course", small_course, "--tee", "long",
        "--rounds", "20",
    )  # fmt: skip
    assert told["index"] is None
    assert told["differential"] is not None
    assert "it takes 20 rounds of eighteen holes" in unwrapped(told)


def test_an_index_better_than_scratch_is_written_with_a_plus(small_course: Path, tmp_path: Path) -> None:
    told = results(
        tmp_path / "rounds.json", "--reference-golfer", "tour", "--course", small_course, "--rounds", "200",
        "--tee", "long",
    )  # fmt: skip
    assert told["index"] < -0.05
    (line,) = (line for line in told["page"].splitlines() if "handicap index" in line)
    assert line.split()[-1] == f"+{-told['index']:.1f}"
