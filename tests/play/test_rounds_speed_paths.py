"""Rounds played many in step are those played one stroke at a time, whatever the threads and the blocks."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numba import njit
from scipy import stats

from rangework.course.standard_hole import standard_hole
from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import Layout, lay_out
from rangework.play.rounds import RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer

ROUNDS = 6000
SEED = 11
GROUPS = 9


@njit(error_model="numpy")
def hole_stroke_by_stroke(
    hole: Any, lattices: Any, nodes: Any, policy: Any, player: Any, against: Any, against_tee: float,
    seed: int, number: int, par: int, by_family: Any, flags: Any, gained: Any,
) -> None:  # fmt: skip
    """One hole in as many rounds as ``flags`` has entries, each played to its end before the next begins."""
    cost, putts, putt_step = against
    tee = nodes.x.shape[0] - 1
    for i in range(flags.shape[0]):
        key = kernels.luck_key(seed, i, number)
        x, y, row, reach = nodes.x[tee], nodes.y[tee], nodes.row[tee], nodes.reach[tee]
        tx, ty, height = policy.x[tee], policy.y[tee], policy.height[tee]
        worth = against_tee
        for played in range(kernels.MOST_STROKES):
            x, y, ending, _, _, _, target = kernels.play_stroke(
                hole, player, key, played, row, reach, x, y, tx, ty, height
            )
            group = kernels.shot_group(reach == Lie.TEE, row == Lie.SAND, target)
            penalty = 1 if ending == kernels.DROPPED or ending == kernels.REPLAYED else 0
            by_family[i, 0 if group == 0 else (1 if group < 5 else 2)] += 1
            by_family[i, 4] += penalty
            if ending == kernels.REPLAYED or ending == kernels.STUCK:
                gained[group] -= 1 + penalty
                continue
            ground = kernels.ground_at(hole, x, y)
            mown = ground == Ground.FAIRWAY or ground == Ground.GREEN
            if reach == Lie.TEE and played == 0 and ending == kernels.IN_PLAY and mown:
                flags[i] |= 1
            if ground == Ground.GREEN or ground == Ground.FRINGE:
                distance = math.hypot(x - hole.pin_x, y - hole.pin_y)
                after = kernels.interpolate(putts, putt_step, distance)
                gained[group] += worth - after - 1 - penalty
                u = kernels.uniform(key, kernels.luck_counter(played + 1, 3))
                off_green = int(ground == Ground.FRINGE)
                if by_family[i].sum() + off_green <= par - 2:
                    flags[i] |= 2
                count = kernels.putts_taken(player.cumulative, player.putt_step, distance, u)
                gained[8] += after - count
                by_family[i, 3] = count - off_green
                by_family[i, 2] += off_green
                break
            after = cost.ravel()[kernels.cell_at(hole, x, y)]
            gained[group] += worth - after - 1 - penalty
            worth = after
            row = reach = kernels.lie_on(ground)
            tx, ty, height = kernels.next_target(hole, lattices, policy, row, x, y)


@pytest.fixture(scope="module")
def layouts() -> list[Layout]:
    lengths = (140.0, 330.0, 380.0, 480.0)
    return [lay_out(standard_hole(length, seed=seed)) for seed, length in enumerate(lengths, 3)]


@pytest.fixture(scope="module")
def player() -> Player:
    return compile_player(reference_golfer(16.0))


@pytest.fixture(scope="module")
def better(layouts: list[Layout]) -> list[Strategy]:
    return solve_course(layouts, compile_player(reference_golfer(0.0)))


@pytest.fixture(scope="module")
def strategies(layouts: list[Layout], player: Player) -> list[Strategy]:
    return solve_course(layouts, player)


@pytest.fixture(scope="module")
def sample(strategies: list[Strategy], better: list[Strategy], player: Player) -> RoundSample:
    scratch = compile_player(reference_golfer(0.0))
    return play_rounds(
        strategies, player, ROUNDS, seed=SEED, against=better, against_player=scratch, threads=1
    )


def test_every_count_is_that_of_rounds_played_stroke_by_stroke(
    strategies: list[Strategy], better: list[Strategy], player: Player, sample: RoundSample
) -> None:
    scratch = compile_player(reference_golfer(0.0))
    gained = np.zeros(GROUPS)
    for hole, (strategy, theirs) in enumerate(zip(strategies, better, strict=True)):
        layout = strategy.layout
        by_family, flags = np.zeros((ROUNDS, 5), dtype=np.int64), np.zeros(ROUNDS, dtype=np.int64)
        hole_stroke_by_stroke(
            layout.hole, layout.lattices, layout.nodes, strategy.policy, player,
            (theirs.cost, scratch.putts, scratch.putt_step), theirs.expected_strokes,
            SEED, layout.number, layout.par, by_family, flags, gained,
        )  # fmt: skip
        np.testing.assert_array_equal(sample.by_family[:, hole], by_family)
        np.testing.assert_array_equal(sample.strokes[:, hole], by_family.sum(axis=1))
        np.testing.assert_array_equal(sample.fairway_hit[:, hole], (flags & 1) != 0)
        np.testing.assert_array_equal(sample.green_hit[:, hole], (flags & 2) != 0)
    np.testing.assert_allclose(sample.gained, gained / ROUNDS, rtol=0, atol=1e-9)


def test_the_holes_hold_all_that_can_happen(sample: RoundSample, strategies: list[Strategy]) -> None:
    """Negative control: rounds without penalties or trees would not test those paths."""
    assert sample.by_family[:, :, 4].sum() > 50
    assert all(np.any(s.layout.hole.ground == ground) for s in strategies[1:] for ground in (Ground.TREES,))
    assert sample.strokes.max() > 9


def test_threads_change_nothing(strategies: list[Strategy], player: Player) -> None:
    one, two, three = (
        play_rounds(strategies, player, 20_000, seed=2, threads=threads) for threads in (1, 2, 3)
    )
    for other in (two, three):
        np.testing.assert_array_equal(one.by_family, other.by_family)
        np.testing.assert_array_equal(one.gained, other.gained)


def test_cutting_the_rounds_elsewhere_changes_no_score(
    strategies: list[Strategy], player: Player, sample: RoundSample
) -> None:
    cuts = (0, 1, 8, 523, 1700, ROUNDS)
    parts = [
        play_rounds(strategies, player, stop - start, seed=SEED, first_round=start)
        for start, stop in pairwise(cuts)
    ]
    np.testing.assert_array_equal(np.concatenate([part.by_family for part in parts]), sample.by_family)


def test_other_seeds_give_other_rounds(
    strategies: list[Strategy], player: Player, sample: RoundSample
) -> None:
    other = play_rounds(strategies, player, ROUNDS, seed=SEED + 1)
    assert np.any(other.strokes != sample.strokes)
    assert abs(other.mean - sample.mean) < 4.5 * math.hypot(other.standard_error, sample.standard_error)


def test_strokes_gained_add_up_to_the_difference_of_scores(
    better: list[Strategy], sample: RoundSample
) -> None:
    expected = sum(strategy.expected_strokes for strategy in better)
    assert sample.gained.sum() == pytest.approx(expected - sample.mean, abs=1e-9)


def test_balls_play_the_target_of_the_node_nearest_their_cell(layouts: list[Layout]) -> None:
    layout = layouts[2]
    hole, nx = layout.hole, layout.hole.ground.shape[1]
    for cell in range(0, hole.flat.size, 97):
        ground, play = hole.flat[cell], layout.nodes.cell_play[cell]
        if ground in (Ground.WATER, Ground.OUT, Ground.GREEN, Ground.FRINGE):
            assert play < 0
            continue
        x, y = hole.x0 + (cell % nx + 0.5) * hole.cell, hole.y0 + (cell // nx + 0.5) * hole.cell
        lie = kernels.lie_on(ground)
        node = kernels.nearest_node(layout.lattices, lie, x, y)
        assert play == (node if node >= 0 else len(layout.nodes.x) + lie - 1)


# --- rolling -------------------------------------------------------------------------------------------------


def test_clearance_is_the_largest_square_of_one_price(layouts: list[Layout]) -> None:
    hole = layouts[0].hole
    prices = hole.roll_price[hole.ground]
    rng = np.random.default_rng(4)
    for iy, ix in rng.integers(0, hole.ground.shape, (300, 2)):
        clear = int(hole.surface[iy * hole.ground.shape[1] + ix]) >> 3
        assert len(np.unique(_around(prices, iy, ix, clear))) == 1
        if clear < 31:
            assert len(np.unique(_around(prices, iy, ix, clear + 1))) > 1


def _around(prices: Any, iy: int, ix: int, reach: int) -> Any:
    return prices[max(iy - reach, 0) : iy + reach + 1, max(ix - reach, 0) : ix + reach + 1]


@njit(error_model="numpy")
def metre_by_metre(hole: Any, x: float, y: float, dx: float, dy: float, budget: float) -> Any:
    while budget > 1e-12:
        ground = kernels.ground_at(hole, x, y)
        if ground >= kernels.WATER:
            break
        whole = budget / hole.roll_price[ground]
        ends_on = kernels.ground_at(hole, x + dx * whole, y + dy * whole)
        step = whole if ground == kernels.GREEN and ends_on == kernels.GREEN else min(1.0, whole)
        x, y, budget = x + dx * step, y + dy * step, budget - step * hole.roll_price[ground]
    return x, y


def test_balls_roll_as_far_as_metre_by_metre(layouts: list[Layout]) -> None:
    rng = np.random.default_rng(9)
    for layout in layouts[:2]:
        hole = layout.hole
        ends = np.array([_rolled(hole, *rng.uniform(0.0, 1.0, 4)) for _ in range(4000)])
        np.testing.assert_allclose(ends[:, 0], ends[:, 1], rtol=0, atol=1e-9)


def _rolled(hole: Any, turn: float, away: float, heading: float, share: float) -> Any:
    angle, line = 2.0 * math.pi * turn, 2.0 * math.pi * heading
    x, y = hole.pin_x + 40.0 * away * math.sin(angle), hole.pin_y + 40.0 * away * math.cos(angle)
    roll = (hole, x, y, math.sin(line), math.cos(line), 25.0 * share)
    return kernels.roll_out(*roll), metre_by_metre(*roll)


# --- luck ----------------------------------------------------------------------------------------------------


@njit(error_model="numpy")
def draw(rounds: int, normals: Any, uniforms: Any) -> None:
    for k in range(rounds):
        key = kernels.luck_key(5, k, 7)
        u = kernels.uniform(key, kernels.luck_counter(1, 0))
        v = kernels.uniform(key, kernels.luck_counter(1, 1))
        uniforms[0, k], uniforms[1, k] = u, v
        uniforms[2, k] = kernels.uniform(key, kernels.luck_counter(1, 2))
        normals[0, k], normals[1, k] = kernels.normal_pair(u, v)


@pytest.fixture(scope="module")
def luck() -> tuple[Any, Any]:
    normals, uniforms = np.empty((2, 200_000)), np.empty((3, 200_000))
    draw(200_000, normals, uniforms)
    return normals, uniforms


def test_normal_pairs_are_the_transform_of_box_and_muller(luck: tuple[Any, Any]) -> None:
    """G. E. P. Box and M. E. Muller, A note on the generation of random normal deviates, 1958."""
    normals, (u, v, _) = luck
    radius = np.sqrt(-2.0 * np.log(u))
    expected = radius * np.cos(2.0 * np.pi * v), radius * np.sin(2.0 * np.pi * v)
    np.testing.assert_allclose(normals, expected, rtol=0, atol=1e-8)


def test_luck_is_normal_uniform_and_unrelated(luck: tuple[Any, Any]) -> None:
    normals, uniforms = luck
    for row in normals:
        assert stats.kstest(row, "norm").pvalue > 1e-3
        assert stats.kstest(row * 1.02, "norm").pvalue < 1e-3  # the check sees two per cent
    for row in uniforms:
        assert stats.kstest(row, "uniform").pvalue > 1e-3
    together = np.corrcoef(np.vstack([normals, uniforms[2]]))
    assert np.abs(together - np.eye(3)).max() < 4.5 / math.sqrt(normals.shape[1])
    next_round = [np.corrcoef(row[:-1], row[1:])[0, 1] for row in (*normals, uniforms[2])]
    assert np.abs(next_round).max() < 4.5 / math.sqrt(normals.shape[1])


def test_the_rarest_luck_stays_finite() -> None:
    for u in (0.5 / 2.0**53, 1.0):
        for v in (0.5 / 2.0**53, 0.125, 0.5, 1.0):
            assert np.all(np.isfinite(kernels.normal_pair(u, v)))
            assert max(map(abs, kernels.normal_pair(u, v))) < 9.0
