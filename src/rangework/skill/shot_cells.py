"""Cells: what the spread of a shot is made of, for every target, lie, place and session."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.likelihood_kernels import NOT_TEE, Cells
from rangework.skill.model import (
    BLEND_M,
    CHIP_LIMIT_M,
    DEPTH,
    DIRECTION,
    SHORT_LIMIT_M,
    STANDARD,
    TABLE_LENGTH,
    TABLE_STEP_M,
    band_of,
    compile_golfer,
    full_depth_yd,
    full_direction_rad,
)
from rangework.skill.reference import tour_golfer
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


class CellKeys(NamedTuple):
    """What tells cells apart, ``[cell]``; ``tee`` and ``run_m`` as in `Cells`."""

    target_m: FloatArray
    lie: IntArray
    tee: IntArray
    run_m: FloatArray
    on_range: IntArray
    session: IntArray


@lru_cache(maxsize=8)
def _forms(lie: Lie) -> tuple[FloatArray, FloatArray]:
    """By table distance: scale of the full form, and ``[distance, 2]`` depth (m) and direction (rad) of the
    short.

    Read off the tour golfer's table, whose multipliers are all 1: what the blended full form does not make is
    the short form. From sand the blend is not told apart: short below its end, full beyond.
    """
    golfer = tour_golfer()
    metres = np.asarray(np.arange(TABLE_LENGTH) * TABLE_STEP_M, dtype=np.float64)
    table = compile_golfer(golfer).table[lie, STANDARD][:, [DEPTH, DIRECTION]]
    driver_yd = golfer.driver_m / YARD_M
    full = np.column_stack(
        [full_depth_yd(metres / YARD_M, driver_yd) * YARD_M, full_direction_rad(metres / YARD_M, driver_yd)]
    )
    if lie == Lie.SAND:
        beyond = metres >= BLEND_M[1]
        scale = np.where(beyond, table[:, 1] / full[:, 1], 0.0)
        return scale, np.where(beyond[:, None], 0.0, table)
    scale = _blend(metres)
    made = full * scale[:, None] * (golfer.rough_spread if lie == Lie.ROUGH else 1.0)
    return scale, np.maximum(table - made, 0.0)


def _blend(target_m: FloatArray) -> FloatArray:
    """Weight of the full-swing form."""
    return np.asarray(np.clip((target_m - BLEND_M[0]) / (BLEND_M[1] - BLEND_M[0]), 0.0, 1.0))


def short_form(lie: Lie, target_m: float) -> tuple[float, float]:
    """Depth sd (m) and direction sd (radians) of a short shot of the tour form, standard height."""
    distance = np.arange(TABLE_LENGTH) * TABLE_STEP_M
    short = _forms(lie)[1]
    depth_m, direction_rad = (float(np.interp(target_m, distance, column)) for column in short.T)
    return depth_m, direction_rad


def full_scale(lie: Lie, target_m: float) -> float:
    """Spread of a full swing from a lie over that from the fairway, by lie alone."""
    return float(np.interp(target_m, np.arange(TABLE_LENGTH) * TABLE_STEP_M, _forms(lie)[0]))


def _at_targets(keys: CellKeys, column: int) -> FloatArray:
    """Share of the full form (column 0) or depth and direction of the short one (1, 2) at every cell."""
    distance = np.arange(TABLE_LENGTH) * TABLE_STEP_M
    values = np.empty(keys.target_m.size)
    for lie in np.unique(keys.lie):
        scale, short = _forms(Lie(int(lie)) if lie != Lie.TEE else Lie.FAIRWAY)
        rows = keys.lie == lie
        column_values = np.column_stack([scale, short])[:, column]
        values[rows] = np.interp(keys.target_m[rows], distance, column_values)
    return values


def make_cells(keys: CellKeys) -> Cells:
    """The cells of ``keys``, with every coordinate that they hang on."""
    target, tee = keys.target_m, keys.tee != NOT_TEE
    blend = np.where(tee, 1.0, _blend(target))
    band = np.asarray(band_of(target), dtype=np.int64)
    short = (target < SHORT_LIMIT_M) & ~tee
    sand = keys.lie == Lie.SAND
    short_part = np.where(sand, c.LN_BUNKER, np.where(target < CHIP_LIMIT_M, c.LN_CHIP, c.LN_PITCH))
    lie_row = np.clip(keys.lie - Lie.FAIRWAY, 0, 2)
    return Cells(
        target_m=target,
        tee=keys.tee,
        run_m=keys.run_m,
        full_share=_at_targets(keys, 0),
        rough=(keys.lie == Lie.ROUGH).astype(np.int64),
        short_depth_m=_at_targets(keys, 1),
        short_direction_rad=_at_targets(keys, 2),
        depth_at=np.where(short, short_part, c.LN_DEPTH + band),
        direction_at=np.where(short, short_part, c.LN_DIRECTION + band),
        sand_at=np.where(sand & ~short, c.LN_SAND_LEVEL, -1),
        bias_at=np.where(tee, c.TEE_BIAS, np.where(short, -1, c.BIAS + band)),
        bias_depth_at=np.where(tee, -1, c.BIAS_DEPTH + band),
        bias_ramp=np.clip((target / YARD_M - 40.0) / 60.0, 0.0, 1.0),
        blend=blend,
        full_poor_at=np.where(tee, c.TEE_POOR, c.FULL_POOR + lie_row),
        short_poor_at=c.SHORT_POOR + lie_row,
        on_range=keys.on_range,
        session=keys.session,
    )


BAND_IDS = ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")
#: Part that a short shot's multiplier belongs to, by coordinate.
_SHORT_PARTS = {c.LN_CHIP: "chip", c.LN_PITCH: "pitch", c.LN_BUNKER: "bunker"}


def parts_of_cells(cells: Cells) -> NDArray[np.object_]:
    """Family of parts that each cell informs: ``tee``, a band such as ``approach_100_150``, or a short-game
    part.
    """
    names = [
        "tee" if tee != NOT_TEE else _SHORT_PARTS.get(int(at)) or BAND_IDS[at - c.LN_DEPTH]
        for tee, at in zip(cells.tee, cells.depth_at, strict=True)
    ]
    return np.array(names, dtype=object)


def lies_of_cells(cells: Cells) -> IntArray:
    """Lie of each cell."""
    lie = cells.short_poor_at - c.SHORT_POOR + Lie.FAIRWAY
    return np.asarray(np.where(cells.tee != NOT_TEE, int(Lie.TEE), lie), dtype=np.int64)
