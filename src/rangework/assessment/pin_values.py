"""What a ball gains by where it ends: strokes gained against a reference golfer, pin by pin of a course."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.aim.break_even import after_drop
from rangework.aim.places import Ball
from rangework.aim.played_hole import PlayedHole, heading
from rangework.course.geometry import Hole, Point
from rangework.course.ground_grid import ground_grid
from rangework.lie import LIE_ON_GROUND, PUTTED_LIES, Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.lattice import PAR_THREE_TEE, lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Strategy, compile_player, solve_hole, standard_effort
from rangework.skill.model import Golfer

FloatArray = NDArray[np.float64]

#: Ground that stops a ball where it lands; on the others it runs as far as was expected of it.
_STOPS = (Ground.ROUGH, Ground.SAND, Ground.TREES, Ground.WATER, Ground.OUT)
_PUTTED = [int(ground) for ground, lie in LIE_ON_GROUND.items() if lie in PUTTED_LIES]
#: Water is valued in blocks of this many cells a side.
_BLOCK = 4


@dataclass(frozen=True, slots=True, eq=False)
class PinValues:
    """One pin of a hole, played by a reference golfer.

    ``strategy`` is that golfer's from the tee named to this pin; ``played`` the hole as it is aimed at.
    """

    played: PlayedHole
    player: Player
    strategy: Strategy

    @classmethod
    def of(cls, hole: Hole, tee: str, pin: str, reference: Golfer) -> PinValues:
        """The pin of that name, or a place that any green has. Raises InputError where there is no such tee or pin."""
        layout = lay_out(ground_grid(hole, tee, pin))
        player = compile_player(reference)
        return cls(PlayedHole.of(hole, layout), player, solve_hole(layout, player))

    def shot(self, lie: Lie, distance_m: float) -> ShotValues:
        """A shot at this pin from that far on the line of play, or on a straight line where that is shorter."""
        at = self.played.before_pin(distance_m) or self._behind(distance_m)
        row, reach = (Lie.FAIRWAY, PAR_THREE_TEE) if lie is Lie.TEE else (lie, lie)
        ball = Ball(lie, at, 2, int(row), int(reach))
        strokes = self._best(ball)
        return ShotValues(self, ball, strokes, self._after(ball, strokes))

    def _behind(self, distance_m: float) -> Point:
        right, forward = heading(self.played.start_m, self.played.pin_m)
        x, y = self.played.pin_m
        return x - distance_m * right, y - distance_m * forward

    def _best(self, ball: Ball) -> float:
        """Strokes that the reference golfer needs from the ball, at the best target."""
        effort, found = standard_effort(), np.empty(1)
        kernels.best_values(
            self.strategy.layout.hole, self.strategy.cost, self.player, effort.far[1], effort.far[2],
            error_points(2000, 400, 0.3), np.array([ball.row]), np.array([ball.reach]),
            np.array([ball.place_m[0]]), np.array([ball.place_m[1]]), found,
        )  # fmt: skip
        return float(found[0])

    def _after(self, ball: Ball, strokes: float) -> FloatArray:
        """Strokes from every cell once a ball of this shot lies there, penalty and drop included; greens left out."""
        ground = self.strategy.layout.grid.ground
        cost = self.strategy.cost.astype(np.float64)
        cost[ground == Ground.OUT] = 1.0 + strokes
        x, y = self.strategy.layout.grid.cell_centres()
        for rows, columns in _blocks(ground == Ground.WATER):
            place = (float(x[columns].mean()), float(y[rows].mean()))
            wet = ground[rows, columns] == Ground.WATER
            cost[rows, columns][wet] = 1.0 + after_drop(self.strategy, place, ball, strokes)
        return cost


def _blocks(where: NDArray[np.bool_]) -> Iterator[tuple[slice, slice]]:
    """Blocks of cells that hold one of those marked."""
    rows, columns = np.nonzero(where)
    for row, column in sorted(
        {(int(r) // _BLOCK, int(c) // _BLOCK) for r, c in zip(rows, columns, strict=True)}
    ):
        yield slice(row * _BLOCK, (row + 1) * _BLOCK), slice(column * _BLOCK, (column + 1) * _BLOCK)


@dataclass(frozen=True, slots=True, eq=False)
class ShotValues:
    """One shot at a pin: ``strokes`` that the reference golfer needs from the ball, this stroke included.

    ``after`` [row, column] strokes from each cell of the hole's grid.
    """

    pin: PinValues
    ball: Ball
    strokes: float
    after: FloatArray

    def gained(
        self, long_m: ArrayLike, right_m: ArrayLike, carried_short_m: float | None = None
    ) -> FloatArray:
        """Strokes gained by balls that finish so far beyond the pin and right of it, as seen from the ball.

        ``carried_short_m``: where only the landing was measured, how far short of the finish that was; a ball that
        lands on ground that holds it stays there.
        """
        long, right = np.broadcast_arrays(
            np.asarray(long_m, dtype=np.float64), np.asarray(right_m, dtype=np.float64)
        )
        if carried_short_m:
            held = np.isin(self._ground(long - carried_short_m, right), [int(ground) for ground in _STOPS])
            long = np.where(held, long - carried_short_m, long)
        x, y = self._places(long, right)
        cost = self._cell_values(x, y)
        on_green = np.isin(self._ground(long, right), _PUTTED)
        player = self.pin.player
        putts = np.interp(
            np.hypot(long, right), np.arange(len(player.putts)) * player.putt_step, player.putts
        )
        return np.asarray(self.strokes - 1.0 - np.where(on_green, putts, cost))

    def _places(self, long: FloatArray, right: FloatArray) -> tuple[FloatArray, FloatArray]:
        ahead_x, ahead_y = heading(self.ball.place_m, self.pin.played.pin_m)
        x, y = self.pin.played.pin_m
        return x + long * ahead_x + right * ahead_y, y + long * ahead_y - right * ahead_x

    def _ground(self, long: FloatArray, right: FloatArray) -> NDArray[np.uint8]:
        return self.pin.played.layout.grid.ground_at(*self._places(long, right))

    def _cell_values(self, x: FloatArray, y: FloatArray) -> FloatArray:
        grid = self.pin.played.layout.grid
        rows, columns = self.after.shape
        ix = np.clip(np.floor((x - grid.origin_m[0]) / grid.cell_m).astype(np.int64), 0, columns - 1)
        iy = np.clip(np.floor((y - grid.origin_m[1]) / grid.cell_m).astype(np.int64), 0, rows - 1)
        return np.asarray(self.after[iy, ix])
