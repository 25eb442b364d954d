"""The likelihood of every kind of record, written out once more from docs/explanation/fitting.md.

Plain formulas with scipy's densities and integrals by the trapezoid rule; spreads come from the tables that rounds are
played with. Nothing here is compiled, blended ahead or interpolated as in the fit's kernels, so that a slip in one of
the two shows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import optimize, stats

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill import model
from rangework.skill.kernel_arrays import SLIPS, WILD
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.model import LONGEST_SHARE, Golfer, compile_golfer
from rangework.skill.putting import capture_past_m
from rangework.units import FOOT_M, YARD_M

FloatArray = NDArray[np.float64]

POOR_LENGTH, POOR_SPREAD, WILD_SPREAD = 0.65, 2.2, 2.0
TYPICAL_RUN_M, DRIVE_EXTRA = 18.0 * YARD_M, 0.04
LAY_UP_NEAR_LONGEST, PAR_3, LONG_HOLE = 0.05, 0.87, 1.12
SHORTER_LENGTH, SHORTER_SPREAD = 0.78, 0.11
LAPSE, TAP_IN_M = 3.3e-4, 2.0 * FOOT_M
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
    clubs: FloatArray  #: the tables of who is believed, before any fit, to have hit balls measured where they landed

    def run_after(self, carry_m: float, lie: int) -> float:
        """What a shot from a lie runs after so long a flight."""
        metres = np.arange(model.TABLE_LENGTH) * model.TABLE_STEP_M
        share = self.clubs[lie, model.STANDARD, :, model.CARRY_SHARE]
        flown = optimize.brentq(lambda total: np.interp(total, metres, metres * share) - carry_m, 1.0, 350.0)
        return float(flown - carry_m)

    def day(self, kind: str, session: str) -> float:
        return self.days[kind].get(session, 0.0)

    def scale(self, session: str) -> float:
        return float(np.exp(self.day("spread", session)))

    @property
    def slip(self) -> float:
        """Chance that a row is no shot of its target at all."""
        return float(c.expit(self.coordinates[SLIPS]))

    @property
    def solid(self) -> tuple[tuple[float, float], ...]:
        """Share and width of usual and wild solid strikes, whose variance together is the golfer's."""
        wild = float(c.expit(self.coordinates[WILD]))
        usual = 1.0 / np.sqrt(1.0 + (WILD_SPREAD**2 - 1.0) * wild)
        return (1.0 - wild, usual), (wild, WILD_SPREAD * usual)

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
    typical = replace(golfer_from_latents(np.zeros(N_LATENTS), prior), driver_m=driver_guess_m)
    tables = compile_golfer(golfer).table, compile_golfer(typical).table
    return Supposed(golfer, tables[0], coordinates, days, driver_guess_m, tables[1])


def log_likelihoods(supposed: Supposed, records: ShotRecords) -> dict[str, float]:
    """Log likelihood of each kind of record, up to a constant."""
    log, putts = records.log, records.putts
    practice = putts["long_m"].notna()
    green = log["lie"] == Lie.GREEN
    holed = log["next_lie"] == Lie.HOLED
    tap_in = green & ~holed & (log["left_to_hole_m"] <= TAP_IN_M)
    long_hole = (log["lie"] == Lie.TEE) & (log["to_hole_m"] >= LONG_HOLE * supposed.driver_guess_m)
    return {
        "aimed balls": sum(aimed(supposed, row) for _, row in records.aimed.iterrows()),
        "logged approaches": sum(approach(supposed, row) for _, row in log[~green & ~long_hole].iterrows()),
        "logged drives": sum(drive(supposed, row) for _, row in log[long_hole].iterrows()),
        "putts holed and tap-ins left": sum(
            holed_putt(supposed, row, "target_m", "session") for _, row in putts[~practice].iterrows()
        )
        + sum(holed_putt(supposed, row, "to_hole_m", "") for _, row in log[green & holed].iterrows())
        + sum(logged_miss(supposed, row) for _, row in log[tap_in].iterrows()),
        "misses measured": sum(measured_miss(supposed, row) for _, row in putts[practice].iterrows()),
        "logged misses": sum(
            logged_miss(supposed, row) for _, row in log[green & ~holed & ~tap_in].iterrows()
        ),
    }


def aimed(supposed: Supposed, row: pd.Series) -> float:
    """Solid, poor, or no shot at all: the distance along and the angle of one practice ball."""
    x = supposed.coordinates
    tee = row["lie"] == Lie.TEE
    carried = row["measured"] == "carry"
    run_m = TYPICAL_RUN_M if tee and carried else 0.0
    rolls_m = supposed.run_after(row["target_m"], row["lie"]) if carried and not tee else 0.0
    target = row["target_m"] + run_m + rolls_m
    depth, direction, bias_m, bias_rad, poor, _ = supposed.row(row["lie"], target)
    scale = supposed.scale(row["session"])
    if row["place"] == "range":
        scale *= np.exp(x[c.LN_RANGE_FACTOR])
    length = target
    if tee:
        length = supposed.golfer.driver_m - (np.exp(x[c.LN_RUN]) if run_m else 0.0)
    mean = length + bias_m + supposed.day("depth", row["session"]) * target
    turn = bias_rad + supposed.day("direction", row["session"])
    distance = np.hypot(row["target_m"] + row["long_m"], row["right_m"]) + rolls_m
    angle = np.arctan2(row["right_m"], row["target_m"] + row["long_m"])

    def strike(middle: float, wide: float) -> float:
        along = stats.norm.pdf(distance, middle, wide * scale * depth)
        return float(along * stats.norm.pdf(angle, turn, wide * scale * direction))

    anywhere = 1.0 / (2.0 * np.pi * 2.0 * target)
    solid = sum(share * strike(mean, wide) for share, wide in supposed.solid)
    shot = (1.0 - poor) * solid + poor * strike(POOR_LENGTH * length, POOR_SPREAD)
    return float(np.log((1.0 - supposed.slip) * shot + supposed.slip * anywhere))


def anywhere(to_hole: float, left: float) -> float:
    """Density of the distance left that a wrong row tells."""
    return 0.75 / to_hole * min(1.0, (to_hole / left) ** 4)


def approach(supposed: Supposed, row: pd.Series) -> float:
    """The distance that a logged stroke left, whatever near the hole it was aimed at; 0 if it was no attempt."""
    target, left = row["to_hole_m"], max(row["left_to_hole_m"], 0.15)
    teed = row["lie"] == Lie.TEE
    reach = (PAR_3 if teed else LONGEST_SHARE[Lie(int(row["lie"]))]) * supposed.driver_guess_m
    if target > reach:
        return 0.0
    # the tee of a par 3 is played as from the fairway
    depth, direction, *_, poor, _ = supposed.row(Lie.FAIRWAY if teed else row["lie"], target)
    scale = supposed.scale(row["round"])
    aim = np.exp(supposed.coordinates[c.LN_AIM]) * target
    aim_along = np.exp(supposed.coordinates[c.LN_AIM_DEPTH]) * aim

    def solid(wide: float) -> float:
        along = stats.norm.pdf(left * np.cos(_ROUND_THE_HOLE), 0.0, np.hypot(wide * scale * depth, aim_along))
        across_sd = np.hypot(wide * scale * direction * target, aim)
        places = along * stats.norm.pdf(left * np.sin(_ROUND_THE_HOLE), 0.0, across_sd)
        return float(left * np.trapezoid(places, _ROUND_THE_HOLE))

    near_longest = np.clip((target / reach - 0.85) / 0.15, 0.0, 1.0)
    lay_up = LAY_UP_NEAR_LONGEST * near_longest * (2.0 * left / target**2 if left <= target else 0.0)
    solids = sum(share * solid(wide) for share, wide in supposed.solid)
    shot = (1.0 - poor) * solids + poor * _poor_approach(
        target, left, scale * depth, scale * direction, aim, aim_along
    )
    slip = supposed.slip
    return float(np.log((1.0 - slip) * shot + slip * anywhere(target, left) + lay_up))


def _poor_approach(
    target: float, left: float, depth: float, direction: float, aim: float, aim_along: float
) -> float:
    """A poor strike by its distance and angle as the golfer sees them; close to the golfer its angle is kept wide."""
    along, across = target + left * np.cos(_ROUND_THE_HOLE), left * np.sin(_ROUND_THE_HOLE)
    distance = np.hypot(along, across)
    sine = np.clip(across / distance, -1.0, 1.0)
    # the series of arcsin(s)^2 that the fit takes
    turned = sine**2 * (1.0 + sine**2 / 3.0 + 8.0 * sine**4 / 45.0 + 4.0 * sine**6 / 35.0)
    across_sd = np.hypot(POOR_SPREAD * direction * np.maximum(distance, 0.3 * target), aim)
    depth_sd = np.hypot(POOR_SPREAD * depth, aim_along)
    places = stats.norm.pdf(np.copysign(distance, along), POOR_LENGTH * target, depth_sd)
    places *= np.exp(-0.5 * turned * distance**2 / across_sd**2) / (np.sqrt(2.0 * np.pi) * across_sd)
    return float(left * np.trapezoid(places, _ROUND_THE_HOLE))


def drive(supposed: Supposed, row: pd.Series) -> float:
    """What a logged tee shot of a long hole left: a driver, a poor strike, or a shorter club."""
    x, golfer = supposed.coordinates, supposed.golfer
    driver, poor = golfer.driver_m, golfer.tee_poor
    to_hole, left = row["to_hole_m"], row["left_to_hole_m"]
    scale, aim = supposed.scale(row["round"]), np.exp(x[c.LN_AIM])
    along, across = to_hole - left * np.cos(_ROUND_THE_HOLE), left * np.sin(_ROUND_THE_HOLE)
    distance, angle = np.hypot(along, across), np.arctan2(across, along)

    def leaving(length: float, wide: float) -> float:
        """Over all places round the hole, by their distance and angle as the golfer sees them."""
        sd = driver * np.hypot(wide * scale * golfer.tee_depth, DRIVE_EXTRA)
        angle_sd = np.hypot(wide * scale * golfer.tee_direction_rad, aim)
        places = stats.norm.pdf(distance, length * driver, sd) * stats.norm.pdf(angle, 0.0, angle_sd)
        return float(left * np.trapezoid(places / distance, _ROUND_THE_HOLE))

    def shorter(length: float, wide: float) -> float:
        sd = wide * SHORTER_SPREAD * driver
        return float(stats.norm.pdf(to_hole - left, length * SHORTER_LENGTH * driver, sd))

    solid = sum(share * leaving(1.0, wide) for share, wide in supposed.solid)
    struck = (1.0 - poor) * solid + poor * leaving(POOR_LENGTH, POOR_SPREAD)
    laid_up, slip = c.expit(x[c.LAY_UP]), supposed.slip
    with_shorter = (1.0 - poor) * shorter(1.0, 1.0) + poor * shorter(POOR_LENGTH, POOR_SPREAD)
    shot = (1.0 - laid_up) * struck + laid_up * with_shorter
    return float(np.log((1.0 - slip) * shot + slip * anywhere(to_hole, left)))


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
    slip = supposed.slip
    return float(np.log((1.0 - slip) * density + slip / (2.0 * length + 2.0) / (2.0 * np.pi)))


def logged_miss(supposed: Supposed, row: pd.Series) -> float:
    """How far from the hole a logged putt finished; within two feet it is a tap-in, wherever it lies."""
    length, left = row["to_hole_m"], row["left_to_hole_m"]
    if left > TAP_IN_M:
        slip = supposed.slip
        return float(np.log((1.0 - slip) * _finishing(supposed, length, left) + slip / (length + 2.0)))
    within = np.linspace(1e-4, TAP_IN_M, 241)
    chance = np.trapezoid([_finishing(supposed, length, one) for one in within], within)
    return float(np.log(LAPSE + (1.0 - LAPSE) * chance))


def _finishing(supposed: Supposed, length: float, left: float) -> float:
    """Density of the distance left: all round the hole, but where the hole would have taken the ball."""
    line, pace = _putt_sds(supposed, length, "")
    along, aside = length + left * np.cos(_ROUND_THE_HOLE), left * np.sin(_ROUND_THE_HOLE)
    rolled, angle = np.hypot(along, aside), np.arctan2(aside, along)
    past = (rolled - length) / capture_past_m()
    width = HOLE_M * np.sqrt(1.0 - np.sqrt(np.clip(past, 0.0, 1.0)))
    taken = (past >= 0.0) & (past <= 1.0) & (along > 0.0) & (np.abs(np.sin(angle)) * length < width)
    places = (
        stats.norm.pdf(rolled, length + supposed.golfer.putting.aim_past_m, pace)
        * stats.norm.pdf(angle, 0.0, line)
        / rolled
    )
    return float(left * np.trapezoid(np.where(taken, 0.0, places), _ROUND_THE_HOLE))
