"""What a course log shows of a player's aim, and what it does not."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pandas as pd
import pytest
from marsh_holes import Scene

from rangework.aim.habits.rules import Rule
from rangework.aim.habits.seen import SeenHabit, seen_habits
from rangework.aim.habits.shots import Kind, Shots
from rangework.aim.targets import Base, Target
from rangework.lie import Lie
from rangework.play.strategy import Strategy

HOLE = 3


def log_of(
    scene: Scene, share: float, *, shots: int = 12, length_m: float | None = None, seed: int = 4
) -> pd.DataFrame:
    """Tee shots on the par 4 of a share of the longest, scattered as a golfer's are, some of them poor."""
    played = scene.ground.places[2].played
    longest = float(scene.ground.planner.longest[Lie.TEE])
    rng = np.random.default_rng(seed)
    rows = []
    for number in range(shots):
        gone = share * longest * rng.normal(1.0, 0.05) * (0.65 if number % 9 == 8 else 1.0)
        end = played.ahead(played.layout.grid.tee_m, gone)
        left = math.dist((end[0] + rng.normal(0.0, 12.0), end[1]), played.middle_m)
        rows.append(
            (HOLE, 1, Lie.TEE, length_m or math.dist(played.layout.grid.tee_m, played.middle_m), left)
        )
        rows.append((HOLE, 2, Lie.FAIRWAY, left, 10.0))
    log = pd.DataFrame(rows, columns=["hole", "stroke", "lie", "to_hole_m", "left_to_hole_m"])
    return log.assign(penalty=0)


def seen(scene: Scene, log: pd.DataFrame, best: Sequence[Strategy] | None = None) -> dict[Kind, SeenHabit]:
    found = seen_habits(log, scene.ground.places, best or scene.ground.strategies, scene.ground.planner)
    return {habit.kind: habit for habit in found.habits}


def aimed_short(scene: Scene) -> list[Strategy]:
    """Strategies whose tee shots are half as long as can be."""
    rule = Rule(Shots(Kind.TEE), Target(Base.CARRY, 0.5 * float(scene.ground.planner.longest[Lie.TEE])))
    return list(scene.ground.with_rules([rule]))


def test_what_cannot_be_told_from_the_best_target_counts_as_it(twenty: Scene) -> None:
    (rule,) = seen(twenty, log_of(twenty, 1.0))[Kind.TEE].rules
    assert rule == Rule(Shots(Kind.TEE, holes=(HOLE,)), None)


def test_the_driver_is_seen_as_the_longest_shot(twenty: Scene) -> None:
    (rule,) = seen(twenty, log_of(twenty, 1.0), aimed_short(twenty))[Kind.TEE].rules
    assert rule.target is not None
    assert (rule.target.base, rule.shots.holes) == (Base.LONGEST, (HOLE,))


@pytest.mark.parametrize("share", [0.7, 0.8])
def test_a_shorter_club_is_seen_with_its_length(twenty: Scene, share: float) -> None:
    (rule,) = seen(twenty, log_of(twenty, share))[Kind.TEE].rules
    assert rule.target is not None
    assert rule.target.base is Base.CARRY
    longest = float(twenty.ground.planner.longest[Lie.TEE])
    assert rule.target.length_m == pytest.approx(share * longest * 0.97, rel=0.06)


def test_where_approaches_are_aimed_is_never_made_up(twenty: Scene) -> None:
    approach = seen(twenty, log_of(twenty, 1.0))[Kind.APPROACH]
    assert approach.rules == ()
    assert "pin" in approach.why_not


@pytest.mark.parametrize(
    ("options", "why"),
    [({"shots": 3}, "fewer than"), ({"length_m": 250.0}, "not this course"), ({"shots": 0}, "no rounds")],
)
def test_too_little_is_not_identified(twenty: Scene, options: dict[str, int], why: str) -> None:
    found = seen(twenty, log_of(twenty, 1.0, **options))  # type: ignore[arg-type]
    assert all(habit.rules == () for habit in found.values())
    assert why in found[Kind.TEE].why_not


def test_lay_ups_as_long_as_can_be_are_seen(twenty: Scene) -> None:
    longest = float(twenty.ground.planner.longest[Lie.FAIRWAY])
    rng = np.random.default_rng(1)
    gone = longest * rng.normal(0.97, 0.06, 30)
    rows = [(HOLE, 2, Lie.FAIRWAY, longest * 1.4, longest * 1.4 - far, 0) for far in gone]
    log = pd.DataFrame(rows, columns=["hole", "stroke", "lie", "to_hole_m", "left_to_hole_m", "penalty"])
    (rule,) = seen(twenty, log)[Kind.LONG].rules
    assert rule.target is not None
    assert rule.target.base is Base.LONGEST
    mixed = log.assign(left_to_hole_m=log["left_to_hole_m"] + np.where(log.index % 2, 70.0, 0.0))
    assert seen(twenty, mixed)[Kind.LONG].why_not
