"""Value, chances and brute force agree: what no luck decides is what luck gives on average."""

from __future__ import annotations

import math

import numpy as np
import pytest
from aimed_holes import FEW, Scene, par_three, scene, tucked_by_water, twelve

from rangework.aim import FromDistance, Shot, Target, compare_targets
from rangework.aim.landing import finishes, green_to_work_with, is_short_sided, shot_chances
from rangework.aim.playing_on import play_on
from rangework.aim.values import best_height, mean_value
from rangework.lie import PUTTED_LIES, Ground, Lie
from rangework.play import kernels

#: Interpolation between nodes, and the target of the nearest node in place of one's own, on these coarse lattices.
LATTICE = 0.02


def by_hand(of: Scene, shot: Shot, holes: int, *, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Strokes of holes played one stroke after another, and where the first one finished.

    Shares with the fast rounds only the stroke itself: the yardstick that `play_on` is held to.
    """
    layout, policy, player, ball = of.strategy.layout, of.strategy.policy, of.aiming.player, of.aiming.ball
    hole, rng = layout.hole, np.random.default_rng(seed)
    taken, first = np.zeros(holes, dtype=np.int64), np.empty((holes, 3))
    for number in range(holes):
        key = np.uint64(rng.integers(1, 2**63))
        x, y, row, reach = *ball.place_m, ball.row, ball.reach
        target = (*shot.place_m, shot.height)
        played = 0
        while True:
            x, y, ending, *_ = kernels.play_stroke(
                hole, player, key, played, row, reach, x, y, *target[:2], target[2]
            )
            if played == 0:
                first[number] = x, y, ending
            played += 1
            taken[number] += 2 if ending in (kernels.DROPPED, kernels.REPLAYED) else 1
            lie = kernels.lie_on(kernels.ground_at(hole, x, y))
            if lie in PUTTED_LIES:
                break
            if ending in (kernels.IN_PLAY, kernels.DROPPED):
                row = reach = int(lie)
                target = kernels.next_target(hole, layout.lattices, policy, row, x, y)
        far = math.hypot(x - hole.pin_x, y - hole.pin_y)
        taken[number] += kernels.putts_taken(player.cumulative, player.putt_step, far, rng.random())
    return taken, first


def straight(of: Scene, right_m: float = 0.0, long_m: float = 0.0) -> Shot:
    x, y = of.aiming.played.pin_m
    return best_height(of.outlook, (x + right_m, y + long_m), FEW.search)


@pytest.fixture(scope="module")
def trees() -> Scene:
    """A recovery 55 m from the pin, trees on both sides."""
    grid = par_three()
    x, _ = grid.cell_centres()
    grid.ground[:130, np.abs(x) > 15.0] = int(Ground.TREES)
    return scene(grid, twelve(), FromDistance(Lie.RECOVERY, 55.0))


def test_a_choice_is_worth_what_rounds_from_there_take(trees: Scene) -> None:
    water, rough = tucked_by_water(), scene(par_three(pin_x=9.0), twelve(), FromDistance(Lie.ROUGH, 30.0))
    cases = [(water, straight(water)), (water, straight(water, -12.0)), (rough, straight(rough))]
    cases += [(trees, straight(trees, 0.0, -30.0))]
    for of, shot in cases:
        played = play_on(of.strategy, of.aiming.player, of.aiming.ball, shot, 200_000, seed=5)
        assert played.standard_error < 0.003
        gap = played.mean - mean_value(of.outlook, shot, FEW.value)
        assert abs(gap) < LATTICE + 4 * played.standard_error


def test_holes_played_on_are_those_played_by_hand() -> None:
    of = tucked_by_water()
    for shot in (straight(of), straight(of, -12.0, -4.0)):
        taken, _ = by_hand(of, shot, 3000, seed=2)
        played = play_on(of.strategy, of.aiming.player, of.aiming.ball, shot, 200_000, seed=7)
        error = math.hypot(taken.std() / math.sqrt(len(taken)), played.standard_error)
        assert abs(taken.mean() - played.mean) < 4 * error
        assert abs((taken <= 3).mean() - (played.strokes <= 3).mean()) < 4 * 0.5 / math.sqrt(len(taken))


def test_the_difference_of_two_choices_is_that_of_rounds_with_the_same_luck() -> None:
    of = tucked_by_water()
    pin, safe = straight(of), straight(of, -10.0)
    strokes = [
        play_on(of.strategy, of.aiming.player, of.aiming.ball, shot, 200_000, seed=3).strokes.astype(float)
        for shot in (pin, safe)
    ]
    apart = strokes[0] - strokes[1]
    value = mean_value(of.outlook, pin, FEW.value) - mean_value(of.outlook, safe, FEW.value)
    error = apart.std() / math.sqrt(len(apart))
    assert value > 0.05
    assert abs(apart.mean() - value) < 4 * error + 0.01
    assert error < math.hypot(*(each.std() for each in strokes)) / math.sqrt(len(apart))  # shared luck helps


def test_finishes_are_those_of_strokes() -> None:
    of = tucked_by_water()
    shot = straight(of)
    _, first = by_hand(of, shot, 3000, seed=4)
    chances = shot_chances(of.aiming, shot, FEW.value)
    x, y, ending = first.T
    ground = of.aiming.played.layout.grid.ground_at(x, y)
    at_rest = ending == kernels.IN_PLAY
    off = at_rest & (ground != Ground.GREEN) & (ground != Ground.FRINGE)
    simulated = {
        "green": (at_rest & (ground == Ground.GREEN)).mean(),
        "short_sided": (off & is_short_sided(of.aiming.played, x, y)).mean(),
        "penalty": (~at_rest).mean(),
    }
    for name, share in simulated.items():
        assert getattr(chances, name) == pytest.approx(share, abs=4 * 0.5 / math.sqrt(len(x))), name
    assert chances.bunker == 0.0


def test_every_choice_of_a_comparison_is_that_of_holes_played_by_hand() -> None:
    """Strokes, scores and finishes of the named choices and of the best, against strokes played one by one."""
    of, count = tucked_by_water(), 3000
    targets = [Target(), Target(right_m=-9.0, long_m=-2.0)]
    told = compare_targets(
        of.strategy,
        of.golfer,
        of.aiming,
        targets,
        rounds=100_000,
        seed=1,
        threads=1,
        basis="data",
        points=FEW,
    )
    assert len(told.choices) == 3
    for choice in told.choices:
        taken, first = by_hand(of, choice.shot, count, seed=11)
        error = math.hypot(taken.std() / math.sqrt(count), choice.standard_error)
        assert abs(choice.strokes.value - taken.mean()) < 4 * error + LATTICE
        by_score = [taken <= 2, taken == 3, taken == 4, taken >= 5]
        ground = of.aiming.played.layout.grid.ground_at(*first.T[:2])
        at_rest = first.T[2] == kernels.IN_PLAY
        shares = [
            *(each.mean() for each in by_score),
            (at_rest & (ground == Ground.GREEN)).mean(),
            (~at_rest).mean(),
        ]
        chances = (*choice.scores, choice.finish.green, choice.finish.penalty)
        assert chances == pytest.approx(shares, abs=4 * 0.5 / math.sqrt(count))


def test_the_green_is_hit_as_often_as_in_rounds() -> None:
    of = tucked_by_water()
    shot = straight(of, -8.0)
    played = play_on(of.strategy, of.aiming.player, of.aiming.ball, shot, 200_000, seed=1)
    assert shot_chances(of.aiming, shot, FEW.value).green == pytest.approx(played.green.mean(), abs=0.006)


def test_a_failed_recovery_stays_among_trees(trees: Scene) -> None:
    shot = straight(trees, 0.0, -30.0)
    found = finishes(trees.aiming, shot, FEW.value)
    stayed = (found.x_m == trees.aiming.ball.place_m[0]) & (found.y_m == trees.aiming.ball.place_m[1])
    assert found.weight.sum() == pytest.approx(1.0)
    assert found.chance(stayed) == pytest.approx(twelve().recovery_poor)


def test_scores_count_the_strokes_before() -> None:
    of = scene(par_three(), twelve(), FromDistance(Lie.ROUGH, 30.0))
    played = play_on(of.strategy, of.aiming.player, of.aiming.ball, straight(of), 20_000, seed=0)
    birdie, par, bogey, double = played.score_chances(of.aiming.ball, 3)
    assert of.aiming.ball.stroke == 2
    assert birdie == 0.0  # the first stroke is gone, and nobody holes out from off the green
    assert par == pytest.approx((played.strokes == 2).mean())
    assert bogey == pytest.approx((played.strokes == 3).mean())
    assert birdie + par + bogey + double == pytest.approx(1.0)


def test_green_to_work_with_is_measured_from_the_pin_to_the_edge() -> None:
    played = tucked_by_water().aiming.played
    around = green_to_work_with(played)
    quarter = len(around) // 4
    # an ellipse of half axes 14 and 12 m, the pin 9 m right of its middle; cells of a metre
    assert around[quarter] == pytest.approx(5.0, abs=1.0)
    assert around[3 * quarter] == pytest.approx(23.0, abs=1.0)
    assert around[0] == pytest.approx(12.0 * math.sqrt(1.0 - (9.0 / 14.0) ** 2), abs=1.0)


def test_short_sided_is_near_and_on_the_pins_side() -> None:
    played = tucked_by_water().aiming.played
    x, y = played.pin_m
    beside = np.array([x + 6.0, x - 25.0, x + 26.0, x + 30.0])
    assert is_short_sided(played, beside, np.full(4, y)).tolist() == [True, False, True, False]
