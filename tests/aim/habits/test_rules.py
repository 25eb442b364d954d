"""Rules put targets where a golfer who follows them would aim."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from marsh_holes import Scene

from rangework.aim import Aiming, Target
from rangework.aim.habits.rules import Rule, aimed, rule_targets, usual_habits
from rangework.aim.habits.shots import Asked, HolePlaces, Kind, PinPlace, Shots
from rangework.aim.places import Ball
from rangework.aim.targets import Base
from rangework.lie import Ground, Lie
from rangework.units import YARD_M


def nodes_of(places: HolePlaces, shots: Shots) -> np.ndarray:
    return np.flatnonzero(places.asked.of_shots(shots))


def test_targets_are_those_of_the_aim_command(twenty: Scene) -> None:
    hole = twenty.ground.places[2]
    player, nodes = twenty.ground.planner, hole.played.layout.nodes
    targets = (
        (Kind.APPROACH, Target(Base.PIN, right_m=-6.0, long_m=3.0)),
        (Kind.APPROACH, Target(Base.MIDDLE)),
        (Kind.LONG, Target(Base.LONGEST, right_m=9.0)),
        (Kind.LONG, Target(Base.LAY_UP, 90.0)),
        (Kind.TEE, Target(Base.CARRY, 150.0)),
    )
    for kind, target in targets:
        held = nodes_of(hole, Shots(kind))[::7]
        places, usable = rule_targets(Rule(Shots(kind), target), hole, player, held)
        assert usable.any()
        for node, place in zip(held[usable], places[usable], strict=True):
            row, reach = int(nodes.row[node]), int(nodes.reach[node])
            ball = Ball(Lie(row), (float(nodes.x[node]), float(nodes.y[node])), 2, row, reach)
            assert math.dist(Aiming(hole.played, ball, player).place(target), place) < 0.3


def test_halfway_lies_between_pin_and_middle(twenty: Scene) -> None:
    hole = twenty.ground.places[0]
    held = nodes_of(hole, Shots(Kind.APPROACH))
    places, _ = rule_targets(Rule(Shots(Kind.APPROACH), Target(), 0.5), hole, twenty.ground.planner, held)
    assert np.allclose(places, (np.array(hole.played.pin_m) + np.array(hole.played.middle_m)) / 2)


def test_the_first_rule_that_fits_holds_and_the_rest_is_aimed_best(twenty: Scene) -> None:
    hole, best, player = twenty.ground.places[0], twenty.ground.strategies[0], twenty.ground.planner
    near, all_ = Shots(Kind.APPROACH, to_m=100.0), Shots(Kind.APPROACH)
    rules = [Rule(near, None), Rule(all_, Target(Base.MIDDLE)), Rule(all_, Target(Base.PIN))]
    policy = aimed(best, hole, player, rules).policy
    close, far = nodes_of(hole, near), nodes_of(hole, replace(near, from_m=100.0, to_m=math.inf))
    assert np.array_equal(policy.x[close], best.policy.x[close])
    assert np.allclose(policy.x[far], hole.played.middle_m[0])
    others = ~hole.asked.of_shots(all_)
    assert np.array_equal(policy.x[others], best.policy.x[others])


def test_no_rule_aims_over_ground_that_is_out_of_bounds(twenty: Scene) -> None:
    hole, best, player = twenty.ground.places[0], twenty.ground.strategies[0], twenty.ground.planner
    rules = usual_habits(Base.PIN)
    tee = hole.played.layout.tee_node
    assert aimed(best, hole, player, rules).policy.x[tee] == hole.played.pin_m[0]
    grid = hole.played.layout.grid
    fenced = grid.ground.copy()
    rows = slice(fenced.shape[0] // 2, fenced.shape[0] // 2 + 3)
    fenced[rows, :] = int(Ground.OUT)
    layout = replace(hole.played.layout, grid=replace(grid, ground=fenced))
    behind = HolePlaces(replace(hole.played, layout=layout), hole.asked)
    given_way = aimed(best, behind, player, rules).policy
    assert given_way.x[tee] == best.policy.x[tee]
    assert given_way.y[tee] == best.policy.y[tee]


def test_shots_are_told_apart_by_reach_distance_lie_and_pin(twenty: Scene) -> None:
    hole = twenty.ground.places[2]
    asked = hole.asked
    kinds = np.stack([asked.kinds[kind] for kind in Kind])
    assert (kinds.sum(axis=0) <= 1).all()
    assert asked.kinds[Kind.TEE].sum() == 1
    assert not kinds[:, asked.to_pin_m < 60 * YARD_M * 0.99].any()
    long = asked.to_pin_m[asked.kinds[Kind.LONG]]
    assert long.min() > asked.to_pin_m[asked.kinds[Kind.APPROACH] & (asked.row == int(Lie.SAND))].max(
        initial=0.0
    )
    assert asked.of_shots(Shots(Kind.APPROACH, pin=PinPlace.RIGHT))[hole.played.layout.tee_node - 1] in (
        True,
        False,
    )
    assert asked.pins[PinPlace.RIGHT][hole.played.layout.tee_node]
    assert asked.pins[PinPlace.TUCKED].all()
    assert not asked.of_shots(Shots(Kind.APPROACH, holes=(1,))).any()
    assert not asked.of_shots(Shots(Kind.TEE, pars=(5,))).any()


def test_places_of_holes_join(twenty: Scene) -> None:
    parts = [places.asked for places in twenty.ground.places]
    together = Asked.together(parts)
    shots = Shots(Kind.APPROACH, lie="off the fairway", from_m=120.0, pin=PinPlace.RIGHT)
    assert together.of_shots(shots).sum() == sum(part.of_shots(shots).sum() for part in parts)


def test_a_length_alone_keeps_the_best_line(twenty: Scene) -> None:
    hole, best, player = twenty.ground.places[2], twenty.ground.strategies[2], twenty.ground.planner
    tee = hole.played.layout.tee_node
    rule = Rule(Shots(Kind.TEE), Target(Base.CARRY, 150.0), best_line=True)
    policy = aimed(best, hole, player, [rule]).policy
    lines = [math.atan2(each.x[tee], each.y[tee]) for each in (policy, best.policy)]
    assert math.isclose(lines[0], lines[1])
    assert 150.0 < math.hypot(policy.x[tee], policy.y[tee]) < 175.0
