"""A logbook is written by the same physics as the rounds that are counted."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from rangework.course.standard_hole import standard_hole
from rangework.lie import Lie
from rangework.play.lattice import lay_out
from rangework.play.logbook import LoggedStroke, play_logged, roll_putt_to
from rangework.play.rounds import play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.putting import make_probability, reference_putting
from rangework.skill.reference import reference_golfer

GOLFER = reference_golfer(14.0)
ROUNDS = 400


@pytest.fixture(scope="module")
def strategies() -> list[Strategy]:
    grids = [
        replace(standard_hole(length, seed=number), number=number)
        for number, length in ((1, 150.0), (2, 350.0))
    ]
    layouts = [lay_out(grid) for grid in grids]
    return solve_course(layouts, compile_player(GOLFER))


@pytest.fixture(scope="module")
def log(strategies: list[Strategy]) -> list[LoggedStroke]:
    return play_logged(strategies, GOLFER, ROUNDS, seed=5)


def scores(log: list[LoggedStroke]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    taken: dict[int, int] = {}
    for stroke in log:
        taken[stroke.round] = taken.get(stroke.round, 0) + 1 + stroke.penalty
    return np.array(list(taken.values()), dtype=np.float64)


def holes(log: list[LoggedStroke]) -> list[list[LoggedStroke]]:
    found: dict[tuple[int, int], list[LoggedStroke]] = {}
    for stroke in log:
        found.setdefault((stroke.round, stroke.hole), []).append(stroke)
    return list(found.values())


def test_mean_score_is_that_of_the_rounds_that_are_counted(
    strategies: list[Strategy], log: list[LoggedStroke]
) -> None:
    counted = play_rounds(strategies, compile_player(GOLFER), 20_000, seed=8).mean
    logged = scores(log)
    error = logged.std(ddof=1) / math.sqrt(logged.size)
    assert abs(logged.mean() - counted) < 3.5 * error
    wide = scores(play_logged(strategies, GOLFER, ROUNDS, seed=5, aim_scatter_rad=0.2))
    assert wide.mean() - counted > 3.5 * error  # the check sees a golfer who aims badly


def test_every_stroke_starts_where_the_one_before_ended(log: list[LoggedStroke]) -> None:
    for strokes in holes(log):
        assert (strokes[0].stroke, strokes[0].lie) == (1, Lie.TEE)
        assert (strokes[-1].next_lie, strokes[-1].left_to_hole_m) == (Lie.HOLED, 0.0)
        for before, after in pairwise(strokes):
            assert after.stroke == before.stroke + 1 + before.penalty
            assert (after.lie, after.to_hole_m) == (before.next_lie, before.left_to_hole_m)


def test_the_same_seed_writes_the_same_log(strategies: list[Strategy], log: list[LoggedStroke]) -> None:
    assert play_logged(strategies, GOLFER, 3, seed=5) == [stroke for stroke in log if stroke.round <= 3]
    assert play_logged(strategies, GOLFER, 3, seed=6) != [stroke for stroke in log if stroke.round <= 3]


def test_the_card_tells_the_length_on_the_tee(strategies: list[Strategy]) -> None:
    log = play_logged(strategies, GOLFER, 1, seed=5, card_m=[160.0, 360.0])
    assert [stroke.to_hole_m for stroke in log if stroke.stroke == 1] == [160.0, 360.0]


@pytest.mark.parametrize("length_m", [1.2, 3.0, 9.0])
def test_putts_are_holed_as_often_as_the_putting_model_says(length_m: float) -> None:
    skill, rng, tries = reference_putting(14.0), np.random.default_rng(3), 6000
    holed = sum(roll_putt_to(length_m, skill, rng)[0] for _ in range(tries)) / tries
    chance = float(make_probability(length_m, skill))
    assert abs(holed - chance) < 3.5 * math.sqrt(chance * (1.0 - chance) / tries)
