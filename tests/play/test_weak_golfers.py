"""A weak golfer finds a way round a forced carry instead of trying it for ever."""

from __future__ import annotations

import pytest

from rangework.course import Course, ground_grid
from rangework.play.lattice import lay_out
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.reference import reference_golfer


@pytest.mark.parametrize("handicap", [36.0, 54.0])
def test_every_hole_is_finished_as_valued(handicap: float, demo_course: Course) -> None:
    # holes 3, 7, 13 and 18 of the demo have water to carry
    layouts = [
        lay_out(ground_grid(demo_course.holes[number - 1], "middle", "tucked")) for number in (3, 7, 13, 18)
    ]
    player = compile_player(reference_golfer(handicap))
    strategies = solve_course(layouts, player)
    mean = play_rounds(strategies, player, 20_000).strokes.mean(axis=0)
    assert mean == pytest.approx([strategy.expected_strokes for strategy in strategies], abs=0.12)
