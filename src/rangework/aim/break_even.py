"""The break-even line: where a shot must finish to gain nothing on a reference golfer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.best import best_target
from rangework.aim.level_lines import level_lines
from rangework.aim.objectives import FewestStrokes
from rangework.aim.places import Ball
from rangework.aim.played_hole import PlayedHole
from rangework.aim.targets import Aiming
from rangework.aim.values import AimPoints, mean_value
from rangework.lie import LIE_ON_GROUND, PUTTED_LIES, Ground
from rangework.play import kernels
from rangework.play.strategy import Strategy, compile_player, solve_hole
from rangework.skill.model import Golfer

FloatArray = NDArray[np.float64]

#: Finishes are looked at this far to every side of the pin.
AROUND_M = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class BreakEven:
    """Where a shot gains nothing on a reference golfer who needs ``strokes`` from the same place.

    ``lines_m``: closed lines (n, 2), metres right of the pin and beyond it on the plane of the hole seen from the tee;
    inside a line that turns left a shot gains, inside one that turns right (a hole in the area) it loses. ``putt_m`` is
    the longest putt that still gains; None where even the longest on this green does, or none.
    """

    strokes: float
    lines_m: tuple[FloatArray, ...]
    putt_m: float | None


def break_even(played: PlayedHole, ball: Ball, reference: Golfer, points: AimPoints) -> BreakEven:
    """The line for a shot from where ``ball`` lies, against ``reference`` who plays the best target from there.

    Bunkers, water with its penalty, and green to work with are in that golfer's expected strokes.
    """
    player = compile_player(reference, conditions=played.layout.conditions)
    strategy = solve_hole(played.layout, player)
    objective = FewestStrokes(strategy, Aiming(played, ball, player))
    _, shot = best_target(objective.own, [], points, 1.0)
    strokes = mean_value(objective.own, shot, points.value)
    gains, first = gained(strategy, player, ball, strokes)
    hole = played.layout.hole
    lines = [
        (line + first[::-1] + 0.5) * hole.cell + (hole.x0 - hole.pin_x, hole.y0 - hole.pin_y)
        for line in level_lines(gains, 0.0)
    ]
    return BreakEven(strokes, tuple(lines), _longest_putt_m(player, strokes - 1.0))


def gained(
    strategy: Strategy, player: kernels.Player, ball: Ball, strokes: float
) -> tuple[FloatArray, NDArray[np.int64]]:
    """Strokes gained by finishing in each cell around the pin [row, column], and the first row and column."""
    hole, grid = strategy.layout.hole, strategy.layout.grid
    x, y = grid.cell_centres()
    columns, rows = (
        np.flatnonzero(np.abs(axis - at) <= AROUND_M) for axis, at in ((x, hole.pin_x), (y, hole.pin_y))
    )
    ground = grid.ground[np.ix_(rows, columns)]
    cost = strategy.cost[np.ix_(rows, columns)].astype(float)
    far = np.hypot(x[columns] - hole.pin_x, (y[rows] - hole.pin_y)[:, None])
    putted = np.isin(ground, [kind for kind, lie in LIE_ON_GROUND.items() if lie in PUTTED_LIES])
    distance = np.arange(len(player.putts)) * player.putt_step
    cost[putted] = np.interp(far[putted], distance, player.putts)
    cost[ground == Ground.OUT] = 1.0 + strokes
    for row, column in np.argwhere(ground == Ground.WATER).tolist():
        place = (float(x[columns[column]]), float(y[rows[row]]))
        cost[row, column] = 1.0 + after_drop(strategy, place, ball, strokes)
    return strokes - 1.0 - cost, np.array([rows[0], columns[0]])


def after_drop(strategy: Strategy, place: tuple[float, float], ball: Ball, strokes: float) -> float:
    """Expected strokes after a ball in water at ``place`` is dropped, or played again from where it was."""
    hole = strategy.layout.hole
    x, y, found = kernels.drop_place(hole, *place, *ball.place_m)
    return float(strategy.cost.ravel()[int(kernels.cell_at(hole, x, y))]) if found else strokes


def _longest_putt_m(player: kernels.Player, strokes: float) -> float | None:
    longer = np.flatnonzero(player.putts > strokes)
    return float(longer[0] * player.putt_step) if len(longer) and longer[0] else None
