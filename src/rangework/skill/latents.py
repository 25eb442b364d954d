"""Latents: independent standard normal numbers that a player's prior is built from.

A player is the reference golfer of a level, moved by effects that some parts share and some own. The prior of
every latent is a standard normal; ``LatentPrior`` turns latents into coordinates (a straight line but for the
level). Standard deviations: sources.toml ``prior.player``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rangework.skill import coordinates as c
from rangework.skill.kernel_arrays import MISREADS, N_FITTED, SLIPS, WILD
from rangework.skill.model import Golfer
from rangework.skill.reference import Group, reference_golfer
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]
Hand = Literal["right", "left"]

#: Standard deviation of the level around a stated handicap, and the prior of the level when none is stated.
STATED_LEVEL_SD = 6.0
UNSTATED_LEVEL, UNSTATED_LEVEL_SD = 16.0, 11.0
LEVEL_STEP = 0.25
LOWEST_LEVEL, HIGHEST_LEVEL = -6.0, 54.0

LN_DRIVER_SD = 0.06
#: The men's forms give no driver length for women, juniors and seniors: the records must.
LN_DRIVER_SD_UNSURE = 0.16

#: Medians of what describes the records (sources.toml ``prior.range_factor``, ``prior.aim_scatter``,
#: ``prior.sessions``, ``prior.run``, ``prior.wild_strikes``, ``prior.slips``, ``prior.misreads``).
RANGE_FACTOR, AIM_SCATTER_RAD, AIM_DEPTH_RATIO = 0.85, 3.0 * DEGREE_RAD, 0.5
SESSION_DIRECTION_RAD, SESSION_DEPTH, SESSION_SPREAD = 1.0 * DEGREE_RAD, 0.015, 0.10
LAY_UP_LOG_ODDS = -2.9
WILD_LOG_ODDS, SLIP_LOG_ODDS, MISREAD_LOG_ODDS = -3.5, -6.0, -2.2
DRIVER_RUN_M = 18.0 * YARD_M
LEVEL = "level"


@dataclass(frozen=True, slots=True)
class Effect:
    """A latent: one standard deviation of it moves each of ``coordinates`` by ``sd``."""

    name: str
    coordinates: tuple[int, ...]
    sd: float


def _bands(first: int) -> tuple[int, ...]:
    return tuple(range(first, first + c.BANDS))


def _band_effects(name: str, first: int, sd: float) -> list[Effect]:
    names = ("50_100", "100_150", "150_200", "200_up")
    return [Effect(f"{name}.{band}", (first + i,), sd) for i, band in enumerate(names)]


_FULL_SPREADS = (c.LN_TEE_DEPTH, c.LN_TEE_DIRECTION, *_bands(c.LN_DEPTH), *_bands(c.LN_DIRECTION))
_ALL_POOR = (c.TEE_POOR, *range(c.FULL_POOR, c.FULL_POOR + 3), *range(c.SHORT_POOR, c.SHORT_POOR + 3))


def effects(ln_driver_sd: float = LN_DRIVER_SD) -> tuple[Effect, ...]:
    """Every latent but the level, in order."""
    return (
        Effect("driver_length", (c.LN_DRIVER,), ln_driver_sd),
        Effect("tee_depth", (c.LN_TEE_DEPTH,), 0.22),
        Effect("tee_direction", (c.LN_TEE_DIRECTION,), 0.22),
        Effect("full_shots", _FULL_SPREADS, 0.08),
        Effect("depth", _bands(c.LN_DEPTH), 0.18),
        Effect("direction", _bands(c.LN_DIRECTION), 0.18),
        *_band_effects("depth", c.LN_DEPTH, 0.13),
        *_band_effects("direction", c.LN_DIRECTION, 0.13),
        Effect("bias", (c.TEE_BIAS, *_bands(c.BIAS)), 1.0 * DEGREE_RAD),
        Effect("tee_bias", (c.TEE_BIAS,), 1.1 * DEGREE_RAD),
        *_band_effects("bias", c.BIAS, 0.8 * DEGREE_RAD),
        Effect("bias_depth", _bands(c.BIAS_DEPTH), 0.02),
        *_band_effects("bias_depth", c.BIAS_DEPTH, 0.015),
        Effect("poor_strikes", _ALL_POOR, 0.25),
        Effect("tee_poor", (c.TEE_POOR,), 0.5),
        Effect("full_poor", tuple(range(c.FULL_POOR, c.FULL_POOR + 3)), 0.5),
        Effect("rough_poor", (c.FULL_POOR + 1,), 0.25),
        Effect("short_poor", tuple(range(c.SHORT_POOR, c.SHORT_POOR + 3)), 0.5),
        Effect("rough_extra", (c.LN_ROUGH_EXTRA,), 0.4),
        Effect("sand_level", (c.LN_SAND_LEVEL,), 0.15),
        Effect("short_game", (c.LN_CHIP, c.LN_PITCH, c.LN_BUNKER), 0.15),
        Effect("chip", (c.LN_CHIP,), 0.2),
        Effect("pitch", (c.LN_PITCH,), 0.2),
        Effect("bunker", (c.LN_BUNKER,), 0.2),
        Effect("putt_line", (c.LN_LINE,), 0.12),
        Effect("putt_pace", (c.LN_PACE,), 0.15),
        Effect("putt_aim", (c.LN_AIM_PAST,), 0.5),
        Effect("range_factor", (c.LN_RANGE_FACTOR,), 0.15),
        Effect("aim_scatter", (c.LN_AIM,), 0.6),
        Effect("aim_depth", (c.LN_AIM_DEPTH,), 0.6),
        Effect("lay_ups", (c.LAY_UP,), 1.0),
        Effect("run", (c.LN_RUN,), 0.5),
        Effect("wild_strikes", (WILD,), 1.2),
        Effect("slips", (SLIPS,), 1.2),
        Effect("misreads", (MISREADS,), 1.2),
        Effect("session_direction", (c.LN_SESSION_DIRECTION,), 0.3),
        Effect("session_depth", (c.LN_SESSION_DEPTH,), 0.3),
        Effect("session_spread", (c.LN_SESSION_SPREAD,), 0.3),
    )


LATENT_NAMES: tuple[str, ...] = (LEVEL, *(effect.name for effect in effects()))
N_LATENTS = len(LATENT_NAMES)
#: Latents that the joint mode would read wrongly: held at their prior median wherever no sampling is done.
SESSION_SD_LATENTS = tuple(i for i, name in enumerate(LATENT_NAMES) if name.startswith("session_"))

_RECORDS_COORDINATES = (
    math.log(RANGE_FACTOR),
    math.log(AIM_SCATTER_RAD),
    math.log(AIM_DEPTH_RATIO),
    LAY_UP_LOG_ODDS,
    math.log(SESSION_DIRECTION_RAD),
    math.log(SESSION_DEPTH),
    math.log(SESSION_SPREAD),
    math.log(DRIVER_RUN_M),
    WILD_LOG_ODDS,
    SLIP_LOG_ODDS,
    MISREAD_LOG_ODDS,
)


@lru_cache(maxsize=2)
def level_table(group: Group = "men") -> FloatArray:
    """Coordinates ``[level, coordinate]`` of reference golfers, from ``LOWEST_LEVEL`` in ``LEVEL_STEP``."""
    levels = np.arange(LOWEST_LEVEL, HIGHEST_LEVEL + 0.5 * LEVEL_STEP, LEVEL_STEP)
    rows = [c.golfer_coordinates(reference_golfer(float(level), group)) for level in levels]
    table = np.column_stack([np.array(rows), np.tile(_RECORDS_COORDINATES, (levels.size, 1))])
    table.flags.writeable = False
    return table


@dataclass(frozen=True, slots=True)
class LatentPrior:
    """The prior of one player: level and its sd, how sure the driver length is, the hand, and whose reference golfers.

    ``full_shots_m`` are totals of full shots with the clubs that are named (`partial_shots`).
    Left-handers are fitted as their mirror image: latents are the same, biases change sign.
    """

    level: float = UNSTATED_LEVEL
    level_sd: float = UNSTATED_LEVEL_SD
    ln_driver_sd: float = LN_DRIVER_SD
    hand: Hand = "right"
    group: Group = "men"
    full_shots_m: tuple[float, ...] = ()

    def loadings(self) -> FloatArray:
        """``[coordinate, latent]``: what one unit of each latent moves (the level's column is zero)."""
        matrix = np.zeros((N_FITTED, N_LATENTS))
        for column, effect in enumerate(effects(self.ln_driver_sd), start=1):
            matrix[list(effect.coordinates), column] += effect.sd
        return matrix

    def level_of(self, latents: FloatArray) -> FloatArray:
        """Level of latents ``[..., N_LATENTS]``, within the levels that reference golfers exist for."""
        level = self.level + self.level_sd * np.asarray(latents)[..., 0]
        return np.asarray(np.clip(level, LOWEST_LEVEL, HIGHEST_LEVEL))

    def coordinates(self, latents: FloatArray) -> FloatArray:
        """Coordinates ``[..., N_FITTED]`` of latents ``[..., N_LATENTS]``, right-handed."""
        latents = np.asarray(latents, dtype=np.float64)
        moved: FloatArray = latents[..., :N_LATENTS] @ self.loadings().T
        return moved + _at_level(self.level_of(latents), self.group)


def _at_level(level: FloatArray, group: Group) -> FloatArray:
    """The level table by Catmull-Rom interpolation, as the likelihood kernel does it."""
    table = level_table(group)
    place = (level - LOWEST_LEVEL) / LEVEL_STEP
    cell = np.clip(np.floor(place).astype(np.int64), 0, len(table) - 2)
    u = (place - cell)[..., None]
    before, after = table[np.maximum(cell - 1, 0)], table[np.minimum(cell + 2, len(table) - 1)]
    left, right = table[cell], table[cell + 1]
    slope_left, slope_right = 0.5 * (right - before), 0.5 * (after - left)
    bend = right - left
    a, b = slope_left - bend, bend - slope_right
    return np.asarray(left + u * (bend + (1.0 - u) * (a * (1.0 - u) + b * u)))


def golfer_from_latents(latents: FloatArray, prior: LatentPrior) -> Golfer:
    """The golfer that latents ``[N_LATENTS]`` (or more: the rest are session effects) stand for.

    All latents zero is the reference golfer of the prior's level.
    """
    coordinates = prior.coordinates(np.asarray(latents)[:N_LATENTS])
    if prior.hand == "left":
        coordinates = c.mirrored(coordinates)
    template = reference_golfer(float(prior.level_of(np.zeros(N_LATENTS))), prior.group)
    template = replace(template, full_shots_m=prior.full_shots_m)
    return c.golfer_from_coordinates(coordinates, template)
