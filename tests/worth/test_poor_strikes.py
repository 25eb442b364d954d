"""Fewer poor strikes are valued by weighing the same balls anew: exactly what valuing the shot anew gives."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.play import kernels
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import Golfer, compile_golfer
from rangework.skill.parts import improve
from rangework.worth.savings import WorthPoints

FloatArray = NDArray[np.float64]

#: The parts whose step changes nothing but the chance of a poor strike, and one that changes more.
POOR = ("tee.poor_strikes", "approach.poor_strikes", "short_game.poor_strikes")
PARTS = (*POOR, "pitch")
POOR_ALONE, OTHERWISE = 1, 2


def tables_and_marks(golfer: Golfer) -> tuple[FloatArray, NDArray[np.uint8]]:
    tables = np.array([compile_golfer(improve(golfer, part)).table for part in PARTS])
    marks = np.empty((*tables.shape[1:4], len(PARTS)), dtype=np.uint8)
    for row, table in enumerate(tables):
        kernels.mark_changes(compile_golfer(golfer).table, table, marks[..., row])
    return tables, marks


def saved(strategy: Strategy, golfer: Golfer, tables: FloatArray, marks: NDArray[np.uint8]) -> FloatArray:
    layout, player, points = strategy.layout, compile_player(golfer), WorthPoints.quick()
    inflow, found = np.full(len(layout.nodes.x), 0.02), np.zeros(len(PARTS))
    inflow[::3], inflow[-1] = 0.005, 1.0
    shifts = np.zeros((len(PARTS), tables.shape[1], tables.shape[3], 2))
    kernels.savings(
        layout.hole, layout.nodes, strategy.policy, player, strategy.cost, inflow, tables, marks, shifts,
        points.few, points.near, points.far, layout.near_rings, points.seldom, points.least, found,
    )  # fmt: skip
    return found


def test_parts_of_poor_strikes_change_nothing_else(faulty: Golfer) -> None:
    _, marks = tables_and_marks(faulty)
    assert [int(marks[..., row].max()) for row in range(len(POOR))] == [POOR_ALONE] * len(POOR)
    assert marks[..., -1].max() == OTHERWISE


def test_weighing_anew_is_valuing_anew(three_holes: list[Strategy], faulty: Golfer) -> None:
    tables, marks = tables_and_marks(faulty)
    by_weight = np.sum([saved(each, faulty, tables, marks) for each in three_holes], axis=0)
    valued_anew = np.where(marks == POOR_ALONE, OTHERWISE, marks).astype(np.uint8)
    by_value = np.sum([saved(each, faulty, tables, valued_anew) for each in three_holes], axis=0)
    assert by_weight == pytest.approx(by_value, rel=1e-9)
    assert np.all(by_weight[: len(POOR)] > 0.01)
    # the other way to value them is one: without marks nothing is valued at all
    assert np.all(saved(three_holes[0], faulty, tables, np.zeros_like(marks)) == 0.0)
