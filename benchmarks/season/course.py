"""What a golfer needs on the course of the season: exact values, no luck of rounds.

The course and the worths are those of the study of drill rankings (tests/validation/drill_ranking.py).
"""

from __future__ import annotations

import sys
from dataclasses import replace
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
from members import FloatArray

from rangework.aim.habits.rules import usual_habits
from rangework.aim.habits.valuing import PlayedCourse, RulePoints, expected_by_hole
from rangework.aim.targets import Base
from rangework.course import read_course
from rangework.play.lattice import Layout
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.worth import part_gaps

sys.path.append(str(Path(__file__).parents[2] / "tests" / "validation"))
from drill_ranking import ROUND_HOLES, layouts, own_worths, worths_of_draws

__all__ = ["expected_score", "own_worths", "strokes_lost", "worths_of_draws"]


def expected_score(golfer: Golfer) -> float:
    """Strokes a round with the best targets of the golfer's own."""
    return _a_round() * _of_holes(golfer, layouts())


def strokes_lost(golfer: Golfer, reference: Golfer) -> FloatArray:
    """[parts] strokes a round lost to a reference golfer, read off every other hole."""
    holes = layouts()[::2]
    total = _of_holes(golfer, holes) - _of_holes(reference, holes)
    return np.asarray(ROUND_HOLES / len(holes) * part_gaps(holes, golfer, reference, total, threads=1).lost)


def lost_by_aiming_at_pins(golfer: Golfer) -> float:
    """Strokes a round between the longest club off the tee and every approach at the pin, and the best targets."""
    player = compile_player(golfer)
    best = solve_course(layouts(), player, threads=1)
    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        course = read_course(path)
    ground = PlayedCourse.of(replace(course, holes=course.holes[: len(best)]), best, player)
    points = RulePoints.few()
    costs = [
        expected_by_hole(aims, player, points).sum()
        for aims in (ground.with_rules(usual_habits(Base.PIN)), ground.strategies)
    ]
    return _a_round() * float(costs[0] - costs[1])


def _of_holes(golfer: Golfer, holes: tuple[Layout, ...]) -> float:
    """Strokes on holes that stand for a round."""
    strategies = solve_course(holes, compile_player(golfer), threads=1)
    return sum(strategy.expected_strokes for strategy in strategies)


def _a_round() -> float:
    return ROUND_HOLES / len(layouts())
