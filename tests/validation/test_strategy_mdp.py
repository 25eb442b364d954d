"""The strategy of a small hole against a general solver of Markov decision processes.

Oracle: QuantEcon's DiscreteDP by policy iteration (Puterman 2005, Markov Decision Processes, section 7.2), given the
same places, targets, error points and interpolation as explicit matrices of rewards and transitions. The matrices
are summed here in NumPy; only where each ball stops and where it is dropped comes from the kernels, which closed
forms check (tests/play). Ours: Bellman sweeps with ``kernels.expected_cost`` and ``kernels.fill_cells``.
"""

from __future__ import annotations

import math
import warnings
from typing import Any, NamedTuple

import numpy as np
import pytest
from numba import njit
from numpy.typing import NDArray
from scipy import sparse

from rangework.course.ground_grid import GroundGrid
from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import Layout, lay_out
from rangework.play.points import error_points
from rangework.play.strategy import compile_player, solve_hole
from rangework.skill.reference import reference_golfer

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from quantecon.markov import DiscreteDP

FloatArray = NDArray[np.float64]

LENGTH_M, HALF_M = 125.0, 40.0
POINTS = error_points(16, 12)
#: Targets: lines turned from the pin's, and lengths as shares of the way to it.
TURNS, SHARES = (-0.2, 0.0, 0.2), (0.6, 0.9, 1.0, 1.1)
NOWHERE = 9.0  # strokes from cells too far behind the tee to have a place of their own
NEARLY_ONE = 1.0 - 1e-11  # the solver wants a discount; this one costs less than 1e-9 strokes


def small_hole() -> GroundGrid:
    """Every kind of ground within 125 m."""
    x = -HALF_M + np.arange(2 * HALF_M) + 0.5
    y = -40.0 + np.arange(LENGTH_M + 70.0) + 0.5
    across, along = np.meshgrid(x, y)
    past = along - LENGTH_M
    kinds = [
        (np.hypot(across, past) < 10.0, Ground.GREEN),
        (across > 32.0, Ground.OUT),
        ((along > 60.0) & (along < 80.0) & (across > -15.0), Ground.WATER),
        (np.hypot(across - 14.0, past) < 6.0, Ground.SAND),
        (across < -28.0, Ground.TREES),
        (np.abs(across) < 12.0, Ground.FAIRWAY),
    ]
    ground = np.select([where for where, _ in kinds], [int(kind) for _, kind in kinds], int(Ground.ROUGH))
    return GroundGrid(ground.astype(np.uint8), (-HALF_M, -40.0), 1.0, (0.0, 0.0), (0.0, LENGTH_M), 1, 3)


class Case(NamedTuple):
    layout: Layout
    player: Player
    targets: FloatArray  # [node, target, (x, y)]


@pytest.fixture(scope="module")
def case() -> Case:
    layout = lay_out(small_hole(), coarse_step_m=20.0, fine_step_m=12.0)
    nodes, hole = layout.nodes, layout.hole
    dx, dy = hole.pin_x - nodes.x, hole.pin_y - nodes.y
    far, heading = np.hypot(dx, dy), np.arctan2(dx, dy)
    turn, share = (grid.ravel() for grid in np.meshgrid(TURNS, SHARES))
    length, line = far[:, None] * share, heading[:, None] + turn
    targets = np.stack(
        [nodes.x[:, None] + length * np.sin(line), nodes.y[:, None] + length * np.cos(line)], axis=2
    )
    return Case(layout, compile_player(reference_golfer(12)), targets)


@njit
def sweep(
    hole: Any, cost: Any, player: Any, points: Any, nodes: Any, targets: Any, value: Any, work: Any
) -> float:
    """Value of every place's best target; returns the largest change."""
    change = 0.0
    for k in range(value.shape[0]):
        best = 1e9
        for i in range(targets.shape[1]):
            found = kernels.expected_cost(
                hole, cost, player, points, 0, nodes.row[k], nodes.reach[k], nodes.x[k], nodes.y[k],
                targets[k, i, 0], targets[k, i, 1], 1, work,
            )  # fmt: skip
            best = min(best, found)
        change = max(change, abs(best - value[k]))
        value[k] = best
    return change


def bellman_values(case: Case) -> FloatArray:
    """Values of the best targets by sweeps of the kernels until nothing moves."""
    hole, nodes = case.layout.hole, case.layout.nodes
    cost, value = np.full(hole.ground.shape, NOWHERE), np.full(len(nodes.x), 4.0)
    for ground, mark in [(Ground.GREEN, kernels.MARK_GREEN), (Ground.WATER, kernels.MARK_WATER)]:
        cost[hole.ground == ground] = mark
    cost[hole.ground == Ground.OUT] = kernels.MARK_OUT
    work = kernels.new_work()
    for _ in range(300):
        kernels.fill_cells(nodes, value, 0, len(nodes.cell_order), cost)
        if sweep(hole, cost, case.player, POINTS, nodes, case.targets, value, work) < 1e-10:
            break
    return value


class Outcome(NamedTuple):
    """Of one target: mean strokes that are no place's, how often the same place comes again, and where else to."""

    strokes: float
    again: float
    places: NDArray[np.int64]
    chances: FloatArray


def outcome(case: Case, k: int, target: FloatArray) -> Outcome:
    hole, nodes, player = case.layout.hole, case.layout.nodes, case.player
    row, sx, sy = int(nodes.row[k]), nodes.x[k], nodes.y[k]
    ux, uy, far = kernels.aim_line(hole, row, sx, sy, target[0], target[1], player.longest[nodes.reach[k]])
    depth, direction, bias_depth, bias, poor, carry = kernels.shot_row(player, row, 1, far)
    strokes, again, places, chances = 1.0, 0.0, [], []
    kinds = [(POINTS.solid[0], 1.0 - poor, far + bias_depth, 1.0)]
    if row == Lie.RECOVERY:
        again += poor
    else:
        kinds.append((POINTS.poor[0], poor, kernels.POOR_LENGTH * far, kernels.POOR_SPREAD))
    for pairs, chance, total, stretch in kinds:
        work = kernels.new_work()
        shot = (total, depth, bias, direction, player.correlation, carry, far < kernels.WALK_BELOW_M)
        kernels.land_points(hole, pairs, stretch, shot, sx, sy, ux, uy, work)
        share = chance / pairs.shape[1]
        ends = (work[0][first : first + pairs.shape[1]] for first in (kernels.END_X, kernels.END_Y))
        for x, y in zip(*ends, strict=True):
            ground, px, py = case.layout.grid.ground_at(x, y), x, y
            if ground == Ground.GREEN:
                away = math.hypot(x - hole.pin_x, y - hole.pin_y)
                strokes += share * np.interp(
                    away, player.putt_step * np.arange(len(player.putts)), player.putts
                )
                continue
            if ground == Ground.WATER:
                px, py, found = kernels.drop_place(hole, x, y, sx, sy)
                strokes += share
            elif ground == Ground.OUT:
                strokes, found = strokes + share, False
            else:
                found = True
            if not found:
                again += share
                continue
            cell = int(kernels.cell_at(hole, px, py))
            weight = nodes.cell_weight[cell].astype(np.float64)
            if weight.sum() == 0.0:
                strokes += share * NOWHERE
                continue
            weight /= weight.sum()
            places.append(nodes.cell_node[cell])
            chances.append(share * weight)
    return Outcome(
        strokes, again, np.concatenate(places or [[]]).astype(np.int64), np.concatenate(chances or [[]])
    )


def oracle_values(case: Case) -> FloatArray:
    """Policy iteration on explicit matrices; the last state is the hole, where no more strokes are taken."""
    n, n_targets = case.targets.shape[:2]
    reward, rows, columns, chances = [], [], [], []
    for k in range(n):
        for target in case.targets[k]:
            found = outcome(case, k, target)
            row = len(reward)
            reward.append(-found.strokes)
            places = np.append(found.places, [k, n])
            holed = max(1.0 - found.again - found.chances.sum(), 0.0)
            chance = np.append(found.chances, [found.again, holed])
            rows.append(np.full(len(places), row))
            columns.append(places)
            chances.append(chance)
    reward.append(0.0)
    rows.append(np.array([len(reward) - 1]))
    columns.append(np.array([n]))
    chances.append(np.array([1.0]))
    moves = sparse.csr_matrix(
        (np.concatenate(chances), (np.concatenate(rows), np.concatenate(columns))), shape=(len(reward), n + 1)
    )
    states = np.append(np.repeat(np.arange(n), n_targets), n)
    actions = np.append(np.tile(np.arange(n_targets), n), 0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        process = DiscreteDP(np.array(reward), moves, NEARLY_ONE, states, actions)
        result = process.solve(method="policy_iteration")
    return -np.asarray(result.v)[:n]


@pytest.mark.slow
def test_values_agree_with_policy_iteration(case: Case) -> None:
    ours, oracle = bellman_values(case), oracle_values(case)
    print(
        f"\n{len(ours)} places, {case.targets.shape[1]} targets; largest difference {np.abs(ours - oracle).max():.1e}"
    )
    assert np.abs(ours - oracle).max() < 1e-6
    # negative control: targets a little longer are another problem
    assert np.abs(ours - oracle_values(case._replace(targets=case.targets * 1.004))).max() > 1e-4


@pytest.mark.slow
def test_the_fast_strategy_is_no_worse_on_that_hole(case: Case) -> None:
    """Its targets are free and its places closer together, so it may be better by a little."""
    fast = solve_hole(lay_out(small_hole()), case.player).expected_strokes
    oracle = bellman_values(case)[case.layout.tee_node]
    print(f"\nfast {fast:.3f}, few targets {oracle:.3f}")
    assert oracle - 0.15 < fast < oracle + 0.03
