"""The best target from everywhere on a hole, by dynamic programming."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.conditions import NEUTRAL, Conditions
from rangework.play import kernels
from rangework.play.kernels import Nodes, Player, Points, Policy
from rangework.play.lattice import Layout, fills_by_ring, lay_out
from rangework.play.points import error_points
from rangework.skill.model import Golfer, compile_golfer
from rangework.skill.putting import PuttingSkill, PuttTables, putt_tables


@dataclass(frozen=True, slots=True)
class Effort:
    """Error points that screen targets, choose among them and value the choice, far from and near the pin."""

    far: tuple[Points, Points, Points]
    near: tuple[Points, Points, Points]
    starts: int = 1  #: how many of the screened targets are refined


def standard_effort() -> Effort:
    """The effort whose value error and policy loss docs/explanation/strategy.md states."""
    return Effort(
        far=(error_points(64, 16), error_points(320, 64, 0.1), error_points(640, 128, 0.3, 8)),
        near=(error_points(48, 12), error_points(160, 40, 0.1), error_points(192, 48, 0.3, 8)),
    )


@dataclass(frozen=True, slots=True)
class Strategy:
    """A golfer's best targets on one hole and what they are expected to cost.

    ``value[node]`` and ``cost[iy, ix]`` are expected strokes to hole out from a node and for a ball at rest in
    a cell; ``expected_strokes`` is the value of the tee.
    """

    layout: Layout
    policy: Policy
    value: NDArray[np.float64]
    cost: NDArray[np.float32]

    @property
    def expected_strokes(self) -> float:
        """Expected strokes on the hole."""
        return float(self.value[self.layout.tee_node])


def compile_player(
    golfer: Golfer,
    *,
    aimed_by: Golfer | None = None,
    conditions: Conditions = NEUTRAL,
    putt_step_m: float = 0.1,
) -> Player:
    """All that the kernels need of a golfer; see ``compile_golfer`` for ``aimed_by``.

    ``conditions`` are those of the layouts that are played, ``putt_step_m`` is the spacing of the table of putts.
    """
    tables = compile_golfer(golfer, aimed_by=aimed_by)
    putts = putts_on(golfer.putting, conditions, step_m=putt_step_m)
    return Player(
        tables.table, tables.longest_m, tables.correlation, putts.expected, putts.cumulative, putts.step_m
    )


def player_on(layouts: Sequence[Layout], golfer: Golfer) -> Player:
    """The golfer for the kernels, in the conditions that the holes are played in."""
    return compile_player(golfer, conditions=layouts[0].conditions)


def putts_on(putting: PuttingSkill, conditions: Conditions, *, step_m: float = 0.1) -> PuttTables:
    """Putts by distance at the day's green speed.

    The hole takes a ball that would run farther past on a faster green, and every putt breaks more, so that the part of
    the line error that reading brings grows with the speed (sources.toml: assumption.conditions.break).
    """
    reading = putting.reading_rad_per_m * conditions.green_speed_share
    return putt_tables(putting._replace(reading_rad_per_m=reading), conditions.green_speed_ft, step_m=step_m)


def solve_hole(layout: Layout, player: Player, effort: Effort | None = None) -> Strategy:
    """The strategy of one golfer on one hole."""
    effort = effort or standard_effort()
    n = len(layout.nodes.x)
    policy = Policy(np.zeros(n), np.zeros(n), np.ones(n, dtype=np.int64))
    value = np.empty(n)
    cost = np.empty(layout.hole.ground.shape, dtype=np.float32)
    kernels.solve(
        layout.hole, layout.lattices, layout.nodes, player,
        (*effort.far, *effort.near), layout.near_rings, effort.starts, value, policy, cost,
    )  # fmt: skip
    return Strategy(layout, policy, value, cost)


def solve_course(
    layouts: Sequence[Layout], player: Player, *, effort: Effort | None = None, threads: int = 2
) -> list[Strategy]:
    """Strategies of all holes; the answer does not depend on ``threads``."""
    effort = effort or standard_effort()
    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(lambda layout: solve_hole(layout, player, effort), layouts))


def refine_course(
    strategies: Sequence[Strategy], player: Player, *, effort: Effort | None = None, threads: int = 2
) -> list[Strategy]:
    """Strategies of a golfer not much different from the one that ``strategies`` are for.

    Every target is searched on from where it is, which takes a third of the time of ``solve_course``; a target of
    quite another kind is not found. The answer does not depend on ``threads``.
    """
    effort = effort or standard_effort()
    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(lambda strategy: _refine_hole(strategy, player, effort), strategies))


def _refine_hole(strategy: Strategy, player: Player, effort: Effort) -> Strategy:
    layout = strategy.layout
    value, cost = strategy.value.copy(), strategy.cost.copy()
    policy = Policy(*(column.copy() for column in strategy.policy))
    kernels.refine(
        layout.hole, layout.nodes, player, (*effort.far, *effort.near), layout.near_rings, value, policy, cost
    )
    return Strategy(layout, policy, value, cost)


def evaluate_policy(
    strategy: Strategy,
    player: Player,
    *,
    near: Points,
    far: Points,
    sweeps: int = kernels.SETTLE_SWEEPS,
    active: NDArray[np.bool_] | None = None,
) -> Strategy:
    """What another golfer is expected to need with the same targets.

    ``near`` and ``far`` are the error points used near the pin and away from it, ``sweeps`` the most sweeps
    over the rings nearest the pin, ``active`` the nodes to value anew (all, unless given).
    """
    layout = strategy.layout
    value, cost = strategy.value.copy(), strategy.cost.copy()
    hole, nodes, rings = layout.hole, layout.nodes, layout.near_rings
    if active is None:
        active = np.ones(len(value), dtype=np.bool_)
    kernels.settle(hole, nodes, active, strategy.policy, player, near, rings, sweeps, value, cost)
    last = len(nodes.ring_start) - 1
    kernels.evaluate(hole, nodes, active, strategy.policy, player, near, far, rings, last, value, cost)
    return Strategy(layout, strategy.policy, value, cost)


def coarsened(strategy: Strategy, *, coarse_step_m: float = 14.0, fine_step_m: float = 7.0) -> Strategy:
    """The same targets on a coarser layout, for valuing many golfers quickly."""
    fine = strategy.layout
    layout = lay_out(
        fine.grid,
        coarse_step_m=coarse_step_m,
        fine_step_m=fine_step_m,
        conditions=fine.conditions,
        hole=fine.hole,
    )
    nodes, source = layout.nodes, np.empty(len(layout.nodes.x), dtype=np.int64)
    kernels.nearest_nodes(fine.lattices, nodes.row, nodes.x, nodes.y, source[:-1])
    source[-1] = fine.tee_node
    source[source < 0] = fine.tee_node
    policy = Policy(*(column[source] for column in strategy.policy))
    return Strategy(layout, policy, strategy.value[source], strategy.cost.copy())


def narrowed(strategy: Strategy, active: NDArray[np.bool_]) -> Strategy:
    """The same strategy for valuing only the nodes that are ``active``, many times over.

    Cells that read from none of them keep their cost and are not written again.
    """
    nodes = strategy.layout.nodes
    order = nodes.cell_order
    kept = (active[nodes.cell_node[order]] & (nodes.cell_weight[order] > 0.0)).any(axis=1)
    order, starts = order[kept], np.concatenate([[0], np.cumsum(kept)])[nodes.cell_ring_start]
    fills = fills_by_ring(order, starts, nodes.ring_start, nodes.cell_node, nodes.cell_weight, active)
    fewer = Nodes(*nodes._replace(cell_order=order, cell_ring_start=starts)[: -len(fills)], *fills)
    return replace(strategy, layout=replace(strategy.layout, nodes=fewer))
