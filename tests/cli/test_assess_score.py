"""`rangework assess fill`, `score` and `progress` from the command line."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework

sys.path.append(str(Path(__file__).parents[1] / "assessment"))

from filled_cards import blank_card, hit_card


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's files and two cards of the same test."""
    at = tmp_path_factory.mktemp("cards")
    assert CliRunner().invoke(rangework, ["demo", str(at / "demo")]).exit_code == 0
    hit_card(at, "june.csv", date(2026, 6, 1), 3)
    hit_card(at, "july.csv", date(2026, 7, 1), 4)
    return at


def run(folder: Path, *words: str) -> Result:
    course = str(folder / "demo" / "course.toml")
    return CliRunner().invoke(rangework, ["assess", *words, "--handicap", "14", "--course", course])


@pytest.fixture(scope="module")
def scored(folder: Path) -> tuple[str, dict[str, object]]:
    results = folder / "score.json"
    done = run(folder, "score", str(folder / "june.csv"), "--each-ball", "--json", str(results))
    assert done.exit_code == 0, done.output
    return done.output, json.loads(results.read_text("utf-8"))


def test_the_page_answers_first_and_fits(scored: tuple[str, dict[str, object]]) -> None:
    page, _ = scored
    assert page.splitlines()[1].startswith("Most probably weakest: ")
    assert max(map(len, page.splitlines())) <= 80
    assert "STROKES GAINED on a golfer of handicap 14.0" in page


def test_the_numbers_hang_together(scored: tuple[str, dict[str, object]]) -> None:
    _, results = scored
    cells, balls = results["cells"], results["each_ball"]
    assert isinstance(cells, list)
    assert isinstance(balls, list)
    assert results["balls"] == 24
    assert sum(cell["balls"] for cell in cells) == 24
    assert sum(cell["chance_weakest"] for cell in cells) == pytest.approx(1.0)
    assert sum(ball["gained"] for ball in balls) == pytest.approx(results["gained"])
    usual = [cell["usual_a_ball"]["value"] for cell in cells]
    assert usual == sorted(usual)
    assert max(usual) - min(usual) < max(c["gained_a_ball"] for c in cells) - min(
        c["gained_a_ball"] for c in cells
    )


def test_what_was_believed_before_stands_beside_what_the_card_says(
    scored: tuple[str, dict[str, object]],
) -> None:
    page, results = scored
    told = " ".join(page.split())
    assert results["known_before_from"] == "handicap"
    cells = results["cells"]
    assert isinstance(cells, list)
    weakest = max(cells, key=lambda cell: float(cell["chance_weakest"]))
    before, now = (round(100 * weakest[name]) for name in ("chance_weakest_before", "chance_weakest"))
    assert f"The handicap alone said {before} %, and this card" in told
    assert f"to {now} %" in told or before == now
    assert sum(cell["chance_weakest_before"] for cell in cells) == pytest.approx(1.0)
    for cell in cells:
        assert 0.0 <= cell["share_from_card"] < 1.0
        assert cell["usual_a_ball_before"]["low"] < cell["usual_a_ball_before"]["high"]
    # without records even 24 balls narrow what is known of a cell
    assert max(cell["share_from_card"] for cell in cells) > 0.1


def test_a_picture_is_a_png_or_an_svg(folder: Path) -> None:
    files = [str(folder / name) for name in ("july.csv", "june.csv")]
    done = run(folder, "progress", *files, "--picture", str(folder / "over-time.pdf"))
    assert done.exit_code == 2
    assert "over-time.pdf must end in .png or .svg" in done.output


def test_progress_names_cautions_and_series(folder: Path) -> None:
    results = folder / "progress.json"
    files = [str(folder / name) for name in ("july.csv", "june.csv")]
    picture = folder / "over-time.svg"
    done = run(folder, "progress", *files, "--json", str(results), "--picture", str(picture))
    assert done.exit_code == 0, done.output
    assert "<svg" in picture.read_text("utf-8")
    assert max(map(len, done.output.splitlines())) <= 80
    assert "better at the card itself" in done.output
    told = json.loads(results.read_text("utf-8"))
    assert [each["date"] for each in told["assessments"]] == ["2026-06-01", "2026-07-01"]
    every = told["changes"][0]
    assert every["part"] == "all balls"
    assert 0.5 <= every["chance_real"] <= 1.0
    assert [stage["balls"] for stage in every["series"]] == [24, 24]


def test_faults_of_all_files_are_told_together(folder: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.csv"
    text = (folder / "june.csv").read_text("utf-8").splitlines()
    cells = text[1].split(",")
    cells[text[0].split(",").index("long_yd")] = "far"
    bad.write_text("\n".join([text[0], ",".join(cells), *text[2:]]), encoding="utf-8")
    done = run(folder, "progress", str(bad), str(folder / "july.csv"), str(tmp_path / "none.csv"))
    assert done.exit_code == 2
    assert "row 2, column long_yd is 'far'" in done.output
    assert "none.csv" in done.output
    again = run(folder, "score", str(bad), "--leave-out-faulty")
    assert again.exit_code == 0, again.output
    assert "left out" in again.output


@pytest.mark.parametrize(
    ("column", "text", "told"),
    [("hole", "19", "a hole of Querrowmoss"), ("pin", "nowhere", "a pin of hole"), ("tee", "red", "one of")],
)
def test_greens_that_the_course_lacks(
    folder: Path, tmp_path: Path, column: str, text: str, told: str
) -> None:
    rows = [line.split(",") for line in (folder / "june.csv").read_text("utf-8").splitlines()]
    rows[3][rows[0].index(column)] = text
    bad = tmp_path / "bad.csv"
    bad.write_text("\n".join(map(",".join, rows)), encoding="utf-8")
    done = run(folder, "score", str(bad))
    assert done.exit_code == 2
    assert told in done.output


def test_no_card_at_all_and_too_few(folder: Path) -> None:
    done = run(folder, "score", str(folder / "demo" / "putts.csv"))
    assert done.exit_code == 2
    assert "a filled card" in done.output
    assert run(folder, "progress", str(folder / "june.csv")).exit_code == 2


def test_fill_leaves_the_card_as_it_is(folder: Path, tmp_path: Path) -> None:
    card = blank_card(tmp_path)
    before = card.read_bytes()
    words = ["assess", "fill", str(card), "--to", str(tmp_path / "a.csv"), "--on", "2026-06-01"]
    assert CliRunner().invoke(rangework, words).exit_code == 0
    assert card.read_bytes() == before
    wrong = CliRunner().invoke(rangework, [*words, "--steps", "putting=2"])
    assert wrong.exit_code == 2
    assert "PART=STEPS" in wrong.output
    onto_itself = [*words[:3], "--to", str(card), *words[5:]]
    refused = CliRunner().invoke(rangework, onto_itself)
    assert refused.exit_code == 2
    assert "another file than CARD" in refused.output
    assert card.read_bytes() == before
    records = tmp_path / "shots.csv"
    records.write_text("date,session\n", encoding="utf-8")
    refused = CliRunner().invoke(rangework, [*words[:3], "--to", str(records), *words[5:]])
    assert refused.exit_code == 2
    assert records.read_text("utf-8") == "date,session\n"


def test_a_day_that_is_none_is_told_in_our_words(tmp_path: Path) -> None:
    words = [
        "assess",
        "fill",
        str(blank_card(tmp_path)),
        "--to",
        str(tmp_path / "a.csv"),
        "--on",
        "2026-02-30",
    ]
    done = CliRunner().invoke(rangework, words)
    assert done.exit_code == 2
    assert "not a date such as 2026-09-28" in done.output
    assert not (tmp_path / "a.csv").exists()


def test_no_change_within_a_day(folder: Path) -> None:
    """The same card twice is no change: it is told, and no strength fades."""
    done = run(folder, "progress", str(folder / "june.csv"), str(folder / "june.csv"))
    assert done.exit_code == 2
    assert "tests of two days or more; all are of 2026-06-01" in done.output


def test_a_missing_file_is_named(folder: Path) -> None:
    done = run(folder, "progress", str(folder / "june.csv"), "none.csv")
    assert done.exit_code == 2
    assert "none.csv: expected a file, and there is none of this name" in done.output


@pytest.mark.slow
def test_a_card_is_one_more_file_of_records(folder: Path) -> None:
    """The fit counts the card's balls, and scoring with records that hold the card does not count them twice."""
    files = [str(folder / "june.csv"), str(folder / "demo" / "shots.csv")]
    counts = []
    for given in (files[1:], files):
        results = folder / "skill.json"
        done = CliRunner().invoke(rangework, ["skill", *given, "--json", str(results)])
        assert done.exit_code == 0, done.output
        counts.append(json.loads(results.read_text("utf-8"))["held"]["aimed"])
    assert counts[1] == counts[0] + 24
