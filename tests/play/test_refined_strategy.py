"""Targets searched on from a neighbouring golfer's are as good as targets found anew."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.course import Course, ground_grid
from rangework.play.lattice import Layout, lay_out
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, refine_course, solve_course
from rangework.skill.parts import improve
from rangework.skill.reference import reference_golfer

HOLES = (0, 6, 12)
ROUNDS = 60_000


@pytest.fixture(scope="module")
def tucked(demo_course: Course) -> list[Layout]:
    return [lay_out(ground_grid(demo_course.holes[number], "middle", "tucked")) for number in HOLES]


def test_refined_targets_are_as_good_as_new_ones(tucked: list[Layout]) -> None:
    before = reference_golfer(14)
    after = improve(improve(improve(before, "approach.poor_strikes"), "tee.direction"), "tee.carry")
    known = solve_course(tucked, compile_player(before))
    player = compile_player(after)
    new, refined = solve_course(tucked, player), refine_course(known, player)
    by_hole = [
        play_rounds(found, player, ROUNDS).strokes.astype(np.float64) for found in (new, known, refined)
    ]
    found_anew, kept, searched_on = (strokes.mean(axis=0) for strokes in by_hole)
    error = (by_hole[2] - by_hole[0]).std(axis=0) / np.sqrt(ROUNDS)
    assert np.all(searched_on - found_anew <= 0.005 + 3.0 * error)
    assert searched_on.sum() <= kept.sum() + 0.002


def test_threads_change_nothing(tucked: list[Layout]) -> None:
    known = solve_course(tucked, compile_player(reference_golfer(14)))
    player = compile_player(reference_golfer(13))
    one, two = (refine_course(known, player, threads=threads) for threads in (1, 2))
    assert all(np.array_equal(a.value, b.value) for a, b in zip(one, two, strict=True))
