"""Putts as the fit reads them: counts by distance, and misses by where they finished."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import PUTTED_LIES, Lie
from rangework.skill.likelihood_kernels import Leaves, Putts
from rangework.skill.make_table import make_table
from rangework.skill.putting import READING_RATIO_PER_M, capture_past_m
from rangework.skill.putting_kernels import capture_angle_kernel
from rangework.skill.sessions import NO_SESSION
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

#: Share of leaves that are no putt at all (a wrong row): keeps one slip from outweighing a season.
_STRAY_LEAVES = 3e-3
#: A wide line error, that the points round the hole must cover.
_WIDE_LINE_RAD = 4.5 * DEGREE_RAD
_POINTS = 12


def practice_putts(putts: pd.DataFrame, session: IntArray, *, aim_past_m: float) -> tuple[Putts, Leaves]:
    """Counts of holed and unmeasured putts, and the measured misses, of a frame of practice putts.

    ``aim_past_m``: how far past the hole putts are meant to finish.
    """
    holed = putts["holed"].to_numpy(bool)
    long_m, right_m = putts["long_m"].to_numpy(float), putts["right_m"].to_numpy(float)
    measured = ~holed & np.isfinite(long_m) & np.isfinite(right_m)
    length = putts["target_m"].to_numpy(float)
    counts = _counts(length[~measured], holed[~measured], session[~measured], aim_past_m)
    return counts, _points(length[measured], long_m[measured], right_m[measured], session[measured])


def logged_putts(log: pd.DataFrame) -> tuple[FloatArray, BoolArray, FloatArray]:
    """Length, holed, and distance left (nan when holed) of a log's putts, also from the fringe; none conceded."""
    used = log["lie"].isin(PUTTED_LIES) & ~log["conceded"] & ~log["picked_up"] & (log["to_hole_m"] > 0.0)
    putts = log[used]
    holed = (putts["next_lie"] == Lie.HOLED).to_numpy(bool)
    left = np.where(holed, np.nan, putts["left_to_hole_m"].to_numpy(float))
    return putts["to_hole_m"].to_numpy(float), holed, left


def course_putts(log: pd.DataFrame, *, aim_past_m: float) -> tuple[Putts, Leaves]:
    """Counts of holed and unmeasured putts of a course log, and its misses by the distance left."""
    length, holed, left = logged_putts(log)
    known = ~holed & (left > 0.0)
    session = np.full(length.size, NO_SESSION, dtype=np.int64)
    return (
        _counts(length[~known], holed[~known], session[~known], aim_past_m),
        _circles(length[known], left[known], session[known]),
    )


def _counts(length_m: FloatArray, holed: BoolArray, session: IntArray, aim_past_m: float) -> Putts:
    """Every putt shared between the distance nodes around it (equal putts count each)."""
    table = make_table(aim_past_m)
    below, share = table.shares(np.maximum(length_m, table.distance_m[0]))
    n_nodes = table.distance_m.size
    key = np.concatenate([session * n_nodes + below, session * n_nodes + below + 1])
    weight = np.concatenate([1.0 - share, share])
    cells, place = np.unique(key, return_inverse=True)
    twice = np.concatenate([holed, holed])
    return Putts(
        node=cells % n_nodes,
        session=cells // n_nodes,
        holed=_sums(place, weight * twice, cells.size),
        missed=_sums(place, weight * ~twice, cells.size),
        log_make=table.log_make,
        log_miss=table.log_miss,
        line_first=float(table.ln_line[0]),
        line_step=float(table.ln_line[1] - table.ln_line[0]),
        pace_first=float(table.ln_pace[0]),
        pace_step=float(table.ln_pace[1] - table.ln_pace[0]),
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
    )


def _points(length: FloatArray, long_m: FloatArray, right_m: FloatArray, session: IntArray) -> Leaves:
    rolled = np.maximum(np.hypot(length + long_m, right_m), 1e-3)
    return Leaves(
        distance_m=length,
        rolled_m=rolled[:, None],
        angle_rad=np.arctan2(right_m, length + long_m)[:, None],
        weight=np.ones((length.size, 1)),
        floor=_STRAY_LEAVES / (2.0 * length + 2.0),
        session=session,
    )


def _circles(length: FloatArray, left: FloatArray, session: IntArray) -> Leaves:
    """Points round the hole at the distance left: beyond it and before it, dense where putts finish.

    The density of a distance is that of the place times the arc, which is ``left d theta``; places that the
    hole would have taken are left out (they depend on no skill).
    """
    nodes, weights = np.polynomial.legendre.leggauss(_POINTS)
    half_width = length * _WIDE_LINE_RAD * np.hypot(1.0, READING_RATIO_PER_M * length)
    widest = np.minimum(0.5 * np.pi, 4.0 * half_width / np.maximum(left, 1e-3))[:, None]
    theta = 0.5 * widest * (nodes + 1.0)
    theta = np.concatenate([theta, np.pi - theta], axis=1)
    arc = np.tile(0.5 * widest * weights, 2)
    along = length[:, None] + left[:, None] * np.cos(theta)
    aside = left[:, None] * np.sin(theta)
    rolled = np.maximum(np.hypot(along, aside), 1e-3)
    angle = np.arctan2(aside, along)
    return Leaves(
        distance_m=length,
        rolled_m=rolled,
        angle_rad=angle,
        weight=2.0 * arc * left[:, None] / rolled * ~_taken(length, rolled, angle),
        floor=_STRAY_LEAVES * 2.0 * np.pi / (length + 2.0),
        session=session,
    )


def _taken(length: FloatArray, rolled: FloatArray, angle: FloatArray) -> BoolArray:
    """Which points the hole would have taken on the way."""
    capture = capture_past_m()
    taken = np.zeros(rolled.shape, dtype=bool)
    for i, k in np.argwhere((rolled >= length[:, None]) & (rolled <= length[:, None] + capture)):
        widest = capture_angle_kernel(length[i], rolled[i, k] - length[i], capture)
        taken[i, k] = angle[i, k] < widest
    return taken
