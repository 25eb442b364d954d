"""Charts of the page: no text on another, nothing cut off, and the figures those of the results."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.collections import PathCollection
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse
from measured_texts import outside, overlapping, shown_texts

from rangework.report.putting_chart import Holed, putting_chart
from rangework.report.ranges_chart import Ranged, ranges_chart
from rangework.report.spread_chart import TWO_OF_THREE, Spread, spread_chart

LONG = "approach 100-150 yd, distance control"


def words(figure: Figure) -> set[str]:
    return {text.get_text() for text in shown_texts(figure)}


def ranged() -> list[Ranged]:
    return [Ranged(LONG, 0.4 - 0.3 * k, 0.2 - 0.3 * k, 0.7 - 0.3 * k, "10 % less spread") for k in range(5)]


def test_no_text_covers_another_in_rows() -> None:
    figure = ranges_chart(ranged(), left="loses strokes", right="gains strokes")
    assert not overlapping(figure)
    assert not outside(figure)
    assert {LONG, "+0.40", "-0.80", "loses strokes"} <= words(figure)


def test_hardly_less_than_nothing_is_nothing() -> None:
    assert "+0.00" in words(ranges_chart([Ranged("a", -0.001, -0.1, 0.1)]))


@settings(max_examples=15)
@given(st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=4), st.floats(0.0, 20.0))
def test_any_numbers_can_be_shown(values: list[float], wide: float) -> None:
    figure = ranges_chart([Ranged("a", value, value - wide, value + wide) for value in values])
    (axes,) = figure.axes
    low, high = axes.get_xlim()
    assert low < high
    assert all(low <= value - wide and value + wide <= high for value in values)


def test_ovals_hold_two_of_three_shots() -> None:
    shots = np.random.default_rng(3).standard_normal((40_000, 2)) * [12.0, 7.0]
    inside = (shots / (TWO_OF_THREE * np.array([12.0, 7.0]))) ** 2
    assert float((inside.sum(axis=1) <= 1.0).mean()) == pytest.approx(2.0 / 3.0, abs=0.01)


def test_ovals_stand_where_shots_finish_to_scale() -> None:
    figure = spread_chart([Spread("driver", 200.0, 5.0, -10.0, 15.0, 12.0)], "metres")
    (axes,) = figure.axes
    oval = next(patch for patch in axes.patches if isinstance(patch, Ellipse))
    assert oval.get_center() == pytest.approx((5.0, 190.0))
    assert (oval.width, oval.height) == pytest.approx((2 * TWO_OF_THREE * 15.0, 2 * TWO_OF_THREE * 12.0))
    box = axes.get_window_extent()
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    assert box.width / (right - left) == pytest.approx(box.height / (high - low), rel=1e-6)
    assert not overlapping(figure)
    assert not outside(figure)


def test_putts_stand_beside_the_other_golfer() -> None:
    putts = [
        Holed(length, 1 / length, 0.8 / length, 1.1 / length, 0.9 / length) for length in (1.0, 2.0, 4.0, 8.0)
    ]
    figure = putting_chart(putts, "ft", "Wren", "a golfer of handicap 12")
    assert not overlapping(figure)
    assert not outside(figure)
    (axes,) = figure.axes
    mine, theirs = axes.lines
    assert np.asarray(mine.get_ydata()) == pytest.approx([100.0, 50.0, 25.0, 12.5])
    assert np.asarray(theirs.get_ydata()) == pytest.approx([90.0, 45.0, 22.5, 11.25])
    assert not [c for c in axes.collections if isinstance(c, PathCollection)]
