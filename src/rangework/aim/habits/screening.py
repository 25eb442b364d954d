"""What every possible rule would save, roughly and all at once: which ones are worth valuing exactly.

A rule saves, to first order, how often rounds come to each of its shots times what its target saves there while
everything after stays as it is. That ranks thousands of rules in a second; the few at the top are then valued
exactly (``choosing.py``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from rangework.aim.habits.candidates import Aims, candidate_rules
from rangework.aim.habits.rules import Rule, rule_targets
from rangework.aim.habits.shots import Asked, FloatArray, Kind, Mask, Shots
from rangework.aim.habits.valuing import PlayedCourse, RulePoints, shot_values, valued, visits
from rangework.aim.targets import Target
from rangework.play.kernels import Policy
from rangework.play.strategy import Strategy
from rangework.skill.model import STANDARD

#: Most holes that one rule may name.
MOST_HOLES = 3
#: A hole is named for this many strokes a round at least.
_LEAST_ON_HOLE = 0.01

Aim = tuple[Kind, Target, float]


@dataclass(frozen=True, slots=True, eq=False)
class Screen:
    """Places of one or several sets of pins: what they ask for, how often rounds come, what each aim costs there.

    ``now`` is the cost of what is aimed at, ``costs[aim]`` that of another target, infinite where it cannot be aimed
    at. ``come`` counts visits a round, averaged over the sets of pins.
    """

    asked: Asked
    come: FloatArray
    now: FloatArray
    costs: dict[Aim, FloatArray]

    def saving_by_place(self, aim: Aim) -> FloatArray:
        """What an aim saves at each place, 0 where it cannot be aimed at."""
        costs = self.costs[aim]
        apart = np.where(np.isfinite(costs), self.now - np.minimum(costs, 1e6), 0.0)
        saved: FloatArray = self.come * apart
        return saved

    def ranked(self, aims: Aims, free: Mask, least: float) -> list[tuple[float, Rule]]:
        """Rules that save at least ``least`` at ``free`` places, most first."""
        kinds: dict[Aim, FloatArray] = {}
        found = []
        masks: dict[Shots, Mask] = {}
        for rule in (*candidate_rules(aims), *self._of_holes(aims, free)):
            assert rule.target is not None
            aim = (rule.shots.kind, rule.target, rule.inward)
            if aim not in kinds:
                kinds[aim] = np.where(free, self.saving_by_place(aim), 0.0)
            if rule.shots not in masks:
                masks[rule.shots] = self.asked.of_shots(rule.shots)
            saved = float(kinds[aim][masks[rule.shots]].sum())
            if saved >= least:
                found.append((saved, rule))
        return sorted(found, key=lambda each: -each[0])

    def _of_holes(self, aims: Aims, free: Mask) -> Iterable[Rule]:
        """For each target the few holes where it saves most."""
        numbers = np.unique(self.asked.hole).tolist()
        for kind in Kind:
            for target, inward in aims.of(kind):
                held = free & self.asked.kinds[kind]
                saved = np.where(held, self.saving_by_place((kind, target, inward)), 0.0)
                by_hole = {hole: float(saved[self.asked.hole == hole].sum()) for hole in numbers}
                best = sorted(
                    (hole for hole in numbers if by_hole[hole] > _LEAST_ON_HOLE), key=lambda h: -by_hole[h]
                )
                for most in range(1, min(len(best), MOST_HOLES) + 1):
                    yield Rule(Shots(kind, holes=tuple(sorted(best[:most]))), target, inward)

    def with_rule(self, rule: Rule, free: Mask) -> Screen:
        """The screen once a rule holds at ``free`` places."""
        assert rule.target is not None
        costs = self.costs[rule.shots.kind, rule.target, rule.inward]
        held = free & self.asked.of_shots(rule.shots) & np.isfinite(costs)
        return replace(self, now=np.where(held, costs, self.now))

    def holds(self, rule: Rule) -> Mask:
        """The places where a rule holds."""
        assert rule.target is not None
        costs = self.costs[rule.shots.kind, rule.target, rule.inward]
        return self.asked.of_shots(rule.shots) & np.isfinite(costs)


def screen(courses: Sequence[PlayedCourse], habits: Sequence[Rule], aims: Aims) -> Screen:
    """The screen of a player's habits over several sets of pins."""
    parts = [
        _hole_screen(course, hole, habit, aims, len(courses))
        for course in courses
        for hole, habit in enumerate(course.with_rules(habits))
    ]
    names = parts[0].costs
    return Screen(
        Asked.together([part.asked for part in parts]),
        np.concatenate([part.come for part in parts]),
        np.concatenate([part.now for part in parts]),
        {name: np.concatenate([part.costs[name] for part in parts]) for name in names},
    )


def _hole_screen(course: PlayedCourse, hole: int, habit: Strategy, aims: Aims, sets: int) -> Screen:
    points, player, places = RulePoints.few(), course.planner, course.places[hole]
    after = valued(habit, player, points)
    come = visits(after, player, points)
    active = come > 0.0
    now = shot_values(after, habit, player, points, active)
    costs: dict[Aim, FloatArray] = {}
    for kind in Kind:
        for target, inward in aims.of(kind):
            nodes = np.flatnonzero(active & places.asked.kinds[kind])
            cost = np.full(len(come), np.inf)
            if len(nodes):
                at, usable = rule_targets(Rule(Shots(kind), target, inward), places, player, nodes)
                nodes, at = nodes[usable], at[usable]
                cost[nodes] = _costs_at(after, course, nodes, at, points)
            costs[kind, target, inward] = cost
    return Screen(places.asked, come / sets, now, costs)


def _costs_at(
    after: Strategy, course: PlayedCourse, nodes: np.ndarray, at: FloatArray, points: RulePoints
) -> FloatArray:
    policy = Policy(*(column.copy() for column in after.policy))
    policy.x[nodes], policy.y[nodes], policy.height[nodes] = at[:, 0], at[:, 1], STANDARD
    active = np.zeros(len(policy.x), dtype=np.bool_)
    active[nodes] = True
    costs = shot_values(after, replace(after, policy=policy), course.planner, points, active)
    at_nodes: FloatArray = costs[nodes]
    return at_nodes
