"""The dynamic program's expected strokes and the mean of simulated rounds: each checks the other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from rangework.play.kernels import Player
from rangework.play.lattice import Layout
from rangework.play.rounds import play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer

ROUNDS = 400_000


def gaps(strategies: Sequence[Strategy], player: Player, seed: int = 4) -> tuple[np.ndarray, np.ndarray]:
    """Simulated mean minus value of each hole, and its standard error."""
    strokes = play_rounds(strategies, player, ROUNDS, seed=seed).strokes
    value = np.array([strategy.expected_strokes for strategy in strategies])
    return strokes.mean(axis=0) - value, strokes.std(axis=0) / np.sqrt(ROUNDS)


def agree(strategies: Sequence[Strategy], player: Player) -> None:
    gap, error = gaps(strategies, player)
    print("\nmean minus value", np.round(gap, 4).tolist())
    assert error.max() <= 0.003
    assert np.all(np.abs(gap) <= 0.005 + 3.0 * error)


def test_three_holes(three_holes: list[Strategy], twelve: Player) -> None:
    agree(three_holes, twelve)


@pytest.mark.slow
@pytest.mark.parametrize("handicap", [0, 12, 25])
def test_every_demo_hole(demo_layouts: list[Layout], handicap: int) -> None:
    player = compile_player(reference_golfer(handicap))
    agree(solve_course(demo_layouts, player), player)


def test_another_golfer_does_not_agree(three_holes: list[Strategy]) -> None:
    """Negative control: a handicap of 13 misses the value of a handicap of 12."""
    gap, error = gaps(three_holes, compile_player(reference_golfer(13), aimed_by=reference_golfer(12)))
    assert np.any(np.abs(gap) > 0.005 + 3.0 * error)
