"""What a golfer needs on the course of the season: exact values, no luck of rounds.

The course and the worths are those of the study of drill rankings (tests/validation/drill_ranking.py).
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from members import FloatArray

from rangework.play.strategy import compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.worth import part_gaps

sys.path.append(str(Path(__file__).parents[2] / "tests" / "validation"))
from drill_ranking import ROUND_HOLES, layouts, own_worths, worths_of_draws

__all__ = ["expected_score", "own_worths", "strokes_lost", "worths_of_draws"]


def expected_score(golfer: Golfer) -> float:
    """Strokes a round with the best targets of the golfer's own."""
    return _a_round() * _of_holes(golfer)


def strokes_lost(golfer: Golfer, reference: Golfer) -> FloatArray:
    """[parts] strokes a round lost to a reference golfer."""
    total = _of_holes(golfer) - _of_holes(reference)
    return np.asarray(_a_round() * part_gaps(layouts(), golfer, reference, total, threads=1).lost)


def _of_holes(golfer: Golfer) -> float:
    """Strokes on the holes that stand for a round."""
    strategies = solve_course(layouts(), compile_player(golfer), threads=1)
    return sum(strategy.expected_strokes for strategy in strategies)


def _a_round() -> float:
    return ROUND_HOLES / len(layouts())
