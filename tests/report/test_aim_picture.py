"""The picture of targets: its lines are the numbers of the results, its balls their chances, its texts apart."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from measured_texts import outside, overlapping, shown_texts

from rangework.advice import advise_aim
from rangework.aim import AimAdvice, parse_distance, parse_targets
from rangework.cli.aim_page import aim_results
from rangework.course import Course, read_course
from rangework.lie import Ground
from rangework.records import read_records
from rangework.records.profile import PlayerProfile
from rangework.report.aim_picture import aim_picture, sampled_finishes
from rangework.report.style import picture

EXAMPLES = Path(__file__).parents[2] / "examples"


def advised(course: Course, balls: Path, number: int, **wanted: object) -> AimAdvice:
    return advise_aim(
        read_records([balls]), course, number, with_field=True, draws=4, profile=PlayerProfile(handicap=12.0), **wanted
    )  # type: ignore[arg-type]  # fmt: skip


@pytest.fixture(scope="module")
def balls(tmp_path_factory: pytest.TempPathFactory) -> Path:
    rng = np.random.default_rng(1)
    rows = [
        f"2026-05-04,range,fairway,140,{rng.normal(-2, 9):.1f},{rng.normal(1, 10):.1f}" for _ in range(30)
    ]
    path = tmp_path_factory.mktemp("balls") / "range.csv"
    path.write_text("\n".join(["date,place,lie,target_yd,long_yd,right_yd", *rows]) + "\n", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def advice(demo_course: Course, balls: Path) -> AimAdvice:
    return advised(demo_course, balls, 4, pin="tucked", against=10.0)


@pytest.fixture(scope="module")
def drawn(advice: AimAdvice, demo_course: Course) -> Figure:
    return aim_picture(advice, demo_course, demo_course.holes[3], "yards")


def test_every_line_is_where_the_results_have_its_number(advice: AimAdvice, drawn: Figure) -> None:
    told = aim_results(advice, "yards")["target_values"]
    field = advice.field
    assert field is not None
    assert told["of"] == "expected_strokes"
    assert np.array_equal(told["values"], field.values)
    lines = [line for line in drawn.axes[0].get_lines() if str(line.get_gid()).startswith("isoline ")]
    levels = {float(str(line.get_gid()).removeprefix("isoline ")) for line in lines}
    assert 3 <= len(levels) <= 6
    for line in lines:
        level = float(str(line.get_gid()).removeprefix("isoline "))
        # on the sides of the raster's squares both read the same two corners
        ends = np.array(line.get_xydata())
        assert [field.at((x, y)) for x, y in ends.tolist()] == pytest.approx([level] * len(ends), abs=1e-6)


def test_every_level_is_written_once(drawn: Figure) -> None:
    gids = {str(line.get_gid()) for line in drawn.axes[0].get_lines()}
    levels = {gid.removeprefix("isoline ") for gid in gids if gid.startswith("isoline ")}
    written = [text.get_text() for text in shown_texts(drawn) if text.get_text() in levels]
    assert sorted(written) == sorted(levels)


def test_between_the_lines_the_choices_have_their_own_figures(advice: AimAdvice) -> None:
    field, told = advice.field, aim_results(advice, "yards")
    assert field is not None
    for choice, place in zip(told["choices"], told["target_values"]["choices_m"].tolist(), strict=True):
        assert field.at(tuple(place)) == pytest.approx(choice["expected_strokes"], abs=0.006)
    assert np.nanmin(field.values) > told["best"]["expected_strokes"] - 0.004


def test_the_balls_shown_are_those_of_the_chances(advice: AimAdvice) -> None:
    grid = advice.comparison.aiming.played.layout.grid
    for choice in advice.comparison.choices:
        places, lost = sampled_finishes(advice, choice, 300)
        ground = grid.ground_at(*places.T)
        for share, kind in ((choice.finish.green, Ground.GREEN), (choice.finish.bunker, Ground.SAND)):
            assert np.mean(ground == kind) == pytest.approx(share, abs=2 / 300)
        assert lost.mean() == pytest.approx(choice.finish.penalty, abs=2 / 300)


def test_no_text_covers_another(drawn: Figure) -> None:
    assert not overlapping(drawn)
    assert not outside(drawn)
    said = "\n".join(text.get_text() for text in shown_texts(drawn))
    for words in (
        "Hole 4",
        "pin tucked",
        "162 yd from the tee",
        "at the pin",
        "Never toward people",
        "break-even",
    ):
        assert words in said


@pytest.mark.slow
def test_lay_ups_and_scores_have_their_picture_too(demo_course: Course, balls: Path) -> None:
    targets = parse_targets(["longest", "lay up to 90", "lay up to 60"], "yards")
    place = parse_distance("fairway,240", "yards")
    far = advised(demo_course, balls, 3, pin="tucked", place=place, targets=targets, objective="5 or better")
    figure = aim_picture(far, demo_course, demo_course.holes[2], "metres")
    assert not overlapping(figure)
    assert not outside(figure)
    assert any(text.get_text() == "for 5 or better" for text in shown_texts(figure))
    field, told = far.field, aim_results(far, "yards")
    assert field is not None
    assert told["target_values"]["of"] == "reached"
    first = tuple(told["target_values"]["choices_m"][1].tolist())
    assert field.at(first) == pytest.approx(told["choices"][1]["reached"]["value"], abs=0.006)


def test_a_map_of_open_data_is_credited(balls: Path) -> None:
    course = read_course(f"{EXAMPLES / 'open-map.osm'}#Ossenfold Outer")
    (hole,) = (hole for hole in course.holes if hole.number == 8)
    told = advised(course, balls, 8, place=parse_distance("fairway,120", "yards"))
    figure = aim_picture(told, course, hole, "yards")
    assert not overlapping(figure)
    assert any("Map data: Invented map" in text.get_text() for text in shown_texts(figure))
    assert picture(figure, "svg") == picture(figure, "svg")
