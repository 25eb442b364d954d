"""Cells: what the spread of a shot is made of, for every target, lie, place and session."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.kernel_arrays import NOT_TEE, Cells
from rangework.skill.model import (
    CHIP_LIMIT_M,
    DEPTH,
    DIRECTION,
    FULL_SAND_FACTOR,
    SHORT_LIMIT_M,
    STANDARD,
    TABLE_LENGTH,
    TABLE_STEP_M,
    band_of,
    band_weights,
    chip_share,
    compile_golfer,
    full_depth_yd,
    full_direction_rad,
    full_share,
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
    partial: FloatArray | None = None  #: as in `Cells`, all full or like full if left out


@lru_cache(maxsize=8)
def _forms(lie: Lie) -> tuple[FloatArray, FloatArray]:
    """By table distance: scale of the full form, and ``[distance, 2]`` depth (m) and direction (rad) of the
    short.

    Read off the tour golfer's table, whose multipliers are all 1: what the blended full form does not make is
    the short form.
    """
    golfer = tour_golfer()
    metres = np.asarray(np.arange(TABLE_LENGTH) * TABLE_STEP_M, dtype=np.float64)
    table = compile_golfer(golfer).table[lie, STANDARD][:, [DEPTH, DIRECTION]]
    driver_yd = golfer.driver_m / YARD_M
    full = np.column_stack(
        [full_depth_yd(metres / YARD_M, driver_yd) * YARD_M, full_direction_rad(metres / YARD_M, driver_yd)]
    )
    scale = full_share(metres) * (FULL_SAND_FACTOR if lie == Lie.SAND else 1.0)
    made = full * scale[:, None] * (golfer.rough_spread if lie == Lie.ROUGH else 1.0)
    return scale, np.maximum(table - made, 0.0)


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


class _Weighed(NamedTuple):
    """Neighbours that make a quantity of a cell: places among the columns of a matrix of weights, ``[cell, 2]``."""

    column: IntArray
    weight: FloatArray


def _neighbours(weights: FloatArray, first: IntArray) -> _Weighed:
    """The two columns of ``weights`` ``[cell, column]`` that count, ``first`` among them and before the other."""
    rows = np.arange(len(weights))
    others = weights.copy()
    others[rows, first] = -1.0
    second = others.argmax(axis=1)
    column = np.column_stack([first, second])
    return _Weighed(column, weights[rows[:, None], column])


def make_cells(keys: CellKeys) -> Cells:
    """The cells of ``keys``, with every coordinate that they hang on."""
    target, tee = keys.target_m, keys.tee != NOT_TEE
    full = np.where(tee, 1.0, full_share(target))
    bands = band_weights(target)
    spread = _spread_parts(target, keys.lie == Lie.SAND, full, bands)
    bias = _neighbours(bands, band_of(target))
    ramp = np.clip((target / YARD_M - 40.0) / 60.0, 0.0, 1.0)[:, None]
    lie_row = np.clip(keys.lie - Lie.FAIRWAY, 0, 2)
    teed = tee[:, None]
    return Cells(
        target_m=target,
        tee=keys.tee,
        run_m=keys.run_m,
        full_share=_at_targets(keys, 0),
        rough=(keys.lie == Lie.ROUGH).astype(np.int64),
        short_depth_m=_at_targets(keys, 1),
        short_direction_rad=_at_targets(keys, 2),
        depth_at=_DEPTH_COORDINATES[spread.column],
        direction_at=_DIRECTION_COORDINATES[spread.column],
        spread_weight=spread.weight,
        sandy=((keys.lie == Lie.SAND)[:, None] & (spread.column < c.BANDS)).astype(np.float64),
        partial=np.ones(target.size) if keys.partial is None else keys.partial,
        bias_at=np.where(teed, c.TEE_BIAS, c.BIAS + bias.column),
        bias_weight=np.where(teed, [[1.0, 0.0]], bias.weight * full[:, None]),
        bias_depth_at=c.BIAS_DEPTH + bias.column,
        bias_depth_weight=np.where(teed, 0.0, bias.weight * ramp),
        blend=full,
        full_poor_at=np.where(tee, c.TEE_POOR, c.FULL_POOR + lie_row),
        short_poor_at=c.SHORT_POOR + lie_row,
        on_range=keys.on_range,
        session=keys.session,
    )


#: Coordinates of the multipliers: four bands, then chip, pitch and bunker, whose depth and direction share one.
_CHIP, _PITCH, _BUNKER = c.BANDS, c.BANDS + 1, c.BANDS + 2
_SHORT_COORDINATES = [c.LN_CHIP, c.LN_PITCH, c.LN_BUNKER]
_DEPTH_COORDINATES: IntArray = np.array([*range(c.LN_DEPTH, c.LN_DEPTH + c.BANDS), *_SHORT_COORDINATES])
_DIRECTION_COORDINATES: IntArray = np.array(
    [*range(c.LN_DIRECTION, c.LN_DIRECTION + c.BANDS), *_SHORT_COORDINATES]
)


def _spread_parts(
    target: FloatArray, sand: NDArray[np.bool_], full: FloatArray, bands: FloatArray
) -> _Weighed:
    """What a spread is made of; the first is the part that the shot counts to, by the edges of the parts."""
    chip, short = chip_share(target), 1.0 - full
    weights = np.column_stack(
        [
            bands * full[:, None],
            np.where(sand, 0.0, chip * short),
            np.where(sand, 0.0, (1.0 - chip) * short),
            np.where(sand, short, 0.0),
        ]
    )
    near = np.where(sand, _BUNKER, np.where(target < CHIP_LIMIT_M, _CHIP, _PITCH))
    return _neighbours(weights, np.where(target < SHORT_LIMIT_M, near, band_of(target)))


def own_share(target_m: FloatArray, sand: NDArray[np.bool_]) -> FloatArray:
    """How much of each shot's spread, none of them a tee shot, is that of the part which it counts to."""
    return _spread_parts(target_m, sand, full_share(target_m), band_weights(target_m)).weight[:, 0]


BAND_IDS = ("approach_50_100", "approach_100_150", "approach_150_200", "approach_200_up")
#: Part that a short shot's multiplier belongs to, by coordinate.
_SHORT_PARTS = {c.LN_CHIP: "chip", c.LN_PITCH: "pitch", c.LN_BUNKER: "bunker"}


def parts_of_cells(cells: Cells) -> NDArray[np.object_]:
    """Family of parts that each cell informs: ``tee``, a band such as ``approach_100_150``, or a short-game
    part.
    """
    names = [
        "tee" if tee != NOT_TEE else _SHORT_PARTS.get(int(at)) or BAND_IDS[at - c.LN_DEPTH]
        for tee, at in zip(cells.tee, cells.depth_at[:, 0], strict=True)
    ]
    return np.array(names, dtype=object)


def lies_of_cells(cells: Cells) -> IntArray:
    """Lie of each cell."""
    lie = cells.short_poor_at - c.SHORT_POOR + Lie.FAIRWAY
    return np.asarray(np.where(cells.tee != NOT_TEE, int(Lie.TEE), lie), dtype=np.int64)
