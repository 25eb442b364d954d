"""The truth behind the demo's records: an invented player, known to the script that makes them and to nobody else.

Compared with a reference golfer of handicap 14.5: wide and to the right with long clubs, poor from bunkers,
unsure of pace on long putts; better than that with chips and with the line of short putts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill.model import (
    BIAS_DEPTH,
    BIAS_DIRECTION,
    DEPTH,
    DIRECTION,
    POOR,
    POOR_LENGTH,
    POOR_SPREAD,
    STANDARD,
    TABLE_LENGTH,
    TABLE_STEP_M,
    Golfer,
    compile_golfer,
    total_of_carry,
)
from rangework.skill.putting import putting_skill
from rangework.skill.reference import reference_golfer
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]

LEVEL = 14.5
DRIVER_YD, DRIVER_RUN_YD = 214.0, 18.0
#: Totals of full shots, sand wedge to 3 wood.
FULL_SHOTS_YD = (72.0, 88.5, 104.0, 116.5, 128.5, 139.0, 149.5, 160.5, 172.0, 182.0)
#: Range balls scatter this much of what the same swing does on the course.
ON_RANGE = 0.85
#: A device reads nothing of this share of poor strikes, and of solid ones.
MISREAD_POOR, MISREAD_SOLID = 0.30, 0.01


def hidden_player() -> Golfer:
    """The golfer whose balls fill the demo's records."""
    usual = reference_golfer(LEVEL)
    return replace(
        usual,
        driver_m=DRIVER_YD * YARD_M,
        tee_bias_rad=2.0 * DEGREE_RAD,
        approach_direction=usual.approach_direction * np.array([0.95, 1.0, 1.5, 1.5]),
        approach_bias_rad=np.array([0.0, 0.5, 2.2, 2.5]) * DEGREE_RAD,
        bunker=1.5 * usual.bunker,
        chip=0.8 * usual.chip,
        putting=putting_skill(1.95, 0.13)._replace(aim_past_m=usual.putting.aim_past_m),
        full_shots_m=tuple((np.array(FULL_SHOTS_YD) * YARD_M).tolist()),
    )


@dataclass(frozen=True, slots=True)
class Day:
    """How one day differs from the player's usual: everything turned, longer, wider."""

    turn_rad: float = 0.0
    longer: float = 0.0
    wider: float = 1.0

    @classmethod
    def drawn(cls, rng: np.random.Generator) -> Day:
        """A day as days go (sources.toml ``prior.sessions``)."""
        turn, longer, wider = rng.standard_normal(3)
        return cls(1.0 * DEGREE_RAD * turn, 0.015 * longer, float(np.exp(0.10 * wider)))


def hit_balls(
    golfer: Golfer,
    lie: Lie,
    target_m: FloatArray,
    day: Day,
    rng: np.random.Generator,
    *,
    on_range: bool,
    landing: bool = False,
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """Balls at targets from one lie: long and right of the target (m), and which of them were poor strikes.

    From the tee every ball is a drive, whose target is where it would land. ``landing``: targets and balls are where
    they land, not where they stop; a ball runs as its target's solid shot does.
    """
    rows = compile_golfer(golfer).table[lie, STANDARD]
    if lie == Lie.TEE:
        meant, run_m = np.full(target_m.size, golfer.driver_m), np.full(target_m.size, DRIVER_RUN_YD * YARD_M)
    else:
        meant = total_of_carry(golfer, target_m, lie) if landing else target_m
        run_m = meant - target_m

    def at(column: int) -> FloatArray:
        return np.asarray(np.interp(meant, np.arange(TABLE_LENGTH) * TABLE_STEP_M, rows[:, column]))

    poor = rng.random(meant.size) < at(POOR)
    wide = day.wider * (ON_RANGE if on_range else 1.0) * np.where(poor, POOR_SPREAD, 1.0)
    middle = np.where(poor, POOR_LENGTH * meant, meant * (1.0 + day.longer) + at(BIAS_DEPTH))
    z = rng.standard_normal((2, meant.size))
    distance = np.maximum(middle + wide * at(DEPTH) * z[0] - run_m, 0.3)
    angle = at(BIAS_DIRECTION) + day.turn_rad + wide * at(DIRECTION) * z[1]
    return distance * np.cos(angle) - target_m, distance * np.sin(angle), poor


def misread(poor: NDArray[np.bool_], rng: np.random.Generator) -> NDArray[np.bool_]:
    """Which balls a device fails to read."""
    missed: NDArray[np.bool_] = rng.random(poor.size) < np.where(poor, MISREAD_POOR, MISREAD_SOLID)
    return missed
