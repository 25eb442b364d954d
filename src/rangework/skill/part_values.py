"""The quantity behind each part of the game, from coordinates: what is shown, and what practice changes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.model import BAND_CENTRE_M, full_depth_yd, full_direction_rad
from rangework.skill.shot_cells import BAND_IDS, short_form
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]

#: Where estimates of the short game are stated; those of a band are stated at its centre.
CHIP_CENTRE_M, PITCH_CENTRE_M, BUNKER_CENTRE_M = 10.0 * YARD_M, 35.0 * YARD_M, 15.0 * YARD_M

PART_UNITS: dict[str, str] = {
    "tee.carry": "m",
    "tee.direction": "degrees",
    "tee.bias": "degrees",
    "tee.poor_strikes": "share",
    **{
        f"{band}.{what}": unit
        for band in BAND_IDS
        for what, unit in (("depth", "m"), ("direction", "degrees"))
    },
    **{f"{band}.bias": "degrees" for band in BAND_IDS},
    "approach.poor_strikes": "share",
    "approach.rough": "share",
    "chip": "m",
    "pitch": "m",
    "bunker": "m",
    "short_game.poor_strikes": "share",
    "putt.line": "degrees",
    "putt.pace": "share",
}


def full_depth_m(coordinates: FloatArray, band: int) -> FloatArray:
    """Depth sd ``[draw]`` (m) of a full swing at a band's centre from the fairway."""
    driver_yd: FloatArray = np.exp(coordinates[:, c.LN_DRIVER]) / YARD_M
    form = full_depth_yd(np.full(driver_yd.shape, BAND_CENTRE_M[band] / YARD_M), driver_yd) * YARD_M
    return np.asarray(np.exp(coordinates[:, c.LN_DEPTH + band]) * form)


def full_direction_degrees(coordinates: FloatArray, band: int) -> FloatArray:
    """Direction sd ``[draw]`` (degrees) of a full swing at a band's centre from the fairway."""
    driver_yd: FloatArray = np.exp(coordinates[:, c.LN_DRIVER]) / YARD_M
    form = full_direction_rad(np.full(driver_yd.shape, BAND_CENTRE_M[band] / YARD_M), driver_yd) / DEGREE_RAD
    return np.asarray(np.exp(coordinates[:, c.LN_DIRECTION + band]) * form)


def part_values(coordinates: FloatArray) -> dict[str, FloatArray]:
    """The quantity of every part ``[draw]`` in the units of ``PART_UNITS``.

    Driver length in metres (total); spreads of a band at its centre from the fairway, of chips, pitches and
    bunker shots as the depth sd at 10, 35 and 15 yd; rough as the extra share of spread; putting line without
    reading.
    """
    x = coordinates
    values = {
        "tee.carry": np.exp(x[:, c.LN_DRIVER]),
        "tee.direction": np.exp(x[:, c.LN_TEE_DIRECTION]) / DEGREE_RAD,
        "tee.bias": x[:, c.TEE_BIAS] / DEGREE_RAD,
        "tee.poor_strikes": c.expit(x[:, c.TEE_POOR]),
    }
    for band, name in enumerate(BAND_IDS):
        values[f"{name}.depth"] = full_depth_m(x, band)
        values[f"{name}.direction"] = full_direction_degrees(x, band)
        values[f"{name}.bias"] = x[:, c.BIAS + band] / DEGREE_RAD
    return values | {
        "approach.poor_strikes": c.expit(x[:, c.FULL_POOR]),
        "approach.rough": np.exp(x[:, c.LN_ROUGH_EXTRA]),
        "chip": np.exp(x[:, c.LN_CHIP]) * short_form(Lie.FAIRWAY, CHIP_CENTRE_M)[0],
        "pitch": np.exp(x[:, c.LN_PITCH]) * short_form(Lie.FAIRWAY, PITCH_CENTRE_M)[0],
        "bunker": np.exp(x[:, c.LN_BUNKER]) * short_form(Lie.SAND, BUNKER_CENTRE_M)[0],
        "short_game.poor_strikes": c.expit(x[:, c.SHORT_POOR]),
        "putt.line": np.exp(x[:, c.LN_LINE]) / DEGREE_RAD,
        "putt.pace": np.exp(x[:, c.LN_PACE]),
    }
