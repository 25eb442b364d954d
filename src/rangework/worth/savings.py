"""Strokes a round that a change of each part saves one golfer.

The estimator is the gradient through the dynamic program: how often a round comes to each place (``visits``)
times what the changed golfer's shot from there would save, the cost of what follows unchanged. By the
performance-difference identity this is the saving up to the change of the visits, which is of second order, as is
(by the envelope theorem) the gain of re-aiming. Bias is the exception: the aim moves with it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.play import kernels
from rangework.play.kernels import Player, Points
from rangework.play.points import error_points
from rangework.play.strategy import Strategy, compile_player, evaluate_policy, putts_on
from rangework.skill.model import BIAS_DEPTH, BIAS_DIRECTION, STANDARD, Golfer, compile_golfer
from rangework.skill.parts import PART_IDS, PARTS, improve

FloatArray = NDArray[np.float64]

_SHOT_PARTS = [index for index, part in enumerate(PARTS) if part.family != "putting"]
_PUTT_PARTS = [index for index, part in enumerate(PARTS) if part.family == "putting"]
#: The golfer after a change of the part of that id.
Change = Callable[[Golfer, str], Golfer]


@dataclass(frozen=True, slots=True)
class WorthPoints:
    """Error points for valuing shots: near the pin, far from it, and at places seldom visited.

    ``sweeps``: how often the rings nearest the pin are valued at most before all are; ``seldom``: places visited
    less often than this in a round are valued on ``few`` points; ``least``: places visited less often are passed
    over; ``putt_step_m``: spacing of the table of putts.
    """

    near: Points
    far: Points
    few: Points
    sweeps: int
    seldom: float
    least: float
    putt_step_m: float

    @classmethod
    def many(cls, shift: float = 0.3) -> WorthPoints:
        """For the posterior mean."""
        return cls(
            error_points(96, 32, shift, 8),
            error_points(320, 96, shift, 16),
            # 24 points make a spread's worth 3 to 6 % too high: their tails are too light
            error_points(48, 16, shift, 16),
            6,
            2e-3,
            1e-6,
            0.1,
        )

    @classmethod
    def quick(cls, shift: float = 0.3) -> WorthPoints:
        """For each of many posterior draws."""
        return cls(
            error_points(24, 12, shift, 16),
            error_points(96, 32, shift, 32),
            error_points(16, 8, shift, 32),
            0,
            1e-2,
            1e-3,
            0.2,
        )


def golfer_worths(
    strategies: Sequence[Strategy],
    golfer: Golfer,
    *,
    change: Change = improve,
    aimed_by: Golfer | None = None,
    shifts: FloatArray | None = None,
    points: WorthPoints | None = None,
    reached: Sequence[NDArray[np.bool_]] | None = None,
    threads: int = 2,
) -> FloatArray:
    """Strokes a round saved by a change of each part for one golfer, targets as in ``strategies``.

    ``change``: what is done to a part, one step of improvement unless given. ``aimed_by``: the golfer whose
    strategies they are, if that is another one (a posterior mean and its draw); ``shifts``: that golfer's
    ``aim_shifts``, where they are known already. ``reached``: by hole the nodes
    worth valuing anew (all, unless given; see ``reached_nodes``).
    """
    points = points or WorthPoints.many()
    conditions = strategies[0].layout.conditions
    player = compile_player(golfer, aimed_by=aimed_by, conditions=conditions, putt_step_m=points.putt_step_m)
    planner = aimed_by or golfer
    changes, marks = _changes(golfer, planner, change, player)
    if shifts is None:
        shifts = aim_shifts(planner, change)
    changed_putts = [
        putts_on(change(golfer, PART_IDS[part]).putting, conditions, step_m=points.putt_step_m).expected
        for part in _PUTT_PARTS
    ]

    def on_hole(hole: int) -> FloatArray:
        active = reached[hole] if reached else None
        return _hole_savings(
            strategies[hole], player, points, (changes, marks, shifts), changed_putts, active
        )

    by_hole = np.array(in_threads(on_hole, range(len(strategies)), threads))
    saved: FloatArray = by_hole.sum(axis=0)
    return saved


def reached_nodes(
    strategies: Sequence[Strategy], golfer: Golfer, points: WorthPoints
) -> list[NDArray[np.bool_]]:
    """By hole, the nodes that a round of ``golfer`` reaches often enough to matter."""
    conditions = strategies[0].layout.conditions
    player = compile_player(golfer, conditions=conditions, putt_step_m=points.putt_step_m)
    return [_visits(strategy, player, points)[0] > points.least for strategy in strategies]


def in_threads(work: Callable[[int], FloatArray], items: Sequence[int], threads: int) -> list[FloatArray]:
    """The results of ``work`` in the order of ``items``, whatever the number of threads."""
    if threads == 1:
        return [work(item) for item in items]
    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(work, items))


def aim_shifts(planner: Golfer, change: Change = improve) -> FloatArray:
    """How the planner moves the aim for the change of each shot part, ``[change, lie, distance, (metres, radians)]``.

    A golfer knows a bias only as the planner does: when it is halved, the aim moves by half of the planner's
    idea of it.
    """
    before = compile_golfer(planner).table[:, STANDARD]
    shifts = np.zeros((len(_SHOT_PARTS), before.shape[0], before.shape[1], 2))
    for row, part in enumerate(_SHOT_PARTS):
        if PARTS[part].kind == "bias":
            moved = before - compile_golfer(change(planner, PART_IDS[part])).table[:, STANDARD]
            shifts[row] = moved[:, :, [BIAS_DEPTH, BIAS_DIRECTION]]
    return shifts


def _changes(
    golfer: Golfer, planner: Golfer, change: Change, player: Player
) -> tuple[FloatArray, NDArray[np.uint8]]:
    """Tables of the golfer after the change of each shot part, and marks where they differ from today's."""
    tables = np.empty((len(_SHOT_PARTS), *player.table.shape))
    marks = np.empty((*player.table.shape[:3], len(_SHOT_PARTS)), dtype=np.uint8)
    for row, part in enumerate(_SHOT_PARTS):
        tables[row] = compile_golfer(change(golfer, PART_IDS[part]), aimed_by=planner).table
        kernels.mark_changes(player.table, tables[row], marks[..., row])
    return tables, marks


def _visits(strategy: Strategy, player: Player, points: WorthPoints) -> tuple[FloatArray, FloatArray]:
    """How often a round comes to each node, and putts first from each distance of the putt tables."""
    layout = strategy.layout
    inflow, putts_from = np.zeros(len(layout.nodes.x)), np.zeros(len(player.putts))
    kernels.visits(
        layout.hole, layout.nodes, strategy.policy, player, points.few, points.near, points.far,
        layout.near_rings, points.seldom, points.least, strategy.cost, inflow, putts_from,
    )  # fmt: skip
    return inflow, putts_from


def _hole_savings(
    strategy: Strategy,
    player: Player,
    points: WorthPoints,
    changes: tuple[FloatArray, NDArray[np.uint8], FloatArray],
    changed_putts: Sequence[FloatArray],
    active: NDArray[np.bool_] | None,
) -> FloatArray:
    layout = strategy.layout
    valued = evaluate_policy(
        strategy, player, near=points.near, far=points.far, sweeps=points.sweeps, active=active
    )
    inflow, putts_from = _visits(valued, player, points)
    shots = np.zeros(len(_SHOT_PARTS))
    kernels.savings(
        layout.hole, layout.nodes, strategy.policy, player, valued.cost, inflow, *changes,
        points.few, points.near, points.far, layout.near_rings, points.seldom, points.least, shots,
    )  # fmt: skip
    saved = np.empty(len(PARTS))
    saved[_SHOT_PARTS] = shots
    saved[_PUTT_PARTS] = [putts_from @ (player.putts - after) for after in changed_putts]
    return saved
