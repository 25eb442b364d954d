"""Where approaches are aimed is learned from what the player wrote down, and from nothing else."""

from __future__ import annotations

from dataclasses import asdict

import numpy as np
import pandas as pd
import pytest
from marsh_holes import Scene

from rangework.aim.habits.free_strokes import free_strokes
from rangework.aim.habits.rules import Rule, usual_habits
from rangework.aim.habits.said_aims import NOT_SAID, SaidAims, said_aims
from rangework.aim.habits.seen import seen_habits
from rangework.aim.habits.shots import Kind, Shots
from rangework.aim.targets import Base, Target
from rangework.lie import Lie
from rangework.play.logbook import play_logged
from rangework.units import YARD_M

PARS = {1: 3, 2: 3, 3: 4}
APPROACH = Shots(Kind.APPROACH)


def rounds_of(scene: Scene, base: Base, rounds: int = 12, slips: float = 0.1) -> pd.DataFrame:
    """Rounds of a player who aims every approach at pin or middle, and writes down another word now and then."""
    strategies = scene.ground.with_rules(usual_habits(base))
    log = pd.DataFrame([asdict(stroke) for stroke in play_logged(strategies, scene.golfer, rounds, seed=3)])
    rng = np.random.default_rng(5)
    words = {Base.PIN: ("pin", "middle"), Base.MIDDLE: ("middle", "Pin")}[base]
    off = ~log["lie"].isin([Lie.GREEN, Lie.FRINGE])
    said = np.where(rng.random(len(log)) < slips, words[1], words[0])
    return log.assign(aim=np.where(off, said, ""))


def said(scene: Scene, log: pd.DataFrame) -> SaidAims:
    return said_aims(log, PARS, scene.ground.planner.longest)


@pytest.mark.parametrize("base", [Base.PIN, Base.MIDDLE])
def test_a_player_who_aims_at_pins_or_middles_is_identified(twenty: Scene, base: Base) -> None:
    log = rounds_of(twenty, base)
    found = seen_habits(log, twenty.ground.places, twenty.ground.strategies, twenty.ground.planner)
    habit = next(each for each in found.habits if each.kind is Kind.APPROACH)
    assert habit.rules == (Rule(APPROACH, Target(base)),)
    assert habit.why_not == ""
    assert habit.shots >= 12


def test_what_was_identified_costs_what_it_costs(twenty: Scene) -> None:
    """Aims at the pins beside the water cost more than aims at the middle, and both as if they had been stated."""
    cost = {}
    for base in (Base.PIN, Base.MIDDLE):
        rules = said(twenty, rounds_of(twenty, base)).rules
        assert rules == usual_habits(base)[:1]
        cost[base] = free_strokes(
            twenty.ground, twenty.coarse, twenty.golfer, rules, draws=[], reference=None,
            rounds=4000, seed=1, threads=1, basis="data",
        ).decisions.value  # fmt: skip
    assert cost[Base.PIN] > cost[Base.MIDDLE] + 0.05


def test_without_the_column_nothing_is_made_up(twenty: Scene) -> None:
    """Negative control: the same rounds, their aims not written down."""
    log = rounds_of(twenty, Base.PIN)
    for unsaid in (log.drop(columns="aim"), log.assign(aim="")):
        found = said(twenty, unsaid)
        assert found.rules == ()
        assert found.why_not == NOT_SAID
        assert "column `aim`" in found.why_not


def test_aims_that_differ_from_shot_to_shot_show_no_habit(twenty: Scene) -> None:
    found = said(twenty, rounds_of(twenty, Base.PIN, slips=0.5))
    assert found.rules == ()
    assert "differ" in found.why_not


def approaches(*shots: tuple[float, str]) -> pd.DataFrame:
    rows = [(2, 1, Lie.TEE, yards * YARD_M, aim) for yards, aim in shots]
    return pd.DataFrame(rows, columns=["hole", "stroke", "lie", "to_hole_m", "aim"])


def test_aims_that_change_with_the_distance(twenty: Scene) -> None:
    log = approaches(
        *[(80, "pin")] * 6, *[(110, "pin")] * 6, *[(150, "5 yd left of the pin")] * 8, *[(190, "x")] * 6
    )
    found = said(twenty, log)
    bases = [(rule.shots.from_m, round(rule.shots.to_m / YARD_M), rule.target) for rule in found.rules]
    assert bases == [
        (0.0, 130, Target(Base.PIN)),
        (pytest.approx(130 * YARD_M), 170, Target(Base.PIN, right_m=pytest.approx(-5 * YARD_M))),
    ]
    assert found.why_not == "not understood as the aim of an approach: x"


def test_few_aims_and_drives_show_nothing(twenty: Scene) -> None:
    assert "fewer than 5" in said(twenty, approaches(*[(110, "pin")] * 4)).why_not
    drives = approaches(*[(110, "pin")] * 9).assign(hole=3)
    assert said(twenty, drives).rules == ()
