"""Green to work with has its price: a short-sided ball costs more than one as far from the pin with room."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from synthetic_holes import FloatArray, drawn_hole, value_from

from rangework.lie import Ground, Lie
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player, solve_hole
from rangework.skill.model import CARRY_SHARE
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.units import YARD_M

LENGTH_M, TWELVE_M = 150.0, 12.0 * YARD_M


def price(player: Player, lie: Lie, room_yd: float) -> float:
    """Expected strokes 12 yd short of a pin that stands ``room_yd`` behind the front of a 30 by 24 yd green."""
    front = LENGTH_M - room_yd * YARD_M

    def draw(x: FloatArray, y: FloatArray) -> NDArray[np.uint8]:
        across, along = np.abs(x), y - front
        green = (across < 15.0 * YARD_M) & (along >= 0.0) & (along < 24.0 * YARD_M)
        near = (across < 17.0 * YARD_M) & (along >= -2.0 * YARD_M) & (along < 26.0 * YARD_M)
        return np.select([green, near], [Ground.GREEN, Ground.FRINGE], Ground.ROUGH)

    strategy = solve_hole(lay_out(drawn_hole(LENGTH_M, 3, draw)), player)
    return value_from(strategy, player, lie, 0.0, LENGTH_M - TWELVE_M)


@pytest.mark.parametrize("lie", [Lie.ROUGH, Lie.SAND])
@pytest.mark.parametrize("handicap", [None, 0, 10, 20])
def test_three_yards_of_green_cost_more_than_nine(lie: Lie, handicap: float | None) -> None:
    player = compile_player(tour_golfer() if handicap is None else reference_golfer(handicap))
    tight, roomy = price(player, lie, 3.0), price(player, lie, 9.0)
    print(f"\n{lie.name.lower()}, handicap {handicap}: {tight:.2f} - {roomy:.2f} = {tight - roomy:.2f}")
    assert tight - roomy >= 0.10


def test_roll_makes_most_of_the_price() -> None:
    """Negative control: without roll less than three fifths of it remain, from balls that come up short."""
    player = compile_player(reference_golfer(10))
    table = player.table.copy()
    table[..., CARRY_SHARE] = np.maximum(table[..., CARRY_SHARE], 0.98)
    stopping = player._replace(table=table)
    usual, without = (price(one, Lie.ROUGH, 3.0) - price(one, Lie.ROUGH, 9.0) for one in (player, stopping))
    assert without < 0.6 * usual
