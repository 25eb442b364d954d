"""Coordinates: a golfer as a vector of unbounded numbers, the language in which the likelihood speaks.

Lengths and spreads are logarithms, chances are logits, biases stay as they are. The first ``N_GOLFER``
describe the golfer; the rest describe how the records came about (range, aim of logged shots, sessions).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.skill.model import Golfer
from rangework.skill.putting import READING_RATIO_PER_M, PuttingSkill

FloatArray = NDArray[np.float64]

LN_DRIVER = 0
LN_TEE_DEPTH = 1
LN_TEE_DIRECTION = 2
TEE_BIAS = 3
TEE_POOR = 4
LN_DEPTH = 5  #: four bands
LN_DIRECTION = 9  #: four bands
BIAS = 13  #: four bands
BIAS_DEPTH = 17  #: four bands
FULL_POOR = 21  #: fairway, rough, sand
LN_ROUGH_EXTRA = 24
LN_SAND_LEVEL = 25
LN_CHIP = 26
LN_PITCH = 27
LN_BUNKER = 28
SHORT_POOR = 29  #: fairway, rough, sand
LN_LINE = 32
LN_PACE = 33
LN_AIM_PAST = 34  #: how far past the hole putts are meant to finish, metres
N_GOLFER = 35
LN_RANGE_FACTOR = 35
LN_AIM = 36
LN_AIM_DEPTH = 37  #: aim scatter in depth over aim scatter sideways
LAY_UP = 38
LN_SESSION_DIRECTION = 39
LN_SESSION_DEPTH = 40
LN_SESSION_SPREAD = 41
LN_RUN = 42  #: run of a drive beyond its carry, metres
N_COORDINATES = 43

#: Coordinates that change sign for the mirror image of a golfer.
SIDED = (TEE_BIAS, BIAS, BIAS + 1, BIAS + 2, BIAS + 3)
BANDS = 4
#: Rough never makes a shot narrower: its extra spread stays above this.
_LEAST_ROUGH_EXTRA = 1e-3
_LEAST_CHANCE = 1e-6


def logit(chance: FloatArray | float) -> FloatArray:
    """Log odds of a chance, kept finite at 0 and 1."""
    inside = np.clip(chance, _LEAST_CHANCE, 1.0 - _LEAST_CHANCE)
    return np.asarray(np.log(inside / (1.0 - inside)))


def expit(log_odds: FloatArray | float) -> FloatArray:
    """Chance of given log odds."""
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * np.asarray(log_odds))))


def golfer_coordinates(golfer: Golfer) -> FloatArray:
    """The first ``N_GOLFER`` coordinates of a golfer."""
    return np.concatenate(
        [
            np.log([golfer.driver_m, golfer.tee_depth, golfer.tee_direction_rad]),
            [golfer.tee_bias_rad, float(logit(golfer.tee_poor))],
            np.log(golfer.approach_depth),
            np.log(golfer.approach_direction),
            golfer.approach_bias_rad,
            golfer.approach_bias_depth,
            logit(golfer.full_poor),
            [math.log(max(golfer.rough_spread - 1.0, _LEAST_ROUGH_EXTRA))],
            np.log([golfer.sand_level, golfer.chip, golfer.pitch, golfer.bunker]),
            logit(golfer.short_poor),
            np.log([golfer.putting.line_rad, golfer.putting.pace, golfer.putting.aim_past_m]),
        ]
    )


def golfer_from_coordinates(coordinates: FloatArray, template: Golfer) -> Golfer:
    """The golfer at ``coordinates`` (at least the first ``N_GOLFER``).

    ``template`` gives what the fit takes as known: recovery shots, the correlation of errors and the clubs.
    """
    c = np.asarray(coordinates, dtype=np.float64)
    return Golfer(
        driver_m=float(np.exp(c[LN_DRIVER])),
        tee_depth=float(np.exp(c[LN_TEE_DEPTH])),
        tee_direction_rad=float(np.exp(c[LN_TEE_DIRECTION])),
        tee_bias_rad=float(c[TEE_BIAS]),
        tee_poor=float(expit(c[TEE_POOR])),
        approach_depth=np.exp(c[LN_DEPTH : LN_DEPTH + BANDS]),
        approach_direction=np.exp(c[LN_DIRECTION : LN_DIRECTION + BANDS]),
        approach_bias_rad=c[BIAS : BIAS + BANDS].copy(),
        approach_bias_depth=c[BIAS_DEPTH : BIAS_DEPTH + BANDS].copy(),
        full_poor=expit(c[FULL_POOR : FULL_POOR + 3]),
        rough_spread=float(1.0 + np.exp(c[LN_ROUGH_EXTRA])),
        chip=float(np.exp(c[LN_CHIP])),
        pitch=float(np.exp(c[LN_PITCH])),
        bunker=float(np.exp(c[LN_BUNKER])),
        short_poor=expit(c[SHORT_POOR : SHORT_POOR + 3]),
        recovery_share=template.recovery_share,
        recovery_poor=template.recovery_poor,
        sand_level=float(np.exp(c[LN_SAND_LEVEL])),
        putting=putting_from_coordinates(c),
        correlation=template.correlation,
        full_shots_m=template.full_shots_m,
    )


def putting_from_coordinates(coordinates: FloatArray) -> PuttingSkill:
    """The putting of the golfer at ``coordinates`` (at least the first ``N_GOLFER``)."""
    line_rad, pace, aim_past_m = np.exp(coordinates[[LN_LINE, LN_PACE, LN_AIM_PAST]]).tolist()
    return PuttingSkill(line_rad, READING_RATIO_PER_M * line_rad, pace, aim_past_m)


def mirrored(coordinates: FloatArray) -> FloatArray:
    """Coordinates ``[..., N_COORDINATES]`` of the mirror image: right becomes left."""
    image = np.array(coordinates, dtype=np.float64)
    image[..., list(SIDED)] *= -1.0
    return image
