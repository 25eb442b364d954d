"""Break-even lines: closed, on the level, and farther from the pin where a miss costs less."""

from __future__ import annotations

import numpy as np
import pytest
from aimed_holes import FEW, par_three, scene, tucked_by_water, twelve
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from rangework.aim.break_even import BreakEven, break_even, gained
from rangework.aim.level_lines import level_lines
from rangework.play.strategy import compile_player, solve_hole
from rangework.skill.reference import reference_golfer


def area(line: np.ndarray) -> float:
    """Signed area, positive where the line turns left (columns to the right, rows up)."""
    x, y = line.T
    return float(0.5 * np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def test_a_cone_has_a_circle() -> None:
    rows, columns = np.mgrid[0:61, 0:61]
    (line,) = level_lines(20.0 - np.hypot(rows - 30.0, columns - 30.0), 0.0)
    assert np.hypot(*(line - 30.0).T) == pytest.approx(np.full(len(line), 20.0), abs=0.02)
    assert area(line) == pytest.approx(np.pi * 400.0, rel=0.01)


def test_a_ring_has_a_line_outside_and_one_inside() -> None:
    rows, columns = np.mgrid[0:61, 0:61]
    outer, inner = level_lines(5.0 - np.abs(np.hypot(rows - 30.0, columns - 30.0) - 15.0), 0.0)
    assert area(outer) == pytest.approx(np.pi * 400.0, rel=0.02)
    assert area(inner) == pytest.approx(-np.pi * 100.0, rel=0.02)


@given(arrays(np.float64, (7, 6), elements=st.sampled_from([-1.0, 1.0])))
def test_lines_close_and_part_what_is_above_from_what_is_not(values: np.ndarray) -> None:
    lines = level_lines(values, 0.0)
    assert all((line[0] == line[-1]).all() for line in lines)
    for (row, column), value in np.ndenumerate(values):
        turns = [winding(line - (column, row)) for line in lines]
        assert sum(turns) == pytest.approx(1.0 if value > 0.0 else 0.0)


def winding(line: np.ndarray) -> float:
    """How often a closed line goes round the origin, to the left."""
    angle = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    return float((angle[-1] - angle[0]) / (2.0 * np.pi))


@pytest.fixture(scope="module")
def line() -> BreakEven:
    of = tucked_by_water()
    return break_even(of.aiming.played, of.aiming.ball, twelve(), FEW)


def test_the_line_lies_where_nothing_is_gained(line: BreakEven) -> None:
    """Between cells of both signs, and on the green at the length of the putt whose strokes are left."""
    of = tucked_by_water()
    gains, first = gained(of.strategy, of.aiming.player, of.aiming.ball, line.strokes)
    hole = of.strategy.layout.hole
    for x, y in line.lines_m[0][::5]:
        column = int((x + hole.pin_x - hole.x0) / hole.cell) - int(first[1])
        row = int((y + hole.pin_y - hole.y0) / hole.cell) - int(first[0])
        near = gains[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2]
        assert near.min() <= 0.0 <= near.max()


def test_the_pin_itself_is_inside(line: BreakEven) -> None:
    assert area(line.lines_m[0]) > 0.0
    turns = np.unwrap(np.arctan2(*line.lines_m[0].T[::-1]))
    assert abs(turns[-1] - turns[0]) == pytest.approx(2.0 * np.pi)


def test_water_brings_the_line_nearer(line: BreakEven) -> None:
    right = max(x for x, y in line.lines_m[0] if abs(y) < 2.0)
    left = -min(x for x, y in line.lines_m[0] if abs(y) < 2.0)
    assert right < 7.5
    assert left > right


def test_a_better_golfer_is_harder_to_gain_on(line: BreakEven) -> None:
    of = tucked_by_water()
    better = break_even(of.aiming.played, of.aiming.ball, reference_golfer(0), FEW)
    assert better.strokes < line.strokes
    assert sum(map(area, better.lines_m)) < sum(map(area, line.lines_m))


def test_a_shot_on_the_line_is_worth_the_strokes_before_it() -> None:
    """The longest putt that gains: expected putts from there and the shot are the strokes from the ball."""
    of = scene(par_three(), reference_golfer(0))
    found = break_even(of.aiming.played, of.aiming.ball, reference_golfer(0), FEW)
    player = compile_player(reference_golfer(0))
    assert found.putt_m is not None
    putts = np.interp(found.putt_m, np.arange(len(player.putts)) * player.putt_step, player.putts)
    assert 1.0 + putts == pytest.approx(found.strokes, abs=0.01)
    strategy = solve_hole(of.aiming.played.layout, player)
    assert found.strokes == pytest.approx(strategy.expected_strokes, abs=0.02)
