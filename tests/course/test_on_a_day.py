"""Courses that say which way their holes run and how they climb."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from rangework.conditions import conditions_from
from rangework.course import Course, ground_grid, on_a_day, read_course, toml_text
from rangework.errors import InputError
from rangework.units import FOOT_M


def test_bearing_and_climb_are_read_and_written(demo_course: Course, tmp_path: Path) -> None:
    first = replace(demo_course.holes[0], stated_bearing_rad=math.radians(200.0), climb_m=12.0)
    file = tmp_path / "course.toml"
    file.write_text(toml_text(replace(demo_course, holes=(first, *demo_course.holes[1:]))), "utf-8")
    hole = read_course(file).holes[0]
    assert hole.bearing_rad == pytest.approx(math.radians(200.0))
    assert hole.climb_m == pytest.approx(12.0)
    grid = ground_grid(hole, next(iter(hole.tees)), next(iter(hole.pins)))
    assert grid.bearing_rad == pytest.approx(math.radians(200.0) + grid.turn_rad)
    assert grid.climb_m == hole.climb_m


def test_faults_of_a_course_on_a_day(demo_course: Course) -> None:
    windy = replace(conditions_from(None, wind="10 mph from W"), wind_by_hole={})
    with pytest.raises(InputError, match="bearing_deg"):
        on_a_day(
            replace(demo_course, holes=tuple(replace(h, placement=None) for h in demo_course.holes)), windy
        )
    clock = conditions_from(None, wind="10 mph from 3 o'clock")
    assert on_a_day(demo_course, clock).conditions == clock
    nine = replace(demo_course, holes=demo_course.holes[:9])
    assert clock.wind is not None
    elsewhere = replace(clock, wind_by_hole={14: clock.wind})
    with pytest.raises(InputError, match="a hole of"):
        on_a_day(nine, elsewhere)


def test_climb_in_feet(tmp_path: Path, demo_course: Course) -> None:
    text = toml_text(demo_course).replace("stroke_index", "climb_ft = -30\nstroke_index", 1)
    (tmp_path / "down.toml").write_text(text, "utf-8")
    assert read_course(tmp_path / "down.toml").holes[0].climb_m == pytest.approx(-30.0 * FOOT_M)
