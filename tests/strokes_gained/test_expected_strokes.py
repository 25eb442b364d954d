"""The table of expected strokes of any golfer."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.lie import SHOT_LIES, Lie
from rangework.skill.putting import expected_putts, putt_tables
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.strokes_gained.expected import ExpectedStrokes, expected_strokes
from rangework.units import YARD_M

FEW = {"holes": 2, "seed": 5}


def test_equal_for_any_number_of_threads() -> None:
    places = [Lie.ROUGH, Lie.SAND], np.array([30.0, 140.0])
    one, two = (expected_strokes(tour_golfer(), *places, threads=n, **FEW) for n in (1, 2))
    assert np.array_equal(one, two)


def test_farther_is_dearer_and_worse_players_need_more() -> None:
    distance = np.array([10.0, 30.0, 60.0, 150.0, 300.0]) * YARD_M
    lies = np.array([Lie.FAIRWAY, Lie.ROUGH])[:, None]
    tour, ten = (
        expected_strokes(golfer, lies, distance, **FEW) for golfer in (tour_golfer(), reference_golfer(10))
    )
    assert np.all(np.diff(tour, axis=1) > 0.0)
    assert np.all(ten > tour + 0.05)
    assert np.all(tour[1] > tour[0])


def test_greens_and_places_without_a_ball() -> None:
    golfer = tour_golfer()
    got = expected_strokes(golfer, [Lie.GREEN, Lie.FAIRWAY], [5.0, 0.5], holes=1)
    assert got[0] == pytest.approx(float(expected_putts(5.0, putt_tables(golfer.putting))))
    assert np.isnan(got[1])  # half a metre from the pin is always green


def test_a_table_interpolates_and_goes_straight_on() -> None:
    strokes = np.tile([2.0, 3.0, 5.0], (len(SHOT_LIES), 1))
    strokes[Lie.SAND, 0] = np.nan
    table = ExpectedStrokes(np.array([10.0, 20.0, 40.0]), strokes, putt_tables(tour_golfer().putting))
    got = table.at(Lie.FAIRWAY, np.array([5.0, 15.0, 30.0, 60.0]))
    assert got == pytest.approx([2.0, 2.5, 4.0, 7.0])
    assert table.at(Lie.SAND, np.array([10.0])) == pytest.approx([3.0])
    assert table.at(Lie.HOLED, np.array([0.0])) == pytest.approx([0.0])
    assert np.isnan(table.at(-1, 10.0))
