"""Courses written as TOML and as GeoJSON: read back, they are the same course."""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from plain_maps import plain_nine, write
from same_ground import cells_apart, cells_differing

from rangework.course import Course, Hole, geojson_text, read_course, toml_text
from rangework.course.geojson_writing import placed_holes

EXAMPLES = Path(__file__).parents[2] / "examples"
OPEN_MAP = EXAMPLES / "open-map.geojson"
#: Cells at the very edge of an outline may change as it is rounded.
FEW = 0.001

Writer = Callable[[Course], str]
WRITERS: list[tuple[str, Writer]] = [("toml", toml_text), ("geojson", geojson_text)]


@pytest.fixture(scope="module")
def mapped() -> Course:
    return read_course(f"{OPEN_MAP}#Ossenfold Outer")


def length_m(hole: Hole) -> float:
    return float(np.hypot(*np.diff(hole.line, axis=0).T).sum())


def again(course: Course, folder: Path, suffix: str, writer: Writer) -> Course:
    path = folder / f"again.{suffix}"
    path.write_text(writer(course), "utf-8")
    return read_course(path)


@pytest.mark.parametrize(("suffix", "writer"), WRITERS)
def test_demo_course_keeps_its_ground(
    demo_course: Course, tmp_path: Path, suffix: str, writer: Writer
) -> None:
    back = again(demo_course, tmp_path, suffix, writer)
    for hole, other in zip(demo_course.holes, back.holes, strict=True):
        for tee in hole.tees:
            apart, _ = cells_apart(hole, other, tee, "tucked")
            assert apart == 0
            assert cells_differing(hole, other, tee, "tucked") < FEW


@pytest.mark.parametrize(("suffix", "writer"), WRITERS)
def test_mapped_course_keeps_its_ground(mapped: Course, tmp_path: Path, suffix: str, writer: Writer) -> None:
    back = again(mapped, tmp_path, suffix, writer)
    for hole, other in zip(mapped.holes, back.holes, strict=True):
        pin = list(hole.pins)[-1]
        apart, _ = cells_apart(hole, other, "yellow", pin)
        # the half of a double green is found anew, from its middle, which turns the hole by a thousandth
        assert apart <= 2
        assert cells_differing(hole, other, "yellow", pin) < FEW


@pytest.mark.parametrize(("suffix", "writer"), WRITERS)
def test_everything_else_is_kept(
    demo_course: Course, mapped: Course, tmp_path: Path, suffix: str, writer: Writer
) -> None:
    for course in (demo_course, mapped):
        back = again(course, tmp_path, suffix, writer)
        assert (back.name, back.tees, back.attribution) == (course.name, course.tees, course.attribution)
        assert set(course.assumptions) <= set(back.assumptions)
        for hole, other in zip(course.holes, back.holes, strict=True):
            assert (hole.par, hole.stroke_index) == (other.par, other.stroke_index)
            assert list(hole.pins) == list(other.pins)
            for name, place in {**hole.pins, **hole.tees}.items():
                assert {**other.pins, **other.tees}[name] == pytest.approx(place, abs=0.2)
            assert other.line[[0, -1]] == pytest.approx(hole.line[[0, -1]], abs=0.2)
            assert length_m(other) == pytest.approx(length_m(hole), abs=0.5)


@pytest.mark.parametrize(("suffix", "writer"), WRITERS)
def test_a_second_time_nothing_changes(mapped: Course, tmp_path: Path, suffix: str, writer: Writer) -> None:
    once = again(mapped, tmp_path, suffix, writer)
    twice = again(once, tmp_path, suffix, writer)
    assert twice.assumptions == once.assumptions
    for hole, other in zip(once.holes, twice.holes, strict=True):
        assert cells_differing(hole, other, "red", next(iter(hole.pins))) < FEW


def test_a_rating_that_is_added_is_no_longer_missed(mapped: Course, tmp_path: Path) -> None:
    path = tmp_path / "rated.toml"
    text = toml_text(mapped)
    assert "slope" not in text
    path.write_text(
        text.replace("[tees.white]", "[tees.white]\nmen = { rating = 71.2, slope = 128 }"), "utf-8"
    )
    missed = [each for each in read_course(path).assumptions if "rating" in each]
    assert missed == [
        f"no course and slope rating for the {tee} tee, as none is given" for tee in ("yellow", "red")
    ]


def test_holes_of_a_map_stay_where_they_are_on_earth(mapped: Course, tmp_path: Path) -> None:
    for suffix, writer in WRITERS:
        for hole, other in zip(mapped.holes, again(mapped, tmp_path, suffix, writer).holes, strict=True):
            assert hole.placement is not None
            assert other.placement is not None
            far = np.array([[0.0, 0.0], [50.0, 400.0]])
            there = hole.placement.from_earth(other.placement.to_earth(far))
            assert there == pytest.approx(far, abs=0.5)


def test_geojson_keeps_to_the_standard(demo_course: Course) -> None:
    # RFC 7946: positions within range, closed rings, exteriors counter-clockwise, holes clockwise (3.1.6)
    data = json.loads(geojson_text(demo_course))
    assert data["type"] == "FeatureCollection"
    kinds = {feature["geometry"]["type"] for feature in data["features"]}
    assert kinds == {"LineString", "Point", "Polygon"}
    for feature in data["features"]:
        if feature["geometry"]["type"] == "Polygon":
            for index, ring in enumerate(feature["geometry"]["coordinates"]):
                points = np.array(ring)
                assert ring[0] == ring[-1]
                assert len(ring) >= 4
                x, y = (points - points[0]).T
                wound = float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum())
                assert (wound > 0) == (index == 0)


def test_holes_without_a_place_are_laid_clear_of_one_another(demo_course: Course) -> None:
    placed = placed_holes(demo_course.holes)
    middles = np.array([hole.placement.to_earth(hole.line.mean(axis=0)) for hole in placed if hole.placement])
    apart = np.hypot(*(middles[:, None] - middles[None, :]).T * 111_000 * math.cos(math.radians(45)))
    assert apart[~np.eye(18, dtype=bool)].min() > 300


def test_names_that_need_quotes(tmp_path: Path) -> None:
    sheet = plain_nine()
    odd = 'back "tips" \\ é'
    for index, drawn in enumerate(sheet.features):
        if drawn.tags.get("tee") == "white":
            sheet.features[index] = type(drawn)({"golf": "tee", "tee": odd}, drawn.kind, drawn.rings)
    course = read_course(write(sheet, tmp_path))
    text = toml_text(course)
    assert odd in tomllib.loads(text)["tees"]
    assert [tee.name for tee in again(course, tmp_path, "toml", toml_text).tees] == [odd, "red"]


def test_toml_is_for_people(demo_course: Course) -> None:
    lines = toml_text(demo_course).splitlines()
    assert max(map(len, lines)) <= 140
    assert len("\n".join(lines)) < 200_000
