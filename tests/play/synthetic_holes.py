"""Holes drawn cell by cell and golfers without spread, for closed forms."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.course.ground_grid import GroundGrid
from rangework.lie import Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Strategy, compile_player, solve_hole, standard_effort
from rangework.skill.model import Golfer
from rangework.skill.putting import PuttingSkill
from rangework.skill.reference import reference_golfer

FloatArray = NDArray[np.float64]


def exact_golfer(**changes: Any) -> Golfer:
    """A golfer of scratch length who hits every target and holes every putt, except as changed."""
    scratch = reference_golfer(0)
    zeros = np.zeros(4)
    exact = replace(
        scratch, tee_depth=0.0, tee_direction_rad=0.0, tee_poor=0.0,
        approach_depth=zeros, approach_direction=zeros, approach_bias_depth=zeros,
        full_poor=np.zeros(3), short_poor=np.zeros(3), chip=0.0, pitch=0.0, bunker=0.0, recovery_poor=0.0,
        putting=PuttingSkill(1e-5, 0.0, 1e-5),
    )  # fmt: skip
    return replace(exact, **changes)


def drawn_hole(
    length_m: float,
    par: int,
    draw: Callable[[FloatArray, FloatArray], NDArray[np.uint8]],
    half_m: float = 90.0,
) -> GroundGrid:
    """A hole whose ground is ``draw(x, y)``, tee at (0, 0) and pin at (0, length)."""
    columns, rows = int(2 * half_m), int(length_m + 120.0)
    x = -half_m + np.arange(columns) + 0.5
    y = -40.0 + np.arange(rows) + 0.5
    across, along = np.meshgrid(x, y)
    ground = draw(across, along).astype(np.uint8)
    return GroundGrid(ground, (-half_m, -40.0), 1.0, (0.0, 0.0), (0.0, length_m), 1, par)


def solved(grid: GroundGrid, golfer: Golfer) -> tuple[Strategy, Player]:
    player = compile_player(golfer)
    return solve_hole(lay_out(grid), player), player


def value_from(strategy: Strategy, player: Player, lie: Lie, x: float, y: float) -> float:
    """Expected strokes of the best target from a place, on fresh error points."""
    effort, value = standard_effort(), np.empty(1)
    kernels.best_values(
        strategy.layout.hole, strategy.cost, player, effort.far[1], effort.far[2],
        error_points(4000, 1000, 0.37), np.array([int(lie)]), np.array([int(lie)]),
        np.array([x]), np.array([y]), value,
    )  # fmt: skip
    return float(value[0])
