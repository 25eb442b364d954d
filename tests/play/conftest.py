"""The demo course, solved for a golfer of handicap 12, shared by the tests of this folder."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from rangework.course.geometry import Course
from rangework.course.ground_grid import ground_grid
from rangework.play.kernels import Player
from rangework.play.lattice import Layout, lay_out
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer

sys.path.insert(0, str(Path(__file__).parent))

#: Holes 3, 7 and 14: a par 3, one over water and a narrow one between trees.
THREE = (2, 6, 13)


@pytest.fixture(scope="session")
def demo_layouts(demo_course: Course) -> list[Layout]:
    """All demo holes from the back tees to their first pins."""
    tee = demo_course.tees[0].name
    return [lay_out(ground_grid(hole, tee, next(iter(hole.pins)))) for hole in demo_course.holes]


@pytest.fixture(scope="session")
def twelve() -> Player:
    return compile_player(reference_golfer(12))


@pytest.fixture(scope="session")
def three_holes(demo_layouts: list[Layout], twelve: Player) -> list[Strategy]:
    """Strategies of the handicap 12 on three holes."""
    return solve_course([demo_layouts[hole] for hole in THREE], twelve)
