"""Balls measured where they landed tell of the same player as balls measured where they stopped."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from simulated_players import Days, SimulatedPlayer

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill.carried_balls import ball_runs_m
from rangework.skill.fit import fit_player
from rangework.skill.model import CARRY_SHARE, STANDARD, Golfer, compile_golfer, total_of_carry
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M

LEVEL = 12.0


def landed_balls() -> ShotRecords:
    """Long irons and pitches of a range session, told where they landed; as the range is the course, no factor."""
    player = SimulatedPlayer(reference_golfer(LEVEL), 5, Days(range_factor=1.0))
    balls = player.practice([30.0, 45.0, 165.0, 185.0], 160, 1)
    return player.records(aimed=balls)


def spreads(records: ShotRecords) -> np.ndarray:
    mean = fit_player(records, handicap=LEVEL, method="laplace").mean
    return np.array([mean.approach_depth[2], mean.approach_direction[2], mean.pitch])


def test_balls_told_where_they_landed_and_where_they_stopped_fit_alike() -> None:
    """The negative control takes the landings for finishes."""
    landed = landed_balls()
    aimed = landed.aimed
    run_m = ball_runs_m(reference_golfer(LEVEL), aimed)
    assert run_m[aimed["target_m"] > 140.0].min() > 5.0
    along, right = aimed["target_m"] + aimed["long_m"], aimed["right_m"]
    # a poor strike of the simulation may have landed behind the player, and run on
    angle, flown = np.arctan(right / along), np.copysign(np.hypot(along, right), along)
    stopped = aimed.assign(
        target_m=aimed["target_m"] + run_m,
        long_m=(flown + run_m) * np.cos(angle) - aimed["target_m"] - run_m,
        right_m=(flown + run_m) * np.sin(angle),
        measured="finish",
    )
    fitted = spreads(landed)
    np.testing.assert_allclose(spreads(replace(landed, aimed=stopped)), fitted, rtol=0.003)
    unread = spreads(replace(landed, aimed=aimed.assign(measured="finish")))
    assert np.abs(unread / fitted - 1.0).max() > 0.05


@given(
    st.floats(3.0, 200.0), st.sampled_from([Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND]), st.floats(-3.0, 30.0)
)
def test_a_total_flies_its_carry(carry_yd: float, lie: Lie, level: float) -> None:
    """The way back from carry to total is that of the tables that rounds are played with."""
    golfer: Golfer = reference_golfer(level)
    carry_m = carry_yd * YARD_M
    total_m = float(total_of_carry(golfer, np.array([carry_m]), lie)[0])
    share = compile_golfer(golfer).table[lie, STANDARD, :, CARRY_SHARE]
    metres = np.arange(share.size)
    assert total_m > carry_m
    assert np.interp(total_m, metres, metres * share) == pytest.approx(carry_m, rel=1e-9)


def test_only_landings_run() -> None:
    aimed = landed_balls().aimed
    told = np.where(np.arange(len(aimed)) % 2 == 0, "carry", "finish")
    run_m = ball_runs_m(reference_golfer(LEVEL), aimed.assign(measured=told))
    assert (run_m[told == "carry"] > 0.0).all()
    assert (run_m[told == "finish"] == 0.0).all()
