"""Par 3s drawn by cells, and golfers who aim at them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray
from synthetic_holes import drawn_hole

from rangework.aim import Aiming, PlayedHole, place_ball
from rangework.aim.objectives import FewestStrokes
from rangework.aim.places import FromDistance, FromPoint
from rangework.aim.values import AimPoints, StrokesOutlook, balanced_points
from rangework.course.ground_grid import GroundGrid
from rangework.lie import Ground
from rangework.play.lattice import lay_out
from rangework.play.strategy import Strategy, compile_player, solve_hole
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer

FloatArray = NDArray[np.float64]
LENGTH_M = 130.0
#: Fewer points than usual, for tests.
FEW = AimPoints(
    balanced_points(480, 120, 0.1, 2), balanced_points(2000, 500, 0.37, 2), balanced_points(800, 200, 0.37, 2)
)


@dataclass(frozen=True, eq=False)
class Scene:
    """A ball on a hole, its golfer, and the golfer's strategy."""

    golfer: Golfer
    strategy: Strategy
    aiming: Aiming

    @property
    def outlook(self) -> StrokesOutlook:
        return FewestStrokes(self.strategy, self.aiming).own


def par_three(
    *,
    pin_x: float = 0.0,
    water: bool = False,
    sand: bool = False,
    mirrored: bool = False,
    length_m: float = LENGTH_M,
) -> GroundGrid:
    """An oval green, the pin ``pin_x`` right of its middle; water or sand all along its right side."""

    def draw(x: FloatArray, y: FloatArray) -> NDArray[np.uint8]:
        across = (-x if mirrored else x) + pin_x
        ground = np.full(x.shape, int(Ground.ROUGH), dtype=np.uint8)
        ground[(y < length_m - 25.0) & (np.abs(across) < 12.0)] = int(Ground.FAIRWAY)
        out = (across / 14.0) ** 2 + ((y - length_m) / 12.0) ** 2
        ground[out < 1.35] = int(Ground.FRINGE)
        beside = (across > 15.5) & (across < 45.0) & (np.abs(y - length_m) < 60.0)
        ground[beside & water] = int(Ground.WATER)
        ground[(across > 15.0) & (across < 24.0) & (np.abs(y - length_m) < 14.0) & sand] = int(Ground.SAND)
        ground[out < 1.0] = int(Ground.GREEN)
        return ground

    return drawn_hole(length_m, 3, draw, half_m=70.0)


def spread(golfer: Golfer, times: float) -> Golfer:
    """The golfer with every full shot ``times`` as wide."""
    return replace(
        golfer,
        approach_depth=times * golfer.approach_depth,
        approach_direction=times * golfer.approach_direction,
    )


def mirrored(golfer: Golfer) -> Golfer:
    """The golfer whose right is left."""
    return replace(
        golfer,
        approach_bias_rad=-golfer.approach_bias_rad,
        tee_bias_rad=-golfer.tee_bias_rad,
        correlation=-golfer.correlation,
    )


def scene(
    grid: GroundGrid,
    golfer: Golfer,
    place: FromDistance | FromPoint | None = None,
    *,
    middle_x: float = 0.0,
    coarse_m: float = 14.0,
    fine_m: float = 5.0,
) -> Scene:
    """The golfer on the tee, or at ``place``, of a straight hole whose green is ``middle_x`` right of the pin."""
    layout = lay_out(grid, coarse_step_m=coarse_m, fine_step_m=fine_m)
    player = compile_player(golfer)
    line = np.array([grid.tee_m, grid.pin_m])
    played = PlayedHole(layout, line, (middle_x, grid.pin_m[1]))
    aiming = Aiming(played, place_ball(played, player, place), player)
    return Scene(golfer, solve_hole(layout, player), aiming)


@cache
def twelve() -> Golfer:
    return reference_golfer(12)


@cache
def tucked_by_water() -> Scene:
    """A handicap 12 at a pin 5 m from the right edge, water beyond it."""
    return scene(par_three(pin_x=9.0, water=True), twelve(), middle_x=-9.0)
