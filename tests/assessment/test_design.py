"""A designed test: its pins, its zones, its card."""

from __future__ import annotations

import csv
import io
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from designed_tests import design

from rangework.assessment.ball_draw import DistanceWish
from rangework.assessment.card_writing import card_csv, reference_text
from rangework.assessment.design import AssessmentDesign
from rangework.assessment.success_zone import AROUND_M, success_zone
from rangework.course import Course
from rangework.errors import InputError
from rangework.lie import Ground
from rangework.records import check_records, read_records
from rangework.records.card_columns import CARD_COLUMNS
from rangework.units import YARD_M


def test_balls_are_numbered_in_the_order_of_play(designed: AssessmentDesign) -> None:
    assert [ball.number for ball in designed.balls] == list(range(1, 9))
    assert designed.alike == 0
    distances = [ball.drawn.distance_m for ball in designed.balls]
    assert all(first != second for first, second in pairwise(distances))


def test_pins_are_seen_from_the_ball(designed: AssessmentDesign) -> None:
    """Walking from the pin, the green ends where it is said to end."""
    for ball in designed.balls:
        grid = ball.values.pin.played.layout.grid
        for beyond, right, room in (
            (0.0, -1.0, ball.pin.from_left_m), (0.0, 1.0, ball.pin.from_right_m),
            (-1.0, 0.0, ball.pin.from_front_m), (1.0, 0.0, ball.pin.from_back_m),
        ):  # fmt: skip
            for step, green in ((-1.5, True), (1.5, False)):
                far = room + step
                x, y = ball.values._places(np.array(beyond * far), np.array(right * far))
                assert (grid.ground_at(x, y) == Ground.GREEN) == green


def test_a_ball_lies_off_the_green(designed: AssessmentDesign) -> None:
    for ball in designed.balls:
        grid = ball.values.pin.played.layout.grid
        assert grid.ground_at(*ball.values.ball.place_m) != Ground.GREEN


def test_zones_are_where_balls_gain(designed: AssessmentDesign) -> None:
    for ball in designed.balls:
        zone = ball.zone
        assert ball.values.gained(0.0, 0.0) > 0.0
        assert ball.values.gained(zone.long_m - 1.0, 0.0) >= 0.0
        if zone.short_m < AROUND_M:
            assert ball.values.gained(-zone.short_m, 0.0) < 0.0
        wider = success_zone(ball.values, 0.3)
        assert wider.long_m >= zone.long_m
        assert wider.putt_m > zone.putt_m


def test_the_card_is_read_as_records_once_it_is_filled(designed: AssessmentDesign, tmp_path: Path) -> None:
    rows = list(csv.DictReader(io.StringIO(card_csv(designed))))
    assert {name.rsplit("_yd")[0] for name in rows[0]} >= set(CARD_COLUMNS) - {"measuring_error"}
    rows[0] |= {"long_yd": "-4.5", "right_yd": "3"}
    rows[1] |= {"misread": "1"}
    rows[2] |= {"holed": "1"}
    with (tmp_path / "card.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    assert check_records(tmp_path / "card.csv") == ([], [])
    aimed = read_records([tmp_path / "card.csv"]).aimed
    assert aimed["ball"].tolist() == ["1", "2", "3"]
    assert aimed["long_m"].iloc[0] == pytest.approx(-4.5 * YARD_M)
    assert aimed["measured"].tolist() == ["finish"] * 3
    assert aimed["session"].unique().tolist() == ["June test"]


def test_landing_is_asked_for_short_of_the_pin(demo_course: Course) -> None:
    landed = design(demo_course, DistanceWish(available_m=(140.0,)), balls=2, measured="carry")
    for ball in landed.balls:
        assert 1.0 < ball.run_m < 12.0
        assert ball.target_m == pytest.approx(140.0 - ball.run_m)
    assert landed.alike == 1


def test_names_that_a_spreadsheet_would_run(demo_course: Course, tmp_path: Path) -> None:
    hostile = design(
        demo_course, DistanceWish(available_m=(60.0,)), balls=1, name='=HYPERLINK(1),"x"', reference=-2.0
    )
    (row,) = csv.DictReader(io.StringIO(card_csv(hostile)))
    assert row["assessment"].startswith("'=")
    assert row["reference"] == "'+2.0"
    assert reference_text("tour") == "tour"


def test_pins_that_nobody_has(demo_course: Course) -> None:
    with pytest.raises(InputError, match="behind-the-tree"):
        design(demo_course, DistanceWish(), balls=2, pins=("middle", "behind-the-tree"))
