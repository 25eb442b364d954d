"""The chance of a score, targets chosen for it: exact layer by layer, and what play gives."""

from __future__ import annotations

import math

import numpy as np
import pytest
from aimed_holes import FEW, Scene, par_three, scene, tucked_by_water, twelve

from rangework.aim import FromDistance, Shot, parse_objective, strokes_left
from rangework.aim.objectives import BestChance
from rangework.aim.playing_on import play_on
from rangework.aim.score_chances import HoleChances, ScoreOutlook, best_chances, chances_with_targets
from rangework.aim.values import mean_value
from rangework.errors import InputError
from rangework.lie import Lie
from rangework.play import kernels

MOST = 6


@pytest.fixture(scope="module")
def best() -> HoleChances:
    of = tucked_by_water()
    return best_chances(of.strategy, of.aiming.player, MOST)


@pytest.fixture(scope="module")
def as_for_the_mean() -> HoleChances:
    """The chances with the targets that make the mean least."""
    of = tucked_by_water()
    targets = np.stack([of.strategy.policy.x, of.strategy.policy.y, of.strategy.policy.height], axis=1)
    known = HoleChances(of.strategy, np.repeat(targets[None], MOST + 1, axis=0), np.empty(0), np.empty(0))
    return chances_with_targets(known, of.aiming.player)


def reached(of: Scene, chances: HoleChances, shot: Shot) -> list[float]:
    """The chance of the shot to be holed within 0, 1, 2, ... strokes."""
    outlooks = [ScoreOutlook(of.aiming, of.aiming.player, chances, strokes) for strokes in range(1, MOST + 1)]
    return [0.0, *(1.0 - mean_value(outlook, shot, FEW.value) for outlook in outlooks)]


def test_chances_with_the_targets_of_the_mean_are_those_of_rounds(as_for_the_mean: HoleChances) -> None:
    of = tucked_by_water()
    for right in (0.0, -12.0):
        shot = Shot((of.aiming.played.pin_m[0] + right, of.aiming.played.pin_m[1]))
        played = play_on(of.strategy, of.aiming.player, of.aiming.ball, shot, 200_000, seed=4)
        share = [float((played.strokes <= most).mean()) for most in range(MOST + 1)]
        assert reached(of, as_for_the_mean, shot) == pytest.approx(share, abs=0.01)


def test_expected_strokes_are_the_sum_of_the_chances_to_need_more(as_for_the_mean: HoleChances) -> None:
    """An identity: E[N] = sum of P(N > k); strokes beyond the sixth are few."""
    of = tucked_by_water()
    shot = Shot(of.aiming.played.pin_m)
    chances = best_chances(of.strategy, of.aiming.player, 1)
    assert chances.strokes == 1
    rest = sum(1.0 - chance for chance in reached(of, as_for_the_mean, shot))
    value = mean_value(of.outlook, shot, FEW.value)
    assert 0.0 <= value - rest < 0.03


def test_targets_chosen_for_the_chance_give_the_larger_one(
    best: HoleChances, as_for_the_mean: HoleChances
) -> None:
    gain = best.chance - as_for_the_mean.chance
    assert gain.min() > -0.04  # the points that value are not those that chose
    assert gain.mean(axis=1)[2:].min() > 0.0
    assert gain.max() > 0.02


def test_chances_grow_with_the_strokes_left(best: HoleChances) -> None:
    assert (best.chance[0] == 0.0).all()
    assert (best.chance[1] == 0.0).all()  # nobody holes out from off the green
    assert (np.diff(best.chance, axis=0) > -0.01).all()
    assert (best.chance[-1] > 0.8).all()


def test_a_shot_for_a_score_gives_what_play_by_hand_gives(best: HoleChances) -> None:
    """Every stroke at the target for the strokes that are then left."""
    of = tucked_by_water()
    shot, left, holes = Shot(of.aiming.played.pin_m), 3, 4000
    layout, player, ball = of.strategy.layout, of.aiming.player, of.aiming.ball
    rng, made = np.random.default_rng(8), 0
    for _ in range(holes):
        key = np.uint64(rng.integers(1, 2**63))
        x, y, row, reach = *ball.place_m, ball.row, ball.reach
        target, strokes, played = (*shot.place_m, shot.height), left, 0
        while strokes > 1:
            tx, ty, height = target
            x, y, ending, *_ = kernels.play_stroke(
                layout.hole, player, key, played, row, reach, x, y, tx, ty, int(height)
            )
            played += 1
            strokes -= 2 if ending in (kernels.DROPPED, kernels.REPLAYED) else 1
            lie = kernels.lie_on(kernels.ground_at(layout.hole, x, y))
            if lie in (Lie.GREEN, Lie.FRINGE):
                far = math.hypot(x - layout.hole.pin_x, y - layout.hole.pin_y)
                made += strokes >= kernels.putts_taken(player.cumulative, player.putt_step, far, rng.random())
                break
            if ending in (kernels.IN_PLAY, kernels.DROPPED) and strokes > 0:
                row = reach = int(lie)
                node = kernels.nearest_node(layout.lattices, row, x, y)
                target = tuple(best.policy[strokes, node])
    chance = reached(of, best, shot)[left]
    assert 0.2 < chance < 0.8
    assert made / holes == pytest.approx(chance, abs=4 * 0.5 / math.sqrt(holes))


def test_a_score_may_ask_for_another_target_than_the_mean() -> None:
    """With two strokes left from 40 m everything hangs on a ball close to the pin; with four, on a safe one."""
    of = scene(par_three(pin_x=9.0, water=True), twelve(), FromDistance(Lie.FAIRWAY, 35.0), fine_m=4.0)
    pin_x, pin_y = of.aiming.played.pin_m
    pin, safe = Shot((pin_x, pin_y)), Shot((pin_x - 14.0, pin_y))
    chance = {
        left: [
            1.0 - mean_value(BestChance(of.strategy, of.aiming, left).own, shot, FEW.value)
            for shot in (pin, safe)
        ]
        for left in (2, 4)
    }
    assert chance[2][0] > chance[2][1] + 0.05
    assert chance[4][1] > chance[4][0]


@pytest.mark.parametrize(
    ("text", "par", "score"),
    [
        ("mean", 4, None),
        ("5 or better", 4, 5),
        ("Par or better", 5, 5),
        ("birdie  or better", 4, 3),
        ("bogey or better", 3, 4),
    ],
)
def test_objectives_in_words(text: str, par: int, score: int | None) -> None:
    assert parse_objective(text, par) == score


@pytest.mark.parametrize("text", ["", "best", "5", "par", "5 or worse", "eagle or better"])
def test_faults_of_an_objective(text: str) -> None:
    with pytest.raises(InputError, match="5 or better"):
        parse_objective(text, 4)


def test_a_score_must_leave_a_shot_and_a_putt() -> None:
    assert strokes_left(5, 1) == 5
    assert strokes_left(5, 4) == 2
    with pytest.raises(InputError, match="at least 6 or better"):
        strokes_left(5, 5)
