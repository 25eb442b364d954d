"""What a list of rules costs: on a coarse layout for many golfers without luck, and in rounds played with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rangework.aim.habits.rules import Rule, aimed
from rangework.aim.habits.shots import FloatArray, HolePlaces, Mask, course_places
from rangework.course.geometry import Course
from rangework.play import kernels
from rangework.play.kernels import Player, Points
from rangework.play.points import error_points
from rangework.play.strategy import Strategy, coarsened, evaluate_policy


@dataclass(frozen=True, slots=True)
class RulePoints:
    """Error points that value rules, other ones than those that chose the best targets."""

    near: Points
    far: Points
    sweeps: int
    passes: (
        int  #: what lies behind a place is read from the best targets first, and from these in a second pass
    )

    @classmethod
    def few(cls) -> RulePoints:
        """For many golfers on a coarse layout."""
        return cls(error_points(24, 12, 0.37, 16), error_points(96, 32, 0.37, 32), 1, 1)

    @classmethod
    def many(cls) -> RulePoints:
        """For one golfer on a fine layout."""
        return cls(error_points(96, 32, 0.37, 8), error_points(320, 96, 0.37, 16), kernels.SETTLE_SWEEPS, 2)


@dataclass(frozen=True, slots=True, eq=False)
class PlayedCourse:
    """The holes of a course with one set of pins, and the best targets of ``planner`` on them."""

    strategies: tuple[Strategy, ...]
    places: tuple[HolePlaces, ...]
    planner: Player

    @classmethod
    def of(cls, course: Course, strategies: Sequence[Strategy], planner: Player) -> PlayedCourse:
        """The ground that ``strategies``, the planner's own, are for."""
        layouts = [strategy.layout for strategy in strategies]
        return cls(tuple(strategies), tuple(course_places(course, layouts, planner.longest)), planner)

    def coarse(self, course: Course) -> PlayedCourse:
        """The same on coarser layouts, for valuing many golfers quickly."""
        return PlayedCourse.of(course, [coarsened(strategy) for strategy in self.strategies], self.planner)

    def with_rules(self, rules: Sequence[Rule]) -> tuple[Strategy, ...]:
        """Every hole with the targets that the rules give."""
        return tuple(
            aimed(strategy, places, self.planner, rules)
            for strategy, places in zip(self.strategies, self.places, strict=True)
        )


def expected_by_hole(strategies: Sequence[Strategy], player: Player, points: RulePoints) -> FloatArray:
    """Expected strokes on each hole with given targets, without luck."""
    return np.array([valued(strategy, player, points).expected_strokes for strategy in strategies])


def valued(strategy: Strategy, player: Player, points: RulePoints) -> Strategy:
    """The strategy with what its targets cost this golfer."""
    for _ in range(points.passes):
        strategy = evaluate_policy(strategy, player, near=points.near, far=points.far, sweeps=points.sweeps)
    return strategy


def shot_values(
    of: Strategy, target_of: Strategy, player: Player, points: RulePoints, active: Mask
) -> FloatArray:
    """By node, what one shot at the targets of ``target_of`` costs when ``of`` is played after it.

    Meaningless at nodes that are not ``active``.
    """
    nodes = of.layout.nodes
    frozen = nodes._replace(fill_start=np.zeros_like(nodes.fill_start))
    value, cost = of.value.copy(), of.cost.copy()
    last = len(nodes.ring_start) - 1
    kernels.evaluate(
        of.layout.hole, frozen, active, target_of.policy, player, points.near, points.far,
        of.layout.near_rings, last, value, cost,
    )  # fmt: skip
    return value


def visits(strategy: Strategy, player: Player, points: RulePoints) -> FloatArray:
    """How often a round comes to each node."""
    layout = strategy.layout
    inflow, putts_from = np.zeros(len(layout.nodes.x)), np.zeros(len(player.putts))
    kernels.visits(
        layout.hole, layout.nodes, strategy.policy, player, points.near, points.near, points.far,
        layout.near_rings, 0.0, 1e-5, strategy.cost, inflow, putts_from,
    )  # fmt: skip
    return inflow


def same_targets(first: Strategy, second: Strategy) -> bool:
    """Whether two strategies on one layout aim at the same places."""
    pairs = zip(first.policy, second.policy, strict=True)
    return all(np.array_equal(one, other) for one, other in pairs)
