"""Heights on maps: they become climbs, what is missing is assumed level and told, what is no height is told once."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from map_sheet import MapSheet
from plain_maps import FORMS, Form, first_hole_x, leave_out, on_first_hole, plain_nine, retag, write

from rangework.course import Course, geojson_text, read_course, toml_text
from rangework.course.maps.written_heights import height_m

FOUND = "an even climb from tee to green, by their heights on the map"


def with_line_heights(*heights: object) -> MapSheet:
    """The plain map with heights along the line of play of the first hole."""
    sheet = plain_nine()
    chosen = on_first_hole("hole")
    sheet.features = [replace(drawn, heights=heights) if chosen(drawn) else drawn for drawn in sheet.features]
    return sheet


def climb(course: Course) -> float:
    return course.holes[0].climb_m


@pytest.mark.parametrize("form", FORMS)
def test_line_of_play_that_climbs(form: Form, tmp_path: Path) -> None:
    course = read_course(write(with_line_heights(112, 103), tmp_path, form))
    assert climb(course) == pytest.approx(-9.0)
    assert [hole.climb_m for hole in course.holes[1:]] == [0.0] * 8
    assert f"{FOUND} (hole 1)" in course.assumptions
    assert "level, as the map gives no height (ele) of its tee and green (holes 2-9)" in course.assumptions
    assert course.warnings == ()


@pytest.mark.parametrize("form", FORMS)
def test_tees_and_greens_come_before_the_line(form: Form, tmp_path: Path) -> None:
    sheet = with_line_heights(0, 50)
    retag(sheet, on_first_hole("tee"), ele="10 m")
    retag(sheet, on_first_hole("green"), ele="52.5 ft")
    assert climb(read_course(write(sheet, tmp_path, form))) == pytest.approx(6.0, abs=0.05)


@pytest.mark.parametrize("form", FORMS)
def test_corners_of_a_green_and_a_pin(form: Form, tmp_path: Path) -> None:
    sheet = with_line_heights(100)
    retag(sheet, on_first_hole("pin"), ele="104")
    assert climb(read_course(write(sheet, tmp_path, form))) == pytest.approx(4.0)
    green = on_first_hole("green")
    sheet.features = [
        replace(drawn, heights=(106, 108)) if green(drawn) else drawn for drawn in sheet.features
    ]
    assert climb(read_course(write(sheet, tmp_path, form))) == pytest.approx(7.0, abs=0.35)


@pytest.mark.parametrize("form", FORMS)
def test_line_drawn_from_green_to_tee(form: Form, tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    x = first_hole_x()
    sheet.line({"golf": "hole", "ref": "1"}, [(x, 350), (x, 0)], [20, 8])
    assert climb(read_course(write(sheet, tmp_path, form))) == pytest.approx(12.0)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("height", [1e9, "1e9", "up there", "nan", -500, 9100, "12;13", True])
def test_what_is_no_height_is_told_once(form: Form, tmp_path: Path, height: object) -> None:
    sheet = with_line_heights(height, 12)
    retag(sheet, on_first_hole("pin"), ele="deep")
    course = read_course(write(sheet, tmp_path, form))
    assert climb(course) == 0.0
    (told,) = map(str, course.warnings)
    assert "expected a height of -450 to 9000 metres" in told
    assert told.endswith("It is left out, as are those of 1 more features.")


@pytest.mark.parametrize(
    ("third", "expected"), [("NaN", "NaN is no number"), ("1e999", ""), ("1" + "0" * 400, ""), ("null", "")]
)
def test_third_coordinates_that_mean_harm(tmp_path: Path, third: str, expected: str) -> None:
    path = write(with_line_heights(77.5, 80), tmp_path)
    path.write_text(path.read_text("utf-8").replace("77.5", third), "utf-8")
    if expected:
        with pytest.raises(Exception, match=expected):
            read_course(path)
        return
    course = read_course(path)
    assert climb(course) == 0.0
    assert len(course.warnings) == (third != "null")


@pytest.mark.parametrize("form", FORMS)
def test_climb_that_cannot_be(form: Form, tmp_path: Path) -> None:
    course = read_course(write(with_line_heights(0, 500), tmp_path, form))
    assert climb(course) == 0.0
    assert "is '500 m': expected a climb of at most 183 m" in str(course.warnings[0])


def test_zeros_are_no_heights(tmp_path: Path) -> None:
    """Programs that do not know heights write 0."""
    course = read_course(write(with_line_heights(0, 0), tmp_path))
    assert "level holes, as every height on the map is 0" in course.assumptions
    assert not any("gives no height" in text for text in course.assumptions)


def test_half_of_what_is_needed_is_told(tmp_path: Path) -> None:
    course = read_course(write(with_line_heights(31), tmp_path))
    assert climb(course) == 0.0
    assert "level, as the map gives no height (ele) of its green (hole 1)" in course.assumptions


@pytest.mark.parametrize("suffix", ["toml", "geojson"])
def test_climbs_are_written(tmp_path: Path, suffix: str) -> None:
    course = read_course(write(with_line_heights(10, 22.25), tmp_path))
    path = tmp_path / f"again.{suffix}"
    path.write_text(toml_text(course) if suffix == "toml" else geojson_text(course), "utf-8")
    again = read_course(path)
    assert [hole.climb_m for hole in again.holes] == pytest.approx([12.2, *[0.0] * 8])
    assert sorted(again.assumptions) == sorted(course.assumptions)


@pytest.mark.parametrize("text", ["400", "steep", "nan", "1e2"])
def test_stated_climb_that_is_none(tmp_path: Path, text: str) -> None:
    sheet = plain_nine()
    retag(sheet, on_first_hole("hole"), climb_m=text)
    course = read_course(write(sheet, tmp_path))
    assert climb(course) == 0.0
    assert "expected a climb from -183 to 183 m" in str(course.warnings[0])


def test_positions_stay_two_dimensional(tmp_path: Path) -> None:
    """Heights change nothing but the climb."""
    plain, high = (read_course(write(sheet, tmp_path)) for sheet in (plain_nine(), with_line_heights(5, 9)))
    for one, other in zip(plain.holes, high.holes, strict=True):
        assert (one.line == other.line).all()
    written = json.loads(geojson_text(high))
    assert all(
        len(feature["geometry"]["coordinates"]) == 2
        for feature in written["features"]
        if feature["geometry"]["type"] == "Point"
    )


@pytest.mark.parametrize(
    ("text", "metres"),
    [("12", 12.0), ("-3.5", -3.5), ("12,5", 12.5), ("394 ft", 120.09), ("394'", 120.09), ("7 m", 7.0)],
)
def test_heights_as_maps_write_them(text: str, metres: float) -> None:
    assert height_m(text) == pytest.approx(metres, abs=0.01)
