"""The demo course and a golfer with every kind of fault, shared by the tests of worth."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rangework.course.geometry import Course
from rangework.course.ground_grid import ground_grid
from rangework.play.lattice import Layout, lay_out
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def layouts(demo_course: Course) -> list[Layout]:
    tee = demo_course.tees[0].name
    return [lay_out(ground_grid(hole, tee, next(iter(hole.pins)))) for hole in demo_course.holes]


@pytest.fixture(scope="session")
def faulty() -> Golfer:
    """A handicap of 12 who misses to the right and whose depth and direction errors go together."""
    bias = np.array([0.02, 0.02, 0.03, 0.03])
    return replace(reference_golfer(12), tee_bias_rad=0.03, approach_bias_rad=bias, correlation=0.2)


@pytest.fixture(scope="session")
def three_holes(layouts: list[Layout], faulty: Golfer) -> list[Strategy]:
    return solve_course([layouts[hole] for hole in (0, 6, 12)], compile_player(faulty))


@pytest.fixture(scope="session")
def eighteen_holes(layouts: list[Layout], faulty: Golfer) -> list[Strategy]:
    return solve_course(layouts, compile_player(faulty))
