"""Holes on a page: no text on another, nothing cut off, the figures those of the hole."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from measured_texts import outside, overlapping, shown_texts

from rangework.course import Course, read_course
from rangework.course.hole_view import trouble, view_from_tee
from rangework.lie import Ground
from rangework.report.hole_page import hole_page
from rangework.report.style import picture
from rangework.units import Units

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def mapped() -> Course:
    return read_course(f"{EXAMPLES / 'open-map.osm'}#Ossenfold Outer")


def pages(course: Course, numbers: range) -> list[Figure]:
    tee = course.tees[0].name
    return [hole_page(course, course.holes[number], tee, "yards") for number in numbers]


def words(figure: Figure) -> str:
    return "\n".join(text.get_text() for text in shown_texts(figure))


def assert_plain(course: Course, units: Units, step: int = 1) -> None:
    for hole in course.holes[::step]:
        page = hole_page(course, hole, course.tees[0].name, units)
        assert not overlapping(page), hole.number
        assert not outside(page), hole.number


def test_no_text_covers_another(demo_course: Course, mapped: Course) -> None:
    assert_plain(demo_course, "yards", 7)
    assert_plain(mapped, "metres", 8)


@pytest.mark.slow
def test_no_text_covers_another_on_any_hole(demo_course: Course, mapped: Course) -> None:
    assert_plain(demo_course, "metres")
    assert_plain(mapped, "yards")


def test_a_planted_overlap_is_seen(demo_course: Course) -> None:
    (page,) = pages(demo_course, range(1))
    first = shown_texts(page)[0]
    page.text(*first.get_position(), "planted", va="top", transform=first.get_transform())
    assert overlapping(page)
    page.text(0.99, 0.5, "cut off at the edge")
    assert outside(page) == ["cut off at the edge"]


def test_the_page_says_what_a_player_asks(demo_course: Course) -> None:
    page = words(hole_page(demo_course, demo_course.holes[0], "middle", "yards"))
    for said in (
        "Hole 1",
        "par 4, stroke index 9",
        "388 yd from the middle tee",
        "Querrowmoss",
        "tucked",
        "A sand right",
    ):
        assert said in page
    assert {"50", "100", "150", "200"} <= set(page.split("\n"))


def test_whose_map_data_it_is_stands_in_the_picture(mapped: Course, demo_course: Course) -> None:
    assert "Map data: Invented map" in words(pages(mapped, range(1))[0])
    assert "Map data" not in words(pages(demo_course, range(1))[0])


def test_lengths_of_trouble_are_those_of_the_file(demo_course: Course) -> None:
    """Hole 1: a bunker 262 yd up the line, 16 yd long, right of a fairway that bends 15 degrees at 250."""
    hole = demo_course.holes[0]
    (bunker,) = trouble(hole, "back", view_from_tee(hole, "back"))
    assert (bunker.ground, bunker.side) == (Ground.SAND, "right")
    beside = 36 / 2 + 10 / 2  # half the fairway and half the bunker
    bend = math.radians(15.0)
    middle = math.hypot(
        250.0 + 12.0 * math.cos(bend) - beside * math.sin(bend),
        12.0 * math.sin(bend) + beside * math.cos(bend),
    )
    assert (bunker.reach_m + bunker.past_m) / 2 / 0.9144 == pytest.approx(middle, abs=1.0)
    assert (bunker.past_m - bunker.reach_m) / 0.9144 == pytest.approx(16.0, abs=2.0)


def test_equal_holes_give_equal_files(demo_course: Course) -> None:
    once, again = (picture(page, "svg") for page in pages(demo_course, range(1)) * 2)
    assert once == again
    assert once.startswith(b"<?xml")
    drawn = picture(pages(demo_course, range(1))[0], "png")
    assert drawn[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high = np.frombuffer(drawn[16:24], dtype=">u4").tolist()
    assert (wide, high) == (1012, 1892)
