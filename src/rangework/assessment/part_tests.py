"""What the balls of a day's test say of single parts of the game, apart from every other ball of the player.

Spread and bias of a band are read off a likelihood on a grid, poor strikes mixed in as the shot model has them: the
player's own fit says what to compare with. A measure is what to multiply the fit's spread by (its logarithm), or a bias
in radians, each with the standard error of these balls alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill.carried_balls import ball_runs_m
from rangework.skill.model import (
    BAND_EDGES_M,
    BIAS_DEPTH,
    BIAS_DIRECTION,
    CHIP_LIMIT_M,
    DEPTH,
    DIRECTION,
    POOR,
    POOR_LENGTH,
    POOR_SPREAD,
    SHORT_LIMIT_M,
    STANDARD,
    TABLE_LENGTH,
    TABLE_STEP_M,
    Golfer,
    compile_golfer,
)
from rangework.skill.shot_cells import BAND_IDS, own_share
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]

#: Fewer balls of a part on a day measure nothing.
LEAST_BALLS = 8
_LOG_SPREADS = np.linspace(-1.5, 1.5, 61)
_TURNS_RAD = np.linspace(-8.0, 8.0, 41) * DEGREE_RAD
_STRETCHES = np.linspace(-0.2, 0.2, 41)
#: Wide priors that keep the grid's edges out; what they say is taken out again.
_WIDE_LOG, _WIDE_TURN_RAD = 0.6, 4.0 * DEGREE_RAD


@dataclass(frozen=True, slots=True)
class PartMeasure:
    """One part on one day: the logarithm of its spread over the fit's, or its bias (rad), with standard error."""

    part: str
    day: date
    balls: int
    value: float
    standard_error: float
    share: float = 1.0  #: of a step of the part that these balls show: balls between two bands are of both


def test_days(records: ShotRecords) -> list[date]:
    """The days of the records on which balls were hit for a test."""
    tests = records.aimed[records.aimed["purpose"] == "test"]
    return sorted({pd.Timestamp(day).date() for day in tests["date"]})


def part_measures(records: ShotRecords, golfer: Golfer, on_range: float) -> list[PartMeasure]:
    """Every part that the balls of a test measure, day by day.

    Spreads of balls on the range are ``on_range`` of those on the course.
    """
    aimed = records.aimed
    tests = aimed[
        (aimed["purpose"] == "test")
        & ~aimed["misread"]
        & aimed["lie"].isin([Lie.FAIRWAY, Lie.ROUGH, Lie.SAND])
    ]
    tests = tests.assign(total_m=tests["target_m"] + ball_runs_m(golfer, tests))
    table = compile_golfer(golfer).table[:, STANDARD]
    found = []
    for day, balls in tests.groupby(tests["date"].dt.date):
        for part, own in _by_part(balls):
            if len(own) >= LEAST_BALLS:
                seen = _Seen.of(own, table, on_range)
                share = float(
                    own_share(own["total_m"].to_numpy(float), own["lie"].eq(Lie.SAND).to_numpy()).mean()
                )
                for name, (value, error) in seen.measures(part):
                    found.append(PartMeasure(name, day, len(own), value, error, share))
    return found


def _by_part(balls: pd.DataFrame) -> Iterator[tuple[str, pd.DataFrame]]:
    target, sand = balls["total_m"], balls["lie"] == Lie.SAND
    yield "bunker", balls[sand & (target < SHORT_LIMIT_M)]
    yield "chip", balls[~sand & (target < CHIP_LIMIT_M)]
    yield "pitch", balls[~sand & (target >= CHIP_LIMIT_M) & (target < SHORT_LIMIT_M)]
    for band, name in enumerate(BAND_IDS):
        yield name, balls[(target >= BAND_EDGES_M[band]) & (target < BAND_EDGES_M[band + 1])]


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """Balls of one part on one day: errors of distance (share of the target) and angle, and what the fit expects."""

    stretch: FloatArray
    angle: FloatArray
    depth: FloatArray
    direction: FloatArray
    bias_depth: FloatArray
    bias: FloatArray
    poor: FloatArray

    @classmethod
    def of(cls, balls: pd.DataFrame, table: FloatArray, on_range: float) -> _Seen:
        target, lie = balls["total_m"].to_numpy(), balls["lie"].to_numpy()
        aimed_m, right = balls["target_m"].to_numpy(), balls["right_m"].to_numpy()
        ahead = aimed_m + balls["long_m"].to_numpy()
        metres = np.arange(TABLE_LENGTH) * TABLE_STEP_M
        rows = np.array(
            [
                [np.interp(t, metres, column) for column in table[row].T]
                for t, row in zip(target, lie, strict=True)
            ]
        )
        tight = np.where(balls["place"].to_numpy() == "range", on_range, 1.0)
        return cls(
            (np.hypot(ahead, right) - aimed_m) / target,
            np.arctan2(right, ahead),
            tight * rows[:, DEPTH] / target,
            tight * rows[:, DIRECTION],
            rows[:, BIAS_DEPTH] / target,
            rows[:, BIAS_DIRECTION],
            rows[:, POOR],
        )

    def measures(self, part: str) -> Iterator[tuple[str, tuple[float, float]]]:
        """The parts that these balls measure, with value and standard error."""
        depth = self._grid(self.stretch - self.bias_depth, self.depth, _STRETCHES, POOR_LENGTH - 1.0)
        turned = self._grid(self.angle, self.direction, _TURNS_RAD, 0.0)
        direction = _along(turned, _TURNS_RAD / _WIDE_TURN_RAD, axis=1)
        length = _along(depth, _STRETCHES / 0.1, axis=1)
        if part in ("chip", "pitch", "bunker"):
            yield part, _centre(length + direction, _LOG_SPREADS, _WIDE_LOG)
            return
        yield f"{part}.depth", _centre(length, _LOG_SPREADS, _WIDE_LOG)
        yield f"{part}.direction", _centre(direction, _LOG_SPREADS, _WIDE_LOG)
        yield (
            f"{part}.bias",
            _centre(_along(turned, _LOG_SPREADS / _WIDE_LOG, axis=0), _TURNS_RAD, _WIDE_TURN_RAD),
        )

    def _grid(self, error: FloatArray, sd: FloatArray, middles: FloatArray, poor_at: float) -> FloatArray:
        """Log likelihood [log spread, middle] of errors that are solid about a middle, or poor and wide."""
        wide = sd * np.exp(_LOG_SPREADS)[:, None, None]
        off = error - middles[:, None]
        solid = (1.0 - self.poor) * np.exp(-0.5 * (off / wide) ** 2) / wide
        weak_sd = POOR_SPREAD * wide
        weak = self.poor * np.exp(-0.5 * ((off - poor_at) / weak_sd) ** 2) / weak_sd
        return np.asarray(np.log(solid + weak + 1e-12).sum(axis=2))


def _along(log_likelihood: FloatArray, place: FloatArray, *, axis: int) -> FloatArray:
    """One side of a grid integrated out, with a standard normal at ``place`` as its weight."""
    weight = -0.5 * place**2
    joint = log_likelihood + (weight[None, :] if axis == 1 else weight[:, None])
    most = joint.max()
    return np.asarray(np.log(np.exp(joint - most).sum(axis=axis) + 1e-300) + most)


def _centre(log_likelihood: FloatArray, values: FloatArray, wide: float) -> tuple[float, float]:
    """Centre and standard error of a likelihood, the wide normal prior that tames it taken out again."""
    log_weight = log_likelihood - 0.5 * (values / wide) ** 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = float(weight @ values)
    variance = float(weight @ (values - mean) ** 2)
    precision = max(1.0 / variance - 1.0 / wide**2, 0.01 / variance)
    return mean / variance / precision, precision**-0.5
