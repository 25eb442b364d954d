"""Single shots of a golfer: where they finish, for what is measured shot by shot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rangework.course.ground_grid import GroundGrid
from rangework.lie import LIE_ON_GROUND, Ground, Lie
from rangework.play import kernels
from rangework.play.lattice import Layout, lay_out
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import Golfer, longest_targets

FloatArray = NDArray[np.float64]
_FIELD_M, _TARGET_M = 480.0, 400.0


@dataclass(frozen=True)
class Shots:
    """Where shots finished, metres from the ball's place: right and on; by the ground; struck poorly or not."""

    right_m: FloatArray
    on_m: FloatArray
    to_pin_m: FloatArray  #: nan where the ball is not in play
    ground: NDArray[np.int64]
    poor: NDArray[np.bool_]


@njit
def _strokes(hole: Any, player: Any, seed: int, row: int, start: Any, target: Any, found: Any) -> None:
    for i in range(found.shape[0]):
        key = kernels.luck_key(seed, i, 1)
        x, y, ending, _z1, _z2, poor, _aimed = kernels.play_stroke(
            hole, player, key, 0, row, row, start[0], start[1], target[0], target[1], int(target[2])
        )
        found[i, 0], found[i, 1], found[i, 2] = x - start[0], y - start[1], np.nan
        if ending == kernels.IN_PLAY:
            found[i, 2] = np.hypot(x - hole.pin_x, y - hole.pin_y)
        found[i, 3], found[i, 4] = kernels.ground_at(hole, x, y), poor


def play_shots(
    layout: Layout,
    golfer: Golfer,
    lie: Lie,
    start: tuple[float, float],
    target: tuple[float, float, float],
    *,
    shots: int,
    seed: int = 9,
) -> Shots:
    """Shots from ``start`` (x, y) at ``target`` (x, y, height)."""
    found = np.empty((shots, 5))
    _strokes(layout.hole, compile_player(golfer), seed, int(lie), np.array(start), np.array(target), found)
    right, on, to_pin, ground, poor = found.T
    return Shots(right, on, to_pin, ground.astype(np.int64), poor > 0.5)


def planned_shots(strategy: Strategy, golfer: Golfer, lie: Lie, yards_m: float, *, shots: int) -> Shots:
    """Shots from the middle of the hole, ``yards_m`` short of the pin, at the strategy's target from the fairway."""
    hole = strategy.layout.hole
    start = (0.0, hole.pin_y - yards_m)
    target = kernels.next_target(hole, strategy.layout.lattices, strategy.policy, int(Lie.FAIRWAY), *start)
    return play_shots(strategy.layout, golfer, lie, start, target, shots=shots)


def save_chances(
    strategy: Strategy, golfer: Golfer, ground: Ground, near_m: tuple[float, float], *, shots: int
) -> list[float]:
    """Chance of two strokes or fewer from places on a ground between two distances from the pin."""
    hole, player = strategy.layout.hole, compile_player(golfer)
    distance_m = player.putt_step * np.arange(len(player.cumulative))
    lie = Lie(LIE_ON_GROUND[ground])
    chances = []
    for start in places_near(strategy.layout, ground, near_m):
        target = kernels.next_target(hole, strategy.layout.lattices, strategy.policy, int(lie), *start)
        hit = play_shots(strategy.layout, golfer, lie, start, target, shots=shots)
        one_putt = np.interp(hit.to_pin_m, distance_m, player.cumulative[:, 0])
        putted = np.isin(hit.ground, (Ground.GREEN, Ground.FRINGE))
        chances.append(float(np.where(putted, one_putt, 0.0).mean()))
    return chances


def places_near(layout: Layout, ground: Ground, near_m: tuple[float, float]) -> list[tuple[float, float]]:
    """Every seventh cell of a ground between two distances from the pin."""
    x_m, y_m = (axis.ravel() for axis in np.meshgrid(*layout.grid.cell_centres()))
    away = np.hypot(x_m - layout.hole.pin_x, y_m - layout.hole.pin_y)
    chosen = (layout.grid.ground.ravel() == ground) & (away >= near_m[0]) & (away < near_m[1])
    return [(float(x), float(y)) for x, y in zip(x_m[chosen][::7], y_m[chosen][::7], strict=True)]


def open_field() -> Layout:
    """Mown ground as far as a ball can go, a pin 400 m away."""
    ground = np.full((int(_FIELD_M) + 40, 400), int(Ground.FAIRWAY), dtype=np.uint8)
    grid = GroundGrid(ground, (-200.0, -20.0), 1.0, (0.0, 0.0), (0.0, _TARGET_M), 1, 5)
    return lay_out(grid, coarse_step_m=40.0, fine_step_m=40.0)


def shots_on_field(golfer: Golfer, length_m: float, *, shots: int, seed: int = 9) -> Shots:
    """Shots of a length on open ground: from fairway as long as a club for it reaches, else from the tee."""
    longest = longest_targets(golfer)
    lie = Lie.FAIRWAY if length_m <= longest[Lie.FAIRWAY] else Lie.TEE
    return play_shots(open_field(), golfer, lie, (0.0, 0.0), (0.0, length_m, 1.0), shots=shots, seed=seed)


def drives(golfer: Golfer, *, shots: int, seed: int = 9) -> Shots:
    """Drives with the driver on open ground, poor strikes among them."""
    target = (0.0, golfer.driver_m, 1.0)
    return play_shots(open_field(), golfer, Lie.TEE, (0.0, 0.0), target, shots=shots, seed=seed)
