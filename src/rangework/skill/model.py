"""The shot model: all that describes how a golfer's full and short shots scatter.

A shot aimed at total distance T finishes, when struck solidly, at ``T + bias + sd_depth z1`` along a line turned
by ``bias + sd_direction z2``; with the chance of a poor strike it is shorter and wider. Tables of these
numbers by lie, height and distance are what the kernels read (``compile_golfer``).

Form and tour numbers: fitted to the published table of tour expected strokes (sources.toml:
``published.tour_form``); see docs/explanation/shot-model.md.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rangework.lie import SHOT_LIES, Lie
from rangework.skill.partial_shots import partial_spread
from rangework.skill.putting import PuttingSkill
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]

#: Approach bands by target distance, half open, with the last one unbounded in effect.
BAND_EDGES_M: FloatArray = np.array([50.0, 100.0, 150.0, 200.0, 1000.0]) * YARD_M
CHIP_LIMIT_M = 20.0 * YARD_M
SHORT_LIMIT_M = 50.0 * YARD_M
#: Short-game and full-swing forms are blended between these target distances.
BLEND_M = (40.0 * YARD_M, 60.0 * YARD_M)
#: A golfer is as wide as a band says at its centre, half each of two bands at their edge, and in between in between: a
#: step there would be a bargain that no club offers. The last band is unbounded: 215 yd is where most of it is played.
BAND_CENTRE_M: FloatArray = np.array([75.0, 125.0, 175.0, 215.0]) * YARD_M
_BAND_STOPS_M: FloatArray = np.array([75.0, 100.0, 125.0, 150.0, 175.0, 200.0, 215.0]) * YARD_M
#: Chips turn into pitches between these target distances.
_CHIP_BLEND_M = (15.0 * YARD_M, 25.0 * YARD_M)

LOW, STANDARD, HIGH = 0, 1, 2

#: Columns of the compiled table.
DEPTH, DIRECTION, BIAS_DEPTH, BIAS_DIRECTION, POOR, CARRY_SHARE = range(6)
TABLE_STEP_M = 1.0
TABLE_LENGTH = 361

#: A poor strike travels this share of the target on average, with both spreads this much wider.
POOR_LENGTH = 0.65
POOR_SPREAD = 2.2

#: The longest club named is taken for the longest there is if it goes so much of what that club usually does.
_LEAST_NAMED = 0.75

#: The longest target from each lie as a share of the driver's total.
LONGEST_SHARE = {Lie.TEE: 1.0, Lie.FAIRWAY: 0.86, Lie.ROUGH: 0.79, Lie.SAND: 0.68, Lie.RECOVERY: 0.58}


@dataclass(frozen=True, slots=True)
class Golfer:
    """A golfer's game in physical terms. Spreads marked *multiplier* scale the tour form (1 = tour).

    Arrays: by band (4: 50-100, 100-150, 150-200, 200 yd and more) or by lie (3: fairway, rough, sand).
    Angles are radians, right positive; depth biases are shares of the target distance, long positive.
    """

    driver_m: float  #: total of a solid driver
    tee_depth: float  #: depth sd as a share of the target
    tee_direction_rad: float  #: direction sd with the driver
    tee_bias_rad: float
    tee_poor: float  #: chance of a poor strike
    approach_depth: FloatArray  #: [band] multiplier
    approach_direction: FloatArray  #: [band] multiplier
    approach_bias_rad: FloatArray  #: [band]
    approach_bias_depth: FloatArray  #: [band] share of the target
    full_poor: FloatArray  #: [fairway, rough, sand] chance of a poor strike, full swings
    rough_spread: float  #: spread from rough over spread from fairway
    chip: float  #: multiplier, under 20 yd
    pitch: float  #: multiplier, 20-50 yd
    bunker: float  #: multiplier, sand under 50 yd
    short_poor: FloatArray  #: [fairway, rough, sand] chance of a poor strike, short game
    recovery_share: float  #: longest recovery as a share of the driver's total
    recovery_poor: float  #: chance of staying in trouble
    sand_level: float  #: multiplier of full swings from sand
    putting: PuttingSkill
    correlation: float = 0.0  #: of depth and direction errors
    base_m: float | None = None  #: driver length that every other club is scaled from, if not ``driver_m``
    full_shots_m: tuple[
        float, ...
    ] = ()  #: totals of full shots with named clubs but the driver, shortest first

    @property
    def clubs_from_m(self) -> float:
        """The driver length that all other clubs are scaled from."""
        return self.driver_m if self.base_m is None else self.base_m


class SkillTables(NamedTuple):
    """A golfer as the kernels read it.

    ``table[lie, height, distance, column]``: depth sd (m), direction sd (rad), depth bias (m), direction
    bias (rad), chance of a poor strike, share of the total that is carried; distance in steps of 1 m.
    ``longest_m[lie]``: longest target; index 5 is a par-3 tee, played from FAIRWAY with every club.
    """

    table: FloatArray
    longest_m: FloatArray
    correlation: float


# Tour form in yards and degrees (sources.toml: published.tour_form).
TOUR_DRIVER_YD = 290.0
_DEPTH_SHORT_YD, _DEPTH_HALF_YD, _DEPTH_LONG = 6.26, 24.2, 0.357
_DIRECTION_DEG, _DIRECTION_LONG_DEG = 2.69, 2.97
_CHIP_DEPTH_YD, _CHIP_HALF_YD, _CHIP_DIRECTION_DEG, _SAND_FLOOR_YD = 5.35, 18.7, 2.08, 1.32
_SHORT_LIE = {Lie.FAIRWAY: 1.0, Lie.ROUGH: 1.35, Lie.SAND: 1.39, Lie.RECOVERY: 1.35, Lie.TEE: 1.0}
#: Carry share by lie for low, standard and high shots (sources.toml: assumption.shots.heights).
_SHORT_CARRY = {
    Lie.TEE: (0.45, 0.68, 0.88),
    Lie.FAIRWAY: (0.45, 0.68, 0.88),
    Lie.ROUGH: (0.50, 0.62, 0.80),
    Lie.SAND: (0.66, 0.66, 0.82),
    Lie.RECOVERY: (0.50, 0.62, 0.80),
}
_HEIGHT_DEPTH, _HEIGHT_DIRECTION = (0.95, 1.0, 1.2), (0.95, 1.0, 1.15)
_HEIGHT_POOR: FloatArray = np.array([0.8, 1.0, 1.6])
_LOW_FROM_ROUGH = 1.2
_FULL_SAND_AT_YD, _FULL_SAND = (40.0, 70.0, 120.0), (1.56, 3.08, 1.81)
#: Run on fairway or green by target over driver length (sources.toml: assumption.shots.run).
_RUN_AT_SHARE, _RUN_YD = (0.0, 0.3, 0.5, 0.65, 0.8, 1.0), (1.0, 1.5, 3.0, 5.0, 10.0, 18.0)
_TEE_SHORT_CLUB = 0.84

_DISTANCE_YD: FloatArray = np.arange(TABLE_LENGTH, dtype=np.float64) * TABLE_STEP_M / YARD_M


def full_depth_yd(target_yd: FloatArray, driver_yd: float | FloatArray) -> FloatArray:
    """Tour depth sd of a full swing, yards: saturates for short shots, grows again for long clubs."""
    long_club = np.maximum(0.0, target_yd / driver_yd - 0.45)
    return _DEPTH_SHORT_YD * target_yd / (target_yd + _DEPTH_HALF_YD) + _DEPTH_LONG * driver_yd * long_club**2


def full_direction_rad(target_yd: FloatArray, driver_yd: float | FloatArray) -> FloatArray:
    """Tour direction sd of a full swing, radians."""
    long_club = np.maximum(0.0, target_yd / driver_yd - 0.3) / 0.7
    return (_DIRECTION_DEG + (_DIRECTION_LONG_DEG - _DIRECTION_DEG) * long_club) * DEGREE_RAD


def band_of(target_m: FloatArray) -> NDArray[np.int64]:
    """Approach band of each target distance (0-3); distances under 50 yd count to the first band."""
    return np.clip(np.searchsorted(BAND_EDGES_M, target_m, side="right") - 1, 0, 3)


def band_weights(target_m: FloatArray) -> FloatArray:
    """[target, band] how much each approach band says of a full swing; rows sum to 1, two bands at most."""
    place = np.interp(target_m, _BAND_STOPS_M, 0.5 * np.arange(_BAND_STOPS_M.size))
    return np.asarray(np.clip(1.0 - np.abs(place[:, None] - np.arange(BAND_CENTRE_M.size)), 0.0, 1.0))


def full_share(target_m: FloatArray) -> FloatArray:
    """Weight of the full-swing form against the short one, by target distance."""
    return np.asarray(np.clip((target_m - BLEND_M[0]) / (BLEND_M[1] - BLEND_M[0]), 0.0, 1.0))


def chip_share(target_m: FloatArray) -> FloatArray:
    """Weight of the chip against the pitch in a short shot, by target distance."""
    near, far = _CHIP_BLEND_M
    return np.asarray(np.clip((far - target_m) / (far - near), 0.0, 1.0))


def wider(golfer: Golfer, factor: float) -> Golfer:
    """The golfer with every spread of solid shots off the tee, of approaches and of the short game times ``factor``."""
    return replace(
        golfer,
        tee_depth=golfer.tee_depth * factor,
        tee_direction_rad=golfer.tee_direction_rad * factor,
        approach_depth=golfer.approach_depth * factor,
        approach_direction=golfer.approach_direction * factor,
        chip=golfer.chip * factor,
        pitch=golfer.pitch * factor,
        bunker=golfer.bunker * factor,
    )


def compile_golfer(golfer: Golfer, *, aimed_by: Golfer | None = None) -> SkillTables:
    """The kernels' tables of a golfer.

    ``aimed_by`` is the golfer whose longest targets the strategy was made with, when that is another one
    (a posterior draw, or the golfer after practice): a target near that golfer's longest is then
    reached in proportion, so that driver length counts although the target stays.
    """
    table = np.empty((len(SHOT_LIES), 3, TABLE_LENGTH, 6))
    table[Lie.TEE] = _tee_rows(golfer)
    for lie in SHOT_LIES[1:]:
        table[lie] = _rows(golfer, lie)
    longest: FloatArray = longest_targets(golfer)
    if aimed_by is not None:
        planned = longest_targets(aimed_by)
        for lie in SHOT_LIES:
            table[lie, :, :, BIAS_DEPTH] += _reach_bias(planned[lie], longest[lie])
        longest = planned
    return SkillTables(table, longest, golfer.correlation)


def longest_targets(golfer: Golfer) -> FloatArray:
    """Longest target by lie, metres, with a sixth entry for the tee of a par 3."""
    clubs = golfer.clubs_from_m
    longest = [share * _longest_club(golfer) for share in LONGEST_SHARE.values()]
    longest[Lie.TEE] = golfer.driver_m
    longest[Lie.RECOVERY] = golfer.recovery_share * clubs
    return np.array([*longest, golfer.driver_m])


def _longest_club(golfer: Golfer) -> float:
    """The driver length that the longest shots without a tee go by: the longest club named says it.

    Where that club is so much shorter than usual that some must be unnamed, all goes as usual.
    """
    usual = golfer.clubs_from_m
    named = max(golfer.full_shots_m, default=0.0) / LONGEST_SHARE[Lie.FAIRWAY]
    return named if named >= _LEAST_NAMED * usual else usual


def _reach_bias(planned_m: float, actual_m: float) -> FloatArray:
    """Metres gained (or lost) at each target when the longest shot is not what the strategy took it for."""
    distance = np.arange(TABLE_LENGTH, dtype=np.float64) * TABLE_STEP_M
    near_longest = np.clip((distance / planned_m - 0.9) / 0.1, 0.0, 1.0)
    gained: FloatArray = near_longest * (actual_m / planned_m - 1.0) * np.minimum(distance, planned_m)
    return gained


def _tee_rows(golfer: Golfer) -> FloatArray:
    yards = _DISTANCE_YD
    share = yards * YARD_M / golfer.driver_m
    rows = np.empty((TABLE_LENGTH, 6))
    shape = _TEE_SHORT_CLUB + (1.0 - _TEE_SHORT_CLUB) * np.clip((share - 0.6) / 0.4, 0.0, 1.0)
    rows[:, DEPTH] = golfer.tee_depth * yards * YARD_M * _partial(golfer.full_shots_m)
    rows[:, DIRECTION] = golfer.tee_direction_rad * shape
    rows[:, BIAS_DEPTH] = 0.0
    rows[:, BIAS_DIRECTION] = golfer.tee_bias_rad
    rows[:, POOR] = golfer.tee_poor
    rows[:, CARRY_SHARE] = _full_carry(golfer)
    return rows


@lru_cache(maxsize=64)
def _partial(full_shots_m: tuple[float, ...]) -> FloatArray:
    """By table distance: how wide in depth a shot is for full and partial shots' sake."""
    wide = partial_spread(_DISTANCE_M, full_shots_m)
    wide.flags.writeable = False
    return wide


def _full_carry(golfer: Golfer) -> FloatArray:
    run = np.interp(_DISTANCE_YD * YARD_M / golfer.clubs_from_m, _RUN_AT_SHARE, _RUN_YD)
    share: FloatArray = 1.0 - np.minimum(run / np.maximum(_DISTANCE_YD, 1.0), 0.5)
    return share


def total_of_carry(golfer: Golfer, carry_m: FloatArray, lie: Lie = Lie.FAIRWAY) -> FloatArray:
    """Total of a shot of standard height that flies ``carry_m``, from tee, fairway, rough or sand; not the driver's."""
    share = _full_carry(golfer)
    if lie != Lie.TEE:
        share = _BLEND[:, 0] * share + _SHORT_PART[lie][STANDARD, :, CARRY_SHARE]
    return np.interp(carry_m, _DISTANCE_M * share, _DISTANCE_M)


def _rows(golfer: Golfer, lie: Lie) -> FloatArray:
    """[height, distance, column] of one lie other than the tee."""
    rows = _BLEND * _full_rows(golfer, lie) + _SHORT_PART[lie]
    rows[:, :, [DEPTH, DIRECTION]] *= _multipliers(golfer, lie)
    rows[:, :, DEPTH] *= _partial(golfer.full_shots_m)
    rows[:, :, BIAS_DEPTH] = _BANDS @ golfer.approach_bias_depth * _BIAS_REACH_M
    rows[:, :, BIAS_DIRECTION] = _BANDS @ golfer.approach_bias_rad * _BLEND[:, 0]
    if lie == Lie.RECOVERY:
        rows[:, :, POOR] = golfer.recovery_poor
    else:
        short_poor = golfer.short_poor[lie - Lie.FAIRWAY] * _HEIGHT_POOR[:, None] * (1.0 - _BLEND[:, 0])
        rows[:, :, POOR] = np.minimum(golfer.full_poor[lie - Lie.FAIRWAY] * _BLEND[:, 0] + short_poor, 0.9)
    return rows


def _multipliers(golfer: Golfer, lie: Lie) -> FloatArray:
    """[distance, (depth, direction)] the golfer's own multipliers by band and short-game part."""
    full = _BANDS @ np.stack([golfer.approach_depth, golfer.approach_direction], axis=1)
    if lie == Lie.SAND:
        return np.asarray(_BLEND * golfer.sand_level * full + (1.0 - _BLEND) * golfer.bunker)
    short = _CHIPS * golfer.chip + (1.0 - _CHIPS) * golfer.pitch
    return np.asarray(_BLEND * full + (1.0 - _BLEND) * short)


def _full_rows(golfer: Golfer, lie: Lie) -> FloatArray:
    """[distance, column] of full swings, with the golfer's multipliers and poor strikes left out."""
    driver_yd = golfer.clubs_from_m / YARD_M
    lie_scale: float | FloatArray = golfer.rough_spread
    if lie == Lie.FAIRWAY:
        lie_scale = 1.0
    elif lie == Lie.SAND:
        lie_scale = FULL_SAND_FACTOR
    rows = np.zeros((TABLE_LENGTH, 6))
    rows[:, DEPTH] = full_depth_yd(_DISTANCE_YD, driver_yd) * YARD_M * lie_scale
    rows[:, DIRECTION] = full_direction_rad(_DISTANCE_YD, driver_yd) * lie_scale
    rows[:, CARRY_SHARE] = _full_carry(golfer)
    return rows


def _short_rows(lie: Lie, height: int) -> FloatArray:
    """[distance, column] of the tour golfer's short shots, poor strikes left out."""
    yards = _DISTANCE_YD
    lie_scale = _SHORT_LIE[lie] * (_LOW_FROM_ROUGH if lie == Lie.ROUGH and height == LOW else 1.0)
    depth = lie_scale * _CHIP_DEPTH_YD * yards / (yards + _CHIP_HALF_YD)
    direction = np.full_like(yards, lie_scale * _CHIP_DIRECTION_DEG * DEGREE_RAD)
    if lie == Lie.SAND:
        long_sand = 1.0 + 0.31 * np.clip((yards - 40.0) / 30.0, 0.0, 1.0)
        depth = np.hypot(depth, _SAND_FLOOR_YD) * long_sand
        direction = direction * long_sand
    rows = np.zeros((TABLE_LENGTH, 6))
    rows[:, DEPTH] = depth * YARD_M * _HEIGHT_DEPTH[height]
    rows[:, DIRECTION] = direction * _HEIGHT_DIRECTION[height]
    rows[:, CARRY_SHARE] = _SHORT_CARRY[lie][height]
    return rows


# What does not depend on the golfer, by table distance.
_DISTANCE_M: FloatArray = _DISTANCE_YD * YARD_M
_BANDS: FloatArray = band_weights(_DISTANCE_M)
#: Depth bias sets in between 40 and 100 yd.
_BIAS_REACH_M: FloatArray = _DISTANCE_M * np.clip((_DISTANCE_YD - 40.0) / 60.0, 0.0, 1.0)
#: Spread of a full swing from sand over that from the fairway, by table distance.
FULL_SAND_FACTOR: FloatArray = np.interp(_DISTANCE_YD, _FULL_SAND_AT_YD, _FULL_SAND)
#: Weights of the full-swing form and, of short shots, of the chip, [distance, 1].
_BLEND: FloatArray = full_share(_DISTANCE_M)[:, None]
_CHIPS: FloatArray = chip_share(_DISTANCE_M)[:, None]
#: Short-game share of the blended rows, [height, distance, column] by lie.
_SHORT_PART = {
    lie: np.stack([(1.0 - _BLEND) * _short_rows(lie, height) for height in (LOW, STANDARD, HIGH)])
    for lie in SHOT_LIES[1:]
}
