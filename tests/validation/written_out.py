"""The likelihood of every kind of record, written out once more from docs/explanation/fitting.md.

Plain formulas with scipy's densities and integrals by the trapezoid rule; spreads come from the tables that rounds are
played with. Nothing here is compiled, blended ahead or interpolated as in the fit's kernels, so that a slip in one of
the two shows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import stats

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill import model
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.model import LONGEST_SHARE, Golfer, compile_golfer
from rangework.skill.putting import capture_past_m
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

POOR_LENGTH, POOR_SPREAD, NO_SHOT = 0.65, 2.2, 0.002
TYPICAL_RUN_M, DRIVE_EXTRA = 18.0 * YARD_M, 0.04
NO_ATTEMPT, LAY_UP_NEAR_LONGEST = 0.005, 0.05
NO_PUTT, LAPSE = 0.003, 3.3e-4
HOLE_M = 0.054
_ROUND_THE_HOLE = np.linspace(0.0, 2.0 * np.pi, 2881)


@dataclass(frozen=True)
class Supposed:
    """A golfer, and what his records are supposed to hang on besides: ``days[kind]`` by session."""

    golfer: Golfer
    table: FloatArray
    coordinates: FloatArray
    days: dict[str, dict[str, float]]
    driver_guess_m: float

    def day(self, kind: str, session: str) -> float:
        return self.days[kind].get(session, 0.0)

    def scale(self, session: str) -> float:
        return float(np.exp(self.day("spread", session)))

    def row(self, lie: int, target_m: float) -> FloatArray:
        """Depth sd, direction sd, biases and chance of a poor strike at a target, standard height."""
        metres = np.arange(model.TABLE_LENGTH) * model.TABLE_STEP_M
        rows = self.table[lie, model.STANDARD]
        return np.array([np.interp(target_m, metres, column) for column in rows.T])


def supposed(x: FloatArray, prior: LatentPrior, records: ShotRecords, driver_guess_m: float) -> Supposed:
    """What latents and session effects ``x`` stand for."""
    coordinates = prior.coordinates(x[:N_LATENTS])
    golfer = golfer_from_latents(x, prior)
    practice = sorted(set(records.aimed["session"]))
    every = [*practice, *sorted(set(records.putts["session"])), *sorted(set(records.log["round"]))]
    effects = np.split(x[N_LATENTS:], [len(practice), 2 * len(practice)])
    sds = np.exp(coordinates[[c.LN_SESSION_DIRECTION, c.LN_SESSION_DEPTH, c.LN_SESSION_SPREAD]])
    days = {
        kind: dict(zip(names, sd * effect, strict=True))
        for kind, names, sd, effect in zip(
            ("direction", "depth", "spread"), (practice, practice, every), sds, effects, strict=True
        )
    }
    return Supposed(golfer, compile_golfer(golfer).table, coordinates, days, driver_guess_m)


def log_likelihoods(supposed: Supposed, records: ShotRecords) -> dict[str, float]:
    """Log likelihood of each kind of record, up to a constant."""
    log, putts = records.log, records.putts
    practice = putts["long_m"].notna()
    green = log["lie"] == Lie.GREEN
    holed = log["next_lie"] == Lie.HOLED
    teed = log["lie"] == Lie.TEE
    return {
        "aimed balls": sum(aimed(supposed, row) for _, row in records.aimed.iterrows()),
        "logged approaches": sum(approach(supposed, row) for _, row in log[~green & ~teed].iterrows()),
        "logged drives": sum(drive(supposed, row) for _, row in log[teed].iterrows()),
        "putts holed": sum(
            holed_putt(supposed, row, "target_m", "session") for _, row in putts[~practice].iterrows()
        )
        + sum(holed_putt(supposed, row, "to_hole_m", "") for _, row in log[green & holed].iterrows()),
        "misses measured": sum(measured_miss(supposed, row) for _, row in putts[practice].iterrows()),
        "logged misses": sum(logged_miss(supposed, row) for _, row in log[green & ~holed].iterrows()),
    }


def aimed(supposed: Supposed, row: pd.Series) -> float:
    """Solid, poor, or no shot at all: the distance along and the angle of one practice ball."""
    x = supposed.coordinates
    tee = row["lie"] == Lie.TEE
    run_m = TYPICAL_RUN_M if tee and row["measured"] == "carry" else 0.0
    target = row["target_m"] + run_m
    depth, direction, bias_m, bias_rad, poor, _ = supposed.row(row["lie"], target)
    scale = supposed.scale(row["session"])
    if row["place"] == "range":
        scale *= np.exp(x[c.LN_RANGE_FACTOR])
    length = target
    if tee:
        length = supposed.golfer.driver_m - (np.exp(x[c.LN_RUN]) if run_m else 0.0)
    mean = length + bias_m + supposed.day("depth", row["session"]) * target
    turn = bias_rad + supposed.day("direction", row["session"])
    distance = np.hypot(row["target_m"] + row["long_m"], row["right_m"])
    angle = np.arctan2(row["right_m"], row["target_m"] + row["long_m"])

    def strike(middle: float, wide: float) -> float:
        along = stats.norm.pdf(distance, middle, wide * scale * depth)
        return float(along * stats.norm.pdf(angle, turn, wide * scale * direction))

    anywhere = NO_SHOT / (2.0 * np.pi * 2.0 * target)
    solid, topped = strike(mean, 1.0), strike(POOR_LENGTH * length, POOR_SPREAD)
    return float(np.log((1.0 - poor) * solid + poor * topped + anywhere))


def approach(supposed: Supposed, row: pd.Series) -> float:
    """The distance that a logged stroke left, whatever near the hole it was aimed at; 0 if it was no attempt."""
    target, left = row["to_hole_m"], max(row["left_to_hole_m"], 0.15)
    reach = LONGEST_SHARE[Lie(int(row["lie"]))] * supposed.driver_guess_m
    if target > reach:
        return 0.0
    depth, direction, *_, poor, _ = supposed.row(row["lie"], target)
    scale = supposed.scale(row["round"])
    aim = np.exp(supposed.coordinates[c.LN_AIM]) * target
    aim_along = np.exp(supposed.coordinates[c.LN_AIM_DEPTH]) * aim

    def leaving(short: float, wide: float) -> float:
        along = left * np.cos(_ROUND_THE_HOLE) + short
        places = stats.norm.pdf(along, 0.0, np.hypot(wide * scale * depth, aim_along))
        places *= stats.norm.pdf(
            left * np.sin(_ROUND_THE_HOLE), 0.0, np.hypot(wide * scale * direction * target, aim)
        )
        return float(left * np.trapezoid(places, _ROUND_THE_HOLE))

    near_longest = np.clip((target / reach - 0.85) / 0.15, 0.0, 1.0)
    stray = (NO_ATTEMPT + LAY_UP_NEAR_LONGEST * near_longest) * 2.0 * min(left, target) / target**2
    solid, topped = leaving(0.0, 1.0), leaving((1.0 - POOR_LENGTH) * target, POOR_SPREAD)
    return float(np.log((1.0 - poor) * solid + poor * topped + stray))


def drive(supposed: Supposed, row: pd.Series) -> float:
    """How far a logged tee shot of a long hole advanced: a driver, a poor strike, or a shorter club."""
    x, driver, guess = supposed.coordinates, supposed.golfer.driver_m, supposed.driver_guess_m
    to_hole, advance = row["to_hole_m"], row["to_hole_m"] - row["left_to_hole_m"]
    own = supposed.golfer.tee_depth * supposed.scale(row["round"])
    turned = min(0.5 * to_hole * guess / (to_hole - guess) * 0.1**2, 0.04 * guess)
    solid = stats.norm.pdf(advance + turned, driver, driver * np.hypot(own, DRIVE_EXTRA))
    topped = stats.norm.pdf(advance, POOR_LENGTH * driver, driver * np.hypot(POOR_SPREAD * own, DRIVE_EXTRA))
    shorter = 1.0 / (0.5 * guess) if 0.45 * guess < advance < 0.95 * guess else 0.0
    stray = NO_ATTEMPT / guess / np.sqrt(2.0 * np.pi)
    laid_up, poor = c.expit(x[c.LAY_UP]), supposed.golfer.tee_poor
    struck = (1.0 - poor) * solid + poor * topped
    return float(np.log((1.0 - laid_up) * struck + laid_up * shorter + stray))


def _putt_sds(supposed: Supposed, length_m: float, session: str) -> tuple[float, float]:
    """Sd of a putt's line (radians) and of the distance it rolls (m)."""
    skill, scale = supposed.golfer.putting, supposed.scale(session)
    line = scale * np.hypot(skill.line_rad, skill.reading_rad_per_m * length_m)
    return float(line), float(scale * skill.pace * (length_m + skill.aim_past_m))


def holed_putt(supposed: Supposed, row: pd.Series, length: str, session: str) -> float:
    """A putt that went in: not too fast for how far off the middle it met the hole."""
    length_m = row[length]
    line, pace = _putt_sds(supposed, length_m, row[session] if session else "")
    past = np.linspace(0.0, capture_past_m(), 2001)
    width = HOLE_M * np.sqrt(1.0 - np.sqrt(past / capture_past_m()))
    on_line = 2.0 * stats.norm.cdf(np.arcsin(np.minimum(width / length_m, 1.0)) / line) - 1.0
    chance = np.trapezoid(on_line * stats.norm.pdf(past, supposed.golfer.putting.aim_past_m, pace), past)
    return float(np.log(1e-3 * LAPSE + (1.0 - LAPSE) * chance))


def measured_miss(supposed: Supposed, row: pd.Series) -> float:
    """Where a missed practice putt finished: the line and the distance it rolled."""
    length = row["target_m"]
    line, pace = _putt_sds(supposed, length, row["session"])
    rolled = np.hypot(length + row["long_m"], row["right_m"])
    angle = np.arctan2(row["right_m"], length + row["long_m"])
    density = stats.norm.pdf(rolled, length + supposed.golfer.putting.aim_past_m, pace) * stats.norm.pdf(
        angle, 0.0, line
    )
    return float(np.log(density + NO_PUTT / (2.0 * length + 2.0) / (2.0 * np.pi)))


def logged_miss(supposed: Supposed, row: pd.Series) -> float:
    """How far from the hole a logged putt finished: all round it, but where the hole would have taken the ball."""
    length, left = row["to_hole_m"], row["left_to_hole_m"]
    line, pace = _putt_sds(supposed, length, "")
    along, aside = length + left * np.cos(_ROUND_THE_HOLE), left * np.sin(_ROUND_THE_HOLE)
    rolled, angle = np.hypot(along, aside), np.arctan2(aside, along)
    past = (rolled - length) / capture_past_m()
    width = HOLE_M * np.sqrt(1.0 - np.sqrt(np.clip(past, 0.0, 1.0)))
    taken = (past >= 0.0) & (past <= 1.0) & (np.abs(np.sin(angle)) * length < width)
    places = (
        stats.norm.pdf(rolled, length + supposed.golfer.putting.aim_past_m, pace)
        * stats.norm.pdf(angle, 0.0, line)
        / rolled
    )
    density = left * np.trapezoid(np.where(taken, 0.0, places), _ROUND_THE_HOLE)
    return float(np.log(density + NO_PUTT / (length + 2.0)))
