"""Strategies of holes simple enough to reckon by hand or by one integral."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import trapezoid
from scipy.stats import norm
from synthetic_holes import FloatArray, drawn_hole, exact_golfer, solved, value_from

from rangework.course.ground_grid import GroundGrid
from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.rounds import PENALTIES, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_hole
from rangework.skill.model import DEPTH, DIRECTION, LONGEST_SHARE
from rangework.skill.putting import reference_putting

Grounds = NDArray[np.uint8]
#: Scratch: driver 250 yd, then 80 % of it from the fairway.
DRIVER_M = 228.6
FAIRWAY_M = DRIVER_M * LONGEST_SHARE[Lie.FAIRWAY]


def open_ground(length_m: float, radius_m: float) -> Callable[[FloatArray, FloatArray], Grounds]:
    def draw(x: FloatArray, y: FloatArray) -> Grounds:
        near = np.hypot(x, y - length_m) < radius_m
        return np.where(near, Ground.GREEN, Ground.FAIRWAY)

    return draw


@pytest.mark.parametrize(
    ("length_m", "par", "shots"),
    [
        (150.0, 3, 1),
        (220.0, 3, 1),
        (DRIVER_M + 20.0, 4, 2),
        (DRIVER_M + FAIRWAY_M - 5.0, 4, 2),
        (DRIVER_M + FAIRWAY_M + 30.0, 4, 3),
        (DRIVER_M + 2 * FAIRWAY_M - 5.0, 5, 3),
        (DRIVER_M + 2 * FAIRWAY_M + 30.0, 5, 4),
    ],
)
def test_without_spread_strokes_are_counted(length_m: float, par: int, shots: int) -> None:
    """As many full shots as the distance needs, and one putt, which an exact putter always holes."""
    grid = drawn_hole(length_m, par, open_ground(length_m, 12.0))
    strategy, player = solved(grid, exact_golfer())
    assert strategy.expected_strokes == pytest.approx(shots + 1, abs=1e-3)
    sample = play_rounds([strategy], player, 200)
    assert np.all(sample.strokes == shots + 1)
    assert np.all(sample.green_hit == (shots <= par - 2))


def test_a_dogleg_is_played_around_its_corner() -> None:
    """Water on the straight line is avoided: the way round it is no longer in strokes."""

    def draw(x: FloatArray, y: FloatArray) -> Grounds:
        ground = np.where((x > -30.0) & (x < 30.0) & (y > 60.0) & (y < 280.0), Ground.WATER, Ground.FAIRWAY)
        return np.where(np.hypot(x, y - 330.0) < 12.0, Ground.GREEN, ground)

    strategy, player = solved(drawn_hole(330.0, 4, draw), exact_golfer())
    assert strategy.expected_strokes == pytest.approx(3.0, abs=1e-3)
    assert np.all(play_rounds([strategy], player, 50).by_family[:, 0, 4] == 0)


def par_three(outside: Ground, half_width_m: float) -> GroundGrid:
    """150 m, green everywhere near the pin within ``half_width_m`` of the line, ``outside`` beyond."""

    def draw(x: FloatArray, y: FloatArray) -> Grounds:
        green = np.where(np.abs(x) < half_width_m, Ground.GREEN, outside)
        return np.where(y < 60.0, Ground.FAIRWAY, green)

    return drawn_hole(150.0, 3, draw)


def scattering(depth_m: float, direction_rad: float) -> Player:
    """An exact striker who putts like scratch and whose shots have these spreads at every distance."""
    player = compile_player(exact_golfer(putting=reference_putting(0)))
    table = player.table.copy()
    table[..., DEPTH], table[..., DIRECTION] = depth_m, direction_rad
    return player._replace(table=table)


def mean_putts(player: Player, left_m: Callable[[FloatArray], FloatArray], edge: float = 6.0) -> float:
    """Integral over a standard normal z, up to ``edge`` either side, of the putts from ``left_m(z)``."""
    z = np.linspace(-edge, edge, 200_001)
    from_there = np.interp(left_m(z), player.putt_step * np.arange(len(player.putts)), player.putts)
    return float(trapezoid(from_there * norm.pdf(z), z))


def simulated(strategy: Strategy, player: Player) -> tuple[float, float]:
    sample = play_rounds([strategy], player, 100_000, seed=5)
    return sample.mean, sample.standard_error


def test_spread_in_depth_alone() -> None:
    """1 + E[putts(|s z|)], z standard normal, by quadrature."""
    sd = 6.0
    player = scattering(sd, 0.0)
    expected = 1.0 + mean_putts(player, lambda z: np.abs(sd * z))
    strategy = solve_hole(lay_out(par_three(Ground.ROUGH, 80.0)), player)
    assert strategy.expected_strokes == pytest.approx(expected, abs=0.004)
    mean, error = simulated(strategy, player)
    assert mean == pytest.approx(expected, abs=0.004 + 3.0 * error)


def test_spread_in_direction_alone() -> None:
    """A ball as long as the target, turned by s z, is 2 T sin(|s z| / 2) from the pin."""
    sd = 0.05
    player = scattering(0.0, sd)
    expected = 1.0 + mean_putts(player, lambda z: 300.0 * np.sin(np.abs(sd * z) / 2.0))
    strategy = solve_hole(lay_out(par_three(Ground.ROUGH, 80.0)), player)
    assert strategy.expected_strokes == pytest.approx(expected, abs=0.004)


def test_out_of_bounds_plays_again_from_the_same_place() -> None:
    """V = 1 + p (1 + V) + E[putts; in play], so V = (1 + p + E) / (1 - p)."""
    sd, half_m = 0.05, 10.0
    player = scattering(0.0, sd)
    edge = math.asin(half_m / 150.0) / sd
    out = 2.0 * norm.sf(edge)
    in_play = mean_putts(player, lambda z: 300.0 * np.sin(np.abs(sd * z) / 2.0), edge)
    expected = (1.0 + out + in_play) / (1.0 - out)
    strategy = solve_hole(lay_out(par_three(Ground.OUT, half_m)), player)
    assert strategy.expected_strokes == pytest.approx(expected, abs=0.012)
    mean, error = simulated(strategy, player)
    assert mean == pytest.approx(expected, abs=0.012 + 3.0 * error)
    penalties = play_rounds([strategy], player, 100_000).by_family[:, 0, PENALTIES].mean()
    assert penalties == pytest.approx(out / (1.0 - out), abs=0.01)


@pytest.mark.parametrize("from_pin_m", [100.0, 40.0])
def test_a_recovery_stays_short_and_may_fail(from_pin_m: float) -> None:
    """1 / (1 - q) strokes to get out, then an exact shot and a putt; straight at the pin would save one."""
    grid = drawn_hole(300.0, 4, open_ground(300.0, 12.0))
    strategy, player = solved(grid, exact_golfer(recovery_poor=0.22))
    value = value_from(strategy, player, Lie.RECOVERY, 0.0, 300.0 - from_pin_m)
    assert value == pytest.approx(1.0 / 0.78 + 2.0, abs=1e-3)


def test_recovery_targets_keep_their_distance_from_the_pin() -> None:
    hole = lay_out(drawn_hole(300.0, 4, open_ground(300.0, 12.0))).hole
    for from_pin_m, left_m in [(150.0, kernels.RECOVERY_SHORT_M), (40.0, 20.0), (10.0, 5.0)]:
        start = 300.0 - from_pin_m
        _, _, target = kernels.aim_line(hole, int(Lie.RECOVERY), 0.0, start, 0.0, 300.0, 200.0)
        assert from_pin_m - target == pytest.approx(left_m)
        _, _, open_line = kernels.aim_line(hole, int(Lie.ROUGH), 0.0, start, 0.0, 300.0, 200.0)
        assert open_line == pytest.approx(from_pin_m)


def test_bias_is_aimed_off() -> None:
    """A golfer who knows a bias of 4 degrees loses nothing to it."""
    grid, putting = par_three(Ground.ROUGH, 80.0), reference_putting(0)
    straight, _ = solved(grid, exact_golfer(putting=putting))
    biased, player = solved(grid, exact_golfer(putting=putting, approach_bias_rad=np.full(4, 0.07)))
    assert biased.expected_strokes == pytest.approx(straight.expected_strokes, abs=0.02)
    tee = biased.layout.tee_node
    heading = math.atan2(biased.policy.x[tee], biased.policy.y[tee])
    assert heading == pytest.approx(-0.07, abs=0.01)
    assert play_rounds([biased], player, 20).strokes.max() == 2
