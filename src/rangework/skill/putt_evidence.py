"""Putts as the fit reads them: counts by distance, and misses by where they finished."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import PUTTED_LIES, Lie
from rangework.skill.kernel_arrays import Leaves, Putts
from rangework.skill.make_table import NEAR_M, make_table
from rangework.skill.round_the_hole import places_round_the_hole
from rangework.skill.sessions import NO_SESSION

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


def practice_putts(putts: pd.DataFrame, session: IntArray) -> tuple[Putts, Leaves]:
    """Counts of holed and unmeasured putts, and the measured misses, of a frame of practice putts."""
    holed = putts["holed"].to_numpy(bool)
    long_m, right_m = putts["long_m"].to_numpy(float), putts["right_m"].to_numpy(float)
    measured = ~holed & np.isfinite(long_m) & np.isfinite(right_m)
    length = putts["target_m"].to_numpy(float)
    near = np.zeros(length.size, dtype=bool)
    counts = _counts(length[~measured], holed[~measured], near[~measured], session[~measured])
    return counts, _points(length[measured], long_m[measured], right_m[measured], session[measured])


def logged_putts(log: pd.DataFrame) -> tuple[FloatArray, BoolArray, FloatArray]:
    """Length, holed, and distance left (nan when holed) of a log's putts, also from the fringe; none conceded."""
    used = log["lie"].isin(PUTTED_LIES) & ~log["conceded"] & ~log["picked_up"] & (log["to_hole_m"] > 0.0)
    putts = log[used]
    holed = (putts["next_lie"] == Lie.HOLED).to_numpy(bool)
    left = np.where(holed, np.nan, putts["left_to_hole_m"].to_numpy(float))
    return putts["to_hole_m"].to_numpy(float), holed, left


def course_putts(log: pd.DataFrame) -> tuple[Putts, Leaves]:
    """Counts of holed and unmeasured putts of a course log, and its misses by the distance left."""
    length, holed, left = logged_putts(log)
    known = ~holed & (left > NEAR_M)
    near = ~holed & (left > 0.0) & (left <= NEAR_M)
    session = np.full(length.size, NO_SESSION, dtype=np.int64)
    return (
        _counts(length[~known], holed[~known], near[~known], session[~known]),
        _circles(length[known], left[known], session[known]),
    )


def _counts(length_m: FloatArray, holed: BoolArray, near: BoolArray, session: IntArray) -> Putts:
    """Every putt shared between the distance nodes around it (equal putts count each)."""
    table = make_table()
    below, share = table.shares(np.maximum(length_m, table.distance_m[0]))
    n_nodes = table.distance_m.size
    key = np.concatenate([session * n_nodes + below, session * n_nodes + below + 1])
    weight = np.concatenate([1.0 - share, share])
    cells, place = np.unique(key, return_inverse=True)
    holed, near = np.concatenate([holed, holed]), np.concatenate([near, near])
    return Putts(
        node=cells % n_nodes,
        session=cells // n_nodes,
        holed=_sums(place, weight * holed, cells.size),
        missed=_sums(place, weight * ~(holed | near), cells.size),
        near=_sums(place, weight * near, cells.size),
        log_make=table.log_make,
        log_miss=table.log_miss,
        log_near=table.log_near,
        line_first=float(table.ln_line[0]),
        line_step=float(table.ln_line[1] - table.ln_line[0]),
        pace_first=float(table.ln_pace[0]),
        pace_step=float(table.ln_pace[1] - table.ln_pace[0]),
        past_first=float(table.ln_past[0]),
        past_step=float(table.ln_past[1] - table.ln_past[0]),
    )


def _sums(place: IntArray, weight: FloatArray, n: int) -> FloatArray:
    return np.asarray(np.bincount(place, weight, n), dtype=np.float64)


def joined(first: Putts, second: Putts) -> Putts:
    """Counts of both."""
    return first._replace(
        node=np.concatenate([first.node, second.node]),
        session=np.concatenate([first.session, second.session]),
        holed=np.concatenate([first.holed, second.holed]),
        missed=np.concatenate([first.missed, second.missed]),
        near=np.concatenate([first.near, second.near]),
    )


def _points(length: FloatArray, long_m: FloatArray, right_m: FloatArray, session: IntArray) -> Leaves:
    rolled = np.maximum(np.hypot(length + long_m, right_m), 1e-3)
    return Leaves(
        distance_m=length,
        rolled_m=rolled[:, None],
        angle_rad=np.arctan2(right_m, length + long_m)[:, None],
        weight=np.ones((length.size, 1)),
        anywhere=1.0 / (2.0 * length + 2.0),
        session=session,
    )


def _circles(length: FloatArray, left: FloatArray, session: IntArray) -> Leaves:
    rolled, angle, weight = places_round_the_hole(length, left)
    return Leaves(
        distance_m=length,
        rolled_m=rolled,
        angle_rad=angle,
        weight=weight,
        anywhere=2.0 * np.pi / (length + 2.0),
        session=session,
    )
