"""Rounds: reproducible, the same for any number of threads, and adding up."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.play.kernels import Player
from rangework.play.rounds import BLOCK, FAMILIES, PENALTIES, PUTTS, TEE, RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer, tour_golfer

MANY = 2 * BLOCK + 777  # blocks of unequal size


@pytest.fixture(scope="module")
def sample(three_holes: list[Strategy], twelve: Player) -> RoundSample:
    return play_rounds(three_holes, twelve, MANY, seed=11, threads=1)


def same(one: RoundSample, other: RoundSample) -> bool:
    names = ("strokes", "by_family", "fairway_hit", "green_hit", "gained")
    return all(np.array_equal(getattr(one, name), getattr(other, name)) for name in names)


def test_bit_equal_for_one_and_two_threads(
    sample: RoundSample, three_holes: list[Strategy], twelve: Player
) -> None:
    assert same(sample, play_rounds(three_holes, twelve, MANY, seed=11, threads=2))


def test_another_seed_is_another_season(
    sample: RoundSample, three_holes: list[Strategy], twelve: Player
) -> None:
    assert not same(sample, play_rounds(three_holes, twelve, MANY, seed=12))


def test_a_round_does_not_depend_on_where_counting_starts(
    sample: RoundSample, three_holes: list[Strategy], twelve: Player
) -> None:
    later = play_rounds(three_holes, twelve, 300, seed=11, first_round=1000)
    assert np.array_equal(later.strokes, sample.strokes[1000:1300])


def test_a_hole_does_not_depend_on_the_others(
    sample: RoundSample, three_holes: list[Strategy], twelve: Player
) -> None:
    alone = play_rounds([three_holes[1]], twelve, 500, seed=11)
    assert np.array_equal(alone.strokes[:, 0], sample.strokes[:500, 1])


def test_strategy_is_equal_for_any_number_of_threads(three_holes: list[Strategy], twelve: Player) -> None:
    again = solve_course([strategy.layout for strategy in three_holes], twelve, threads=1)
    for one, other in zip(three_holes, again, strict=True):
        assert np.array_equal(one.value, other.value)
        assert np.array_equal(one.policy.x, other.policy.x)


def test_strokes_are_made_of_their_families(sample: RoundSample) -> None:
    assert np.array_equal(sample.by_family.sum(axis=2, dtype=np.int64), sample.strokes)
    assert sample.strokes.min() >= 1
    par_threes = sample.par == 3
    assert np.all(sample.by_family[:, par_threes, TEE] == 0)
    assert np.all(sample.by_family[:, ~par_threes, TEE] >= 1)


def test_a_green_in_regulation_leaves_two_putts_for_par(sample: RoundSample) -> None:
    before = sample.strokes.astype(int) - sample.by_family[:, :, PUTTS]
    assert np.array_equal(sample.green_hit, before <= sample.par - 2)


def test_strokes_gained_telescope_exactly(three_holes: list[Strategy], twelve: Player) -> None:
    """Whoever the reference golfer: gains sum to the reference's expected score minus the mean score."""
    scratch = compile_player(reference_golfer(0))
    theirs = solve_course([strategy.layout for strategy in three_holes], scratch)
    played = play_rounds(three_holes, twelve, MANY, seed=2, against=theirs, against_player=scratch)
    expected = sum(strategy.expected_strokes for strategy in theirs)
    assert played.gained.sum() == pytest.approx(expected - played.mean, abs=1e-9)
    by_family = played.gained_by_family()
    assert sum(by_family.values()) == pytest.approx(expected - played.mean, abs=1e-9)
    assert list(by_family) == list(FAMILIES)
    assert expected < played.mean


def test_gains_on_oneself_are_near_zero_in_every_group(sample: RoundSample) -> None:
    """No group drifts: a bias in one that another one hides would show here."""
    assert np.abs(sample.gained).max() < 0.02


def test_penalties_come_with_water(sample: RoundSample) -> None:
    by_hole = sample.by_family[:, :, PENALTIES].mean(axis=0)
    assert by_hole[1] > 0.05  # the hole over water
    assert by_hole[1] > by_hole[2]


def test_two_golfers_meet_the_same_luck(three_holes: list[Strategy], twelve: Player) -> None:
    """The difference between two golfers varies less with the same luck than with other luck."""
    tour = compile_player(tour_golfer(), aimed_by=reference_golfer(12))
    mine = play_rounds(three_holes, twelve, 20_000, seed=1).scores
    same_luck = play_rounds(three_holes, tour, 20_000, seed=1).scores
    other_luck = play_rounds(three_holes, tour, 20_000, seed=2).scores
    assert np.std(mine - same_luck) < 0.93 * np.std(mine - other_luck)
    assert np.corrcoef(mine, other_luck)[0, 1] == pytest.approx(0.0, abs=0.03)
