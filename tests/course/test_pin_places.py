"""Pins by name, by place on the green, by paces and by coordinates: on the green, or refused with a remedy."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from rangework.course import Course, Hole, read_course
from rangework.course.choices import chosen_pins, usual_pin_holes
from rangework.course.drawn_green import green_of
from rangework.course.hole_view import on_and_across_m
from rangework.course.local_plane import Placement
from rangework.course.pin_places import is_in_hole_frame, pin_place, with_unit
from rangework.course.pin_words import PIN_WORDS, pin_by_word
from rangework.errors import InputError
from rangework.units import YARD_M

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def mapped() -> Course:
    return read_course(f"{EXAMPLES / 'open-map.geojson'}#Ossenfold Outer")


@pytest.mark.parametrize("word", PIN_WORDS)
def test_a_place_on_any_green(demo_course: Course, word: str) -> None:
    hole = replace(demo_course.holes[1], pins={"own": (0.0, 0.0)})
    assert pin_place(hole, word.upper()) == pin_by_word(green_of(hole), word)


def test_a_name_of_the_hole_rules_over_a_place(demo_course: Course) -> None:
    hole = replace(demo_course.holes[1], pins={"middle": (1.0, 2.0)})
    assert pin_place(hole, "middle") == (1.0, 2.0)


@pytest.mark.parametrize(
    ("said", "on_yd", "in_yd", "side"),
    [
        ("12 on, 6 right", 12.0, 6.0, "right"),
        ("12 on 6 from the left", 12.0, 6.0, "left"),
        ("10 m on, 2.5 m left", 10.0 / YARD_M, 2.5 / YARD_M, "left"),
        ("8 paces on and 9 paces right", 8.0, 9.0, "right"),
        ("36 ft on, 18 ft right", 12.0, 6.0, "right"),
    ],
)
def test_paces_on_and_from_a_side(
    demo_course: Course, said: str, on_yd: float, in_yd: float, side: str
) -> None:
    for hole in demo_course.holes[:4]:
        on_m, in_m, nearer = on_and_across_m(green_of(hole), pin_place(hole, said))
        assert (on_m / YARD_M, in_m / YARD_M, nearer) == (
            pytest.approx(on_yd, abs=0.05), pytest.approx(in_yd, abs=0.05), side,
        )  # fmt: skip


def test_paces_on_alone_lie_halfway_across(demo_course: Course) -> None:
    hole = demo_course.holes[0]  # an oval, 32 yd wide and 28 yd deep
    assert math.dist(pin_place(hole, "14 on"), green_of(hole).middle) < 0.1


def test_paces_agree_with_those_of_a_course_file(tmp_path: Path) -> None:
    path = tmp_path / "course.toml"
    hole = "[[holes]]\npar = 4\nlength_yd = 380\npins = { sunday = { front_paces = 9, right_paces = 7 } }\n"
    path.write_text('name = "Nine"\n' + hole * 9, encoding="utf-8")
    first = read_course(path).holes[0]
    assert pin_place(first, "9 on, 7 right") == pytest.approx(first.pins["sunday"], abs=1e-6)


def test_latitude_and_longitude_of_a_mapped_hole(mapped: Course) -> None:
    for hole in mapped.holes:
        assert hole.placement is not None
        x, y = green_of(hole).middle
        longitude, latitude = hole.placement.to_earth((x, y)).tolist()
        said = f"{latitude:.7f}, {longitude:.7f}"
        assert pin_place(hole, with_unit(said, mapped, "yards")) == pytest.approx((x, y), abs=0.05)
        assert said == with_unit(said, mapped, "metres")


def test_lengths_from_the_tee(demo_course: Course) -> None:
    hole = demo_course.holes[0]
    x, y = (length / YARD_M for length in green_of(hole).middle)
    said = with_unit(f"{x:.2f},{y:.2f}", demo_course, "yards")
    assert said == f"{x:.2f} yd, {y:.2f} yd"
    assert is_in_hole_frame(said)
    assert pin_place(hole, said) == pytest.approx(green_of(hole).middle, abs=0.02)
    assert pin_place(hole, f"{x * YARD_M:.2f} m, {y * YARD_M:.2f} m") == pytest.approx(
        green_of(hole).middle, abs=0.02
    )


def swapped(hole: Hole) -> str:
    assert hole.placement is not None
    longitude, latitude = hole.placement.to_earth(green_of(hole).middle).tolist()
    return f"{longitude:.7f}, {latitude:.7f}"


def test_what_is_off_the_green_or_unknown_is_refused(demo_course: Course, mapped: Course) -> None:
    wrong = [
        (demo_course, "80 on, 3 right", "a place on the green of hole 1, 32 yd wide and 28 yd deep"),
        (demo_course, "2 on, 40 right", "off it; its middle is at"),
        (demo_course, "0,0", "a place on the green of hole 1"),
        (demo_course, "tuckd", "Did you mean tucked?"),
        (demo_course, "12 on, 4 up", "paces such as '12 on, 4 right'"),
        (mapped, swapped(mapped.holes[0]), "latitude first, then longitude"),
        (mapped, "0, 0", "a place on the green"),
    ]
    for course, said, message in wrong:
        with pytest.raises(InputError) as refused:
            pin_place(course.holes[0], with_unit(said, course, "yards"))
        assert message in str(refused.value), said
        assert len(refused.value.problems) == 1


def test_degrees_mean_nothing_where_the_file_names_no_place(demo_course: Course) -> None:
    with pytest.raises(InputError, match="does not say where on Earth"):
        pin_place(demo_course.holes[0], "51.5, -0.12")
    there = replace(demo_course.holes[0], placement=Placement(-0.12, 51.5, 0.0))
    with pytest.raises(InputError, match="a place on the green"):
        pin_place(there, "51.5, -0.12")


def test_a_pin_for_the_whole_course_and_where_it_is_not_to_be_had(demo_course: Course) -> None:
    usual = chosen_pins(demo_course, None)
    assert usual_pin_holes(demo_course, None) == ()
    assert set(chosen_pins(demo_course, "back-left")) == {"back-left"}
    assert usual_pin_holes(demo_course, "back-left") == ()
    deep = "28 on"
    depths_yd = [green_of(hole).depth_m / YARD_M for hole in demo_course.holes]
    short = tuple(
        hole.number for hole, deep_yd in zip(demo_course.holes, depths_yd, strict=True) if deep_yd < 27.9
    )
    assert short
    assert usual_pin_holes(demo_course, deep) == short
    for hole, pin, own in zip(demo_course.holes, chosen_pins(demo_course, deep), usual, strict=True):
        assert pin == (own if hole.number in short else deep)


@pytest.mark.parametrize("said", ["moon", "90 on", "3 yd, 371 yd", "3 m, 371 m"])
def test_a_pin_that_no_green_has_is_refused(demo_course: Course, said: str) -> None:
    with pytest.raises(InputError):
        chosen_pins(demo_course, said)


def test_every_pin_said_lies_on_the_green(demo_course: Course) -> None:
    rng = np.random.default_rng(3)
    hole, told = demo_course.holes[2], 0
    for on, across in rng.uniform(0.0, 40.0, (200, 2)):
        try:
            place = pin_place(hole, f"{on:.1f} on, {across:.1f} left")
        except InputError:
            continue
        told += 1
        assert green_of(hole).polygon.distance(shapely.Point(place)) < 0.06
    assert 50 < told < 150
