"""The course of the season, and what a golfer needs on it: exact values, no luck of rounds."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib.resources import as_file, files

import numpy as np
from members import FloatArray

from rangework.advice import chosen_pins, course_layouts
from rangework.course import read_course
from rangework.play.lattice import Layout, lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Effort, Strategy, compile_player, narrowed, solve_course
from rangework.skill.model import Golfer
from rangework.worth import WorthPoints, golfer_worths, part_gaps
from rangework.worth.savings import reached_nodes

#: Nine holes counted twice.
HOLES, ROUND_HOLES = 9, 18


@cache
def layouts() -> tuple[Layout, ...]:
    """Nine holes of the demo course from its middle tees, as coarse as posterior draws are always valued."""
    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        course = read_course(path)
    tee = course.tees[len(course.tees) // 2]
    fine = course_layouts(course, tee.name, chosen_pins(course, None))[:HOLES]
    return tuple(
        lay_out(each.grid, coarse_step_m=14.0, fine_step_m=7.0, conditions=each.conditions) for each in fine
    )


def expected_score(golfer: Golfer) -> float:
    """Strokes a round with the best targets of the golfer's own."""
    strategies = solve_course(layouts(), compile_player(golfer), threads=1)
    return ROUND_HOLES / HOLES * sum(strategy.expected_strokes for strategy in strategies)


def own_worths(golfer: Golfer) -> FloatArray:
    """[parts] strokes a round per step, with the best targets of the golfer's own."""
    strategies = solve_course(layouts(), compile_player(golfer), threads=1)
    return _a_round(golfer_worths(strategies, golfer, threads=1))


def strokes_lost(golfer: Golfer, reference: Golfer) -> FloatArray:
    """[parts] strokes a round lost to a reference golfer."""
    total = (expected_score(golfer) - expected_score(reference)) * HOLES / ROUND_HOLES
    return _a_round(part_gaps(layouts(), golfer, reference, total, threads=1).lost)


def worths_of_draws(mean: Golfer, draws: Sequence[Golfer]) -> FloatArray:
    """[draws, parts] strokes a round per step: the targets of ``mean``, played by every draw."""
    strategies = solve_course(layouts(), compile_player(mean), effort=_quick_effort(), threads=1)
    many = golfer_worths(strategies, mean, threads=1)
    quick = WorthPoints.quick()
    reached = reached_nodes(strategies, mean, quick)
    few = [narrowed(strategy, nodes) for strategy, nodes in zip(strategies, reached, strict=True)]

    def quickly(golfer: Golfer) -> FloatArray:
        return _worths_of_draw(few, golfer, mean, quick, reached)

    return _a_round(np.array([quickly(golfer) for golfer in draws]) + (many - quickly(mean)))


def _worths_of_draw(
    few: Sequence[Strategy], golfer: Golfer, mean: Golfer, quick: WorthPoints, reached: Sequence[FloatArray]
) -> FloatArray:
    return np.asarray(
        golfer_worths(few, golfer, aimed_by=mean, points=quick, reached=reached, threads=1), dtype=np.float64
    )


def _quick_effort() -> Effort:
    return Effort(
        far=(error_points(48, 12), error_points(160, 32, 0.1), error_points(320, 64, 0.3, 8)),
        near=(error_points(32, 8), error_points(96, 24, 0.1), error_points(128, 32, 0.3, 8)),
    )


def _a_round(of_nine: FloatArray) -> FloatArray:
    return np.asarray(ROUND_HOLES / HOLES * of_nine)
