"""The envelope theorem: at the best target, aiming anew after a small improvement gains only to second order.

(Milgrom and Segal 2002, Econometrica 70:583.) It lets one strategy serve every part and every posterior draw. A bias
that the golfer knows is the exception: the target was moved by it, and must move back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import minimize

from rangework.lie import Ground, Lie
from rangework.play.lattice import Layout
from rangework.play.points import error_points, normal_quantile
from rangework.play.strategy import Strategy, compile_player, evaluate_policy, solve_course
from rangework.skill.model import (
    BIAS_DEPTH,
    BIAS_DIRECTION,
    DEPTH,
    DIRECTION,
    STANDARD,
    Golfer,
    compile_golfer,
)
from rangework.skill.parts import PART_IDS, improve
from rangework.worth import golfer_worths

NEAR, FAR = error_points(320, 96, 0.7, 8), error_points(640, 160, 0.7, 16)


def valued(strategies: Sequence[Strategy], golfer: Golfer, planner: Golfer) -> float:
    """Expected strokes with given targets, on error points that chose none of them."""
    player = compile_player(golfer, aimed_by=planner)
    return sum(evaluate_policy(one, player, near=NEAR, far=FAR).expected_strokes for one in strategies)


def aimed_anew(strategies: Sequence[Strategy], golfer: Golfer) -> float:
    player = compile_player(golfer)
    return valued(solve_course([one.layout for one in strategies], player), golfer, golfer)


def savings(strategies: Sequence[Strategy], before: Golfer, part: str, steps: float) -> tuple[float, float]:
    """Strokes saved with the old targets, and with new ones."""
    after = improve(before, part, steps)
    now = valued(strategies, before, before)
    return now - valued(strategies, after, before), now - aimed_anew(strategies, after)


@pytest.mark.parametrize("part", ["tee.direction", "approach_150_200.direction", "approach_100_150.depth"])
def test_aiming_anew_hardly_adds_to_a_narrower_spread(
    three_holes: list[Strategy], faulty: Golfer, part: str
) -> None:
    kept, anew = savings(three_holes, faulty, part, 2.0)
    print(f"\n{part}: two steps save {kept:.4f} with the old targets, {anew:.4f} with new ones")
    assert kept > 0.0
    # two strategies differ by up to 0.005 strokes a hole from their error points alone
    assert anew == pytest.approx(kept, abs=0.015 + 0.05 * kept)


class Approach:
    """An approach of 150 m to a demo green: any fixed cost of what follows will do, here the hole's own raster."""

    def __init__(self, strategy: Strategy, golfer: Golfer) -> None:
        self.strategy, self.golfer = strategy, golfer
        self.z = normal_quantile((0.5 + np.arange(1, 30_001)[:, None] * [0.7548776662, 0.5698402910]) % 1.0)
        pin = np.array(strategy.layout.grid.pin_m)
        self.start = pin - [0.0, 150.0]
        self.aim = self.best(golfer, pin)

    def strokes(self, golfer: Golfer, target: NDArray[np.float64]) -> float:
        """Mean cost where solid strikes stop; penalties at a flat 5 strokes."""
        away = target - self.start
        far, heading = float(np.hypot(*away)), float(np.arctan2(*away))
        table = compile_golfer(golfer).table[Lie.FAIRWAY, STANDARD]
        row = np.array([np.interp(far, np.arange(len(table)), column) for column in table.T])
        total = far + row[BIAS_DEPTH] + row[DEPTH] * self.z[:, 0]
        line = heading + row[BIAS_DIRECTION] + row[DIRECTION] * self.z[:, 1]
        x, y = self.start[0] + total * np.sin(line), self.start[1] + total * np.cos(line)
        grid, player = self.strategy.layout.grid, compile_player(golfer)
        ground = grid.ground_at(x, y)
        ix, iy = (x - grid.origin_m[0]).astype(int), (y - grid.origin_m[1]).astype(int)
        rows, columns = grid.ground.shape
        cost = self.strategy.cost[iy.clip(0, rows - 1), ix.clip(0, columns - 1)].astype(np.float64)
        left = np.hypot(x - grid.pin_m[0], y - grid.pin_m[1])
        putts = np.interp(left, player.putt_step * np.arange(len(player.putts)), player.putts)
        cost = np.where(
            np.isin(ground, (Ground.GREEN, Ground.FRINGE)), putts, np.where(ground >= Ground.WATER, 5.0, cost)
        )
        return 1.0 + float(cost.mean())

    def best(self, golfer: Golfer, guess: NDArray[np.float64]) -> NDArray[np.float64]:
        corners = np.array([[0.0, 0.0], [8.0, 0.0], [0.0, 8.0]])
        for _ in range(2):  # a second start, lest the first simplex collapsed early
            options = {"initial_simplex": guess + corners, "xatol": 0.02, "fatol": 1e-7}
            strokes = partial(self.strokes, golfer)
            guess = minimize(strokes, guess, method="Nelder-Mead", options=options).x
        return np.asarray(guess)

    def savings(self, part: str, steps: float) -> tuple[float, float]:
        """Strokes that a change of a part saves, and what aiming anew adds to it."""
        after = improve(self.golfer, part, steps)
        now, kept = self.strokes(self.golfer, self.aim), self.strokes(after, self.aim)
        return now - kept, kept - self.strokes(after, self.best(after, self.aim))


@pytest.fixture(scope="module")
def approach(three_holes: list[Strategy], faulty: Golfer) -> Approach:
    return Approach(three_holes[0], faulty)


@pytest.mark.slow
@pytest.mark.parametrize("part", ["approach_150_200.depth", "approach_150_200.direction"])
def test_of_one_shot_aiming_anew_adds_only_to_second_order(approach: Approach, part: str) -> None:
    saved, more = approach.savings(part, 1.0)
    saved_twice, more_twice = approach.savings(part, 2.0)
    print(f"\n{part}: one step {saved:.4f} + {more:.4f}, two steps {saved_twice:.4f} + {more_twice:.4f}")
    assert saved > 0.005
    assert more + 1e-6 >= 0.0
    assert more <= 0.10 * saved
    assert more_twice / more == pytest.approx(4.0, abs=1.5)  # twice the step, four times the gain


@pytest.mark.slow
def test_of_one_shot_a_known_bias_must_be_aimed_anew(approach: Approach) -> None:
    biased = replace(approach.golfer, approach_bias_rad=np.full(4, 0.07), approach_bias_depth=np.zeros(4))
    saved, more = Approach(approach.strategy, biased).savings("approach_150_200.bias", 1.0)
    print(f"\napproach_150_200.bias: {saved:.4f} + {more:.4f}")
    assert more > 2.0 * abs(saved + more)


def test_a_known_bias_is_the_exception(three_holes: list[Strategy], faulty: Golfer) -> None:
    """Half of a bias of 4 degrees: with the old aim it hurts, since the aim still allows for all of it."""
    part = "approach_150_200.bias"
    biased = replace(faulty, approach_bias_rad=np.full(4, 0.07), approach_bias_depth=np.zeros(4))
    strategies = solve_course([one.layout for one in three_holes], compile_player(biased))
    kept, anew = savings(strategies, biased, part, 1.0)
    worth = golfer_worths(strategies, biased)[PART_IDS.index(part)]
    print(f"\n{part}: {kept:.4f} with the old targets, {anew:.4f} with new ones; the tool says {worth:.4f}")
    assert kept < -0.03
    assert worth == pytest.approx(anew, abs=0.015)


def test_no_improvement_is_worth_exactly_nothing(three_holes: list[Strategy], faulty: Golfer) -> None:
    assert np.all(golfer_worths(three_holes, faulty, change=lambda golfer, _: golfer) == 0.0)
    unmoved = golfer_worths(three_holes, faulty, change=lambda golfer, part: improve(golfer, part, 0.0))
    assert np.abs(unmoved).max() < 1e-12


def test_worth_is_equal_for_any_number_of_threads(three_holes: list[Strategy], faulty: Golfer) -> None:
    assert np.array_equal(
        golfer_worths(three_holes, faulty, threads=1), golfer_worths(three_holes, faulty, threads=2)
    )


def test_parts_that_a_course_never_asks_for_are_worth_nothing(layouts: list[Layout], faulty: Golfer) -> None:
    par_three = solve_course([layouts[2] if layouts[2].par == 3 else layouts[6]], compile_player(faulty))
    worths = dict(zip(PART_IDS, golfer_worths(par_three, faulty), strict=True))
    assert all(worths[part] == 0.0 for part in PART_IDS if part.startswith("tee."))
    assert worths["putt.line"] > 0.0
