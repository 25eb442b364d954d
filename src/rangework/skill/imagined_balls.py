"""Balls that a golfer might hit in practice, drawn from the shot model: to ask what more balls would tell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.records.shots import ShotRecords, make_frame
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
)
from rangework.skill.putting import capture_past_m
from rangework.skill.putting_kernels import HOLE_RADIUS_M
from rangework.units import FOOT_M, YARD_M

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BallKind:
    """A kind of practice ball: place, lie, and lengths (yards; putts: feet; none: the driver)."""

    name: str
    place: str
    lie: Lie
    lengths: tuple[float, ...] = ()


BALL_KINDS: tuple[BallKind, ...] = (
    BallKind("driver", "range", Lie.TEE),
    BallKind("approach_50_100", "range", Lie.FAIRWAY, (60.0, 75.0, 90.0)),
    BallKind("approach_100_150", "range", Lie.FAIRWAY, (110.0, 125.0, 140.0)),
    BallKind("approach_150_200", "range", Lie.FAIRWAY, (160.0, 175.0, 190.0)),
    BallKind("approach_200_up", "range", Lie.FAIRWAY, (205.0, 215.0)),
    BallKind("chip", "short_game_area", Lie.FAIRWAY, (8.0, 12.0, 16.0)),
    BallKind("pitch", "short_game_area", Lie.FAIRWAY, (25.0, 35.0, 45.0)),
    BallKind("bunker", "short_game_area", Lie.SAND, (10.0, 15.0, 25.0)),
    BallKind("putts_short", "putting_green", Lie.GREEN, (4.0, 6.0, 8.0, 10.0)),
    BallKind("putts_long", "putting_green", Lie.GREEN, (20.0, 30.0, 40.0)),
)


def imagined_records(
    golfer: Golfer, kind: BallKind, n: int, rng: np.random.Generator, *, spread: float = 1.0
) -> ShotRecords:
    """``n`` balls of a kind hit by ``golfer`` in one session, all spreads multiplied by ``spread``."""
    empty = ShotRecords.empty()
    if kind.lie == Lie.GREEN:
        return ShotRecords(empty.aimed, make_frame("putts", _putts(golfer, kind, n, rng)), empty.log)
    return ShotRecords(make_frame("aimed", _balls(golfer, kind, n, rng, spread)), empty.putts, empty.log)


def _origin(kind: BallKind, n: int) -> dict[str, object]:
    return {
        "date": np.full(n, np.datetime64("2000-01-01")),
        "session": [kind.name] * n,
        "place": [kind.place] * n,
        "purpose": ["test"] * n,
        "ball": [""] * n,
        "source": ["imagined"] * n,
        "row": np.arange(n) + 1,
    }


def _balls(
    golfer: Golfer, kind: BallKind, n: int, rng: np.random.Generator, spread: float
) -> dict[str, object]:
    lengths_m = np.array(kind.lengths) * YARD_M if kind.lengths else np.array([golfer.driver_m])
    target = np.resize(lengths_m, n)
    rows = compile_golfer(golfer).table[kind.lie, STANDARD]
    distance = np.arange(TABLE_LENGTH) * TABLE_STEP_M

    def at(column: int) -> FloatArray:
        return np.asarray(np.interp(target, distance, rows[:, column]))

    poor = rng.random(n) < at(POOR)
    wide = spread * np.where(poor, POOR_SPREAD, 1.0)
    middle = np.where(poor, POOR_LENGTH * target, target + at(BIAS_DEPTH))
    z = rng.standard_normal((2, n))
    total, angle = middle + wide * at(DEPTH) * z[0], at(BIAS_DIRECTION) + wide * at(DIRECTION) * z[1]
    return _origin(kind, n) | {
        "lie": np.full(n, int(kind.lie)),
        "target_m": target,
        "long_m": total * np.cos(angle) - target,
        "right_m": total * np.sin(angle),
        "measured": ["finish"] * n,
        "misread": np.zeros(n, dtype=bool),
        **{name: [""] * n for name in ("club", "surface", "wind", "pin")},
    }


def _putts(golfer: Golfer, kind: BallKind, n: int, rng: np.random.Generator) -> dict[str, object]:
    skill, length = golfer.putting, np.resize(np.array(kind.lengths) * FOOT_M, n)
    z = rng.standard_normal((2, n))
    angle = z[0] * np.hypot(skill.line_rad, skill.reading_rad_per_m * length)
    past = skill.aim_past_m + z[1] * skill.pace * (length + skill.aim_past_m)
    share = np.clip(past / capture_past_m(), 0.0, 1.0)
    width = HOLE_RADIUS_M * np.sqrt(1.0 - np.sqrt(share))
    holed = (past >= 0.0) & (past <= capture_past_m()) & (np.abs(np.sin(angle) * length) < width)
    return _origin(kind, n) | {
        "target_m": length,
        "holed": holed,
        "long_m": np.where(holed, np.nan, (length + past) * np.cos(angle) - length),
        "right_m": np.where(holed, np.nan, (length + past) * np.sin(angle)),
    }
