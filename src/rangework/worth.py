"""Worth: strokes a round saved by one step of each part, and how sure that is.

Main estimator, the gradient through the dynamic program: how often a round comes to each place (``visits``)
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
from rangework.play.strategy import Strategy, coarsened, compile_player, evaluate_policy
from rangework.skill.model import BIAS_DEPTH, BIAS_DIRECTION, STANDARD, Golfer, compile_golfer
from rangework.skill.parts import PART_IDS, PARTS, improve
from rangework.skill.putting import putt_tables

FloatArray = NDArray[np.float64]

_SHOT_PARTS = [index for index, part in enumerate(PARTS) if part.family != "putting"]
_PUTT_PARTS = [index for index, part in enumerate(PARTS) if part.family == "putting"]
#: Places visited less often than this in a round are revalued on fewer points.
SELDOM = 2e-3
#: Independent tables of error points that the Monte Carlo error is measured over.
REPLICATES = 6


@dataclass(frozen=True, slots=True)
class WorthPoints:
    """Error points for valuing shots: near the pin, far from it, and at places seldom visited.

    ``sweeps``: how often the rings nearest the pin are valued at most; ``least``: places visited less often
    than this in a round are passed over.
    """

    near: Points
    far: Points
    few: Points
    sweeps: int
    least: float

    @classmethod
    def many(cls, shift: float = 0.3) -> WorthPoints:
        """For the posterior mean."""
        return cls(
            error_points(96, 32, shift, 8),
            error_points(320, 96, shift, 16),
            error_points(24, 12, shift, 16),
            6,
            1e-6,
        )

    @classmethod
    def quick(cls, shift: float = 0.3) -> WorthPoints:
        """For each of many posterior draws."""
        return cls(
            error_points(24, 12, shift, 16),
            error_points(48, 16, shift, 32),
            error_points(16, 8, shift, 32),
            2,
            1e-4,
        )


@dataclass(frozen=True, slots=True)
class WorthTable:
    """Strokes a round saved by one step of each of ``PARTS``.

    ``strokes_saved[part]`` is the mean over the posterior, ``standard_error[part]`` its Monte Carlo error;
    ``draws[draw, part]`` the saving of each posterior draw.
    """

    strokes_saved: FloatArray
    standard_error: FloatArray
    draws: FloatArray

    def interval(self) -> tuple[FloatArray, FloatArray]:
        """The central 90 % of the draws, by part."""
        low, high = np.quantile(self.draws, [0.05, 0.95], axis=0)
        return low, high


def golfer_worths(
    strategies: Sequence[Strategy],
    golfer: Golfer,
    *,
    aimed_by: Golfer | None = None,
    points: WorthPoints | None = None,
    reached: Sequence[NDArray[np.bool_]] | None = None,
    threads: int = 2,
) -> FloatArray:
    """Strokes a round saved by one step of each part for one golfer, targets as in ``strategies``.

    ``aimed_by``: the golfer whose strategies they are, if that is another one (a posterior mean and its draw).
    ``reached``: by hole the nodes worth valuing anew (all, unless given; see ``reached_nodes``).
    """
    planner = aimed_by or golfer
    points = points or WorthPoints.many()
    player = compile_player(golfer, aimed_by=aimed_by)
    changes, shifts = _changes(golfer, planner)
    improved_putts = [_putts_after(golfer, PART_IDS[part]) for part in _PUTT_PARTS]

    def on_hole(hole: int) -> FloatArray:
        active = reached[hole] if reached else None
        return _hole_savings(strategies[hole], player, points, changes, shifts, improved_putts, active)

    with ThreadPoolExecutor(threads) as pool:
        by_hole = np.array(list(pool.map(on_hole, range(len(strategies)))))
    saved: FloatArray = by_hole.sum(axis=0)
    return saved


def reached_nodes(
    strategies: Sequence[Strategy], golfer: Golfer, points: WorthPoints
) -> list[NDArray[np.bool_]]:
    """By hole, the nodes that a round of ``golfer`` reaches often enough to matter."""
    player = compile_player(golfer)
    return [_visits(strategy, player, points)[0] > points.least for strategy in strategies]


def part_worths(
    strategies: Sequence[Strategy],
    mean: Golfer,
    draws: Sequence[Golfer],
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> WorthTable:
    """Worth of every part: strategy of the posterior mean, played by each draw.

    The draws are valued on few error points. The mean golfer, valued on few and on many, tells how far off
    those are, and the mean over the draws is corrected by it.
    """
    exact = []
    for replicate in range(REPLICATES):
        points = WorthPoints.many(0.3 + 0.11 * replicate)
        exact.append(golfer_worths(strategies, mean, points=points, threads=threads))
        if progress:
            progress()
    many, error = np.mean(exact, axis=0), np.std(exact, axis=0, ddof=1) / np.sqrt(REPLICATES)
    if not draws:
        return WorthTable(many, error, many[None, :])
    quick, coarse = WorthPoints.quick(), [coarsened(strategy) for strategy in strategies]
    reached = reached_nodes(coarse, mean, quick)
    few = golfer_worths(coarse, mean, points=quick, reached=reached, threads=threads)
    saved = np.empty((len(draws), len(PARTS)))
    for row, draw in enumerate(draws):
        saved[row] = golfer_worths(
            coarse, draw, aimed_by=mean, points=quick, reached=reached, threads=threads
        )
        if progress:
            progress()
    saved += many - few
    return WorthTable(saved.mean(axis=0), error, saved)


def _changes(golfer: Golfer, planner: Golfer) -> tuple[FloatArray, FloatArray]:
    """Tables of the golfer after one step of each shot part, and how the planner moves the aim for it.

    A golfer knows a bias only as the planner does: when it is halved, the aim moves by half of the planner's
    idea of it.
    """
    before = compile_golfer(planner).table
    tables, shifts = [], np.zeros((len(_SHOT_PARTS), *before.shape[0:1], before.shape[2], 2))
    for row, part in enumerate(_SHOT_PARTS):
        tables.append(compile_golfer(improve(golfer, PART_IDS[part]), aimed_by=planner).table)
        if PARTS[part].kind == "bias":
            after = compile_golfer(improve(planner, PART_IDS[part])).table
            moved = before[:, STANDARD] - after[:, STANDARD]
            shifts[row, :, :, 0] = moved[:, :, BIAS_DEPTH]
            shifts[row, :, :, 1] = moved[:, :, BIAS_DIRECTION]
    return np.array(tables), shifts


def _putts_after(golfer: Golfer, part_id: str) -> FloatArray:
    return putt_tables(improve(golfer, part_id).putting).expected


def _visits(strategy: Strategy, player: Player, points: WorthPoints) -> tuple[FloatArray, FloatArray]:
    """How often a round comes to each node, and putts first from each distance of the putt tables."""
    layout = strategy.layout
    inflow, putts_from = np.zeros(len(layout.nodes.x)), np.zeros(len(player.putts))
    kernels.visits(
        layout.hole, layout.nodes, strategy.policy, player, points.few, points.near, points.far,
        layout.near_rings, SELDOM, points.least, strategy.cost, inflow, putts_from,
    )  # fmt: skip
    return inflow, putts_from


def _hole_savings(
    strategy: Strategy,
    player: Player,
    points: WorthPoints,
    changes: FloatArray,
    shifts: FloatArray,
    improved_putts: Sequence[FloatArray],
    active: NDArray[np.bool_] | None,
) -> FloatArray:
    layout = strategy.layout
    valued = evaluate_policy(
        strategy, player, near=points.near, far=points.far, sweeps=points.sweeps, active=active
    )
    inflow, putts_from = _visits(valued, player, points)
    shots = np.zeros(len(_SHOT_PARTS))
    kernels.savings(
        layout.hole, layout.nodes, strategy.policy, player, valued.cost, inflow, changes, shifts,
        points.few, points.near, points.far, layout.near_rings, SELDOM, points.least, shots,
    )  # fmt: skip
    saved = np.empty(len(PARTS))
    saved[_SHOT_PARTS] = shots
    saved[_PUTT_PARTS] = [putts_from @ (player.putts - after) for after in improved_putts]
    return saved
