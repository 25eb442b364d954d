"""Full and short shots as the fit reads them: aimed balls by cell, and strokes of course logs.

What a log tells is decided here. Nobody knows what a logged stroke was aimed at, so only strokes that can
plausibly have been played to the hole count as approaches, by the distance they left; tee shots of long holes
count by how far they advanced. Lay-ups, recoveries and strokes that cost stroke and distance are left out.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill.carried_balls import ball_runs_m
from rangework.skill.kernel_arrays import NOT_TEE, TEE_DRIVER, TEE_SHORTER, Aimed, Logged
from rangework.skill.latents import DRIVER_RUN_M
from rangework.skill.model import LONGEST_SHARE, Golfer
from rangework.skill.partial_shots import partial_spread
from rangework.skill.shot_cells import CellKeys, make_cells

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: A teed ball is a driver above this share of the longest tee target, another long club down to the second
#: share, and an iron to a green below it.
_DRIVER_SHARE, _SHORTER_SHARE = 0.92, 0.75
#: The longest tee target is a driver's above this share of the length expected, or of all other targets.
_LEAST_DRIVER_SHARE, _BEYOND_OTHERS = 0.6, 1.1
#: Tee shots of holes beyond the second share of driver length are drives; within the first, shots at the
#: green.
_PAR_3_SHARE, _LONG_HOLE_SHARE = 0.87, 1.12
#: A ball that is as far from the hole as before has been replayed from the same spot.
_REPLAYED_SHARE = 0.95
_LEAST_LEFT_M = 0.15
#: Share of the longest approaches that are no attempt at the hole.
_LAY_UP_NEAR_LONGEST = 0.05


def usable_aimed(aimed: pd.DataFrame) -> pd.DataFrame:
    """Aimed balls that speak of skill: warm-up balls, recoveries and balls off a green are left out."""
    lie_known = aimed["lie"].between(int(Lie.TEE), int(Lie.SAND))
    placed = np.isfinite(aimed["long_m"]) & np.isfinite(aimed["right_m"])
    used = (
        lie_known & (aimed["purpose"] != "warm_up") & (aimed["target_m"] > 0.0) & (placed | aimed["misread"])
    )
    rows: pd.DataFrame = aimed.loc[used]
    return rows


def tee_codes(aimed: pd.DataFrame, expected_driver_m: float) -> IntArray:
    """For every aimed ball: no tee shot, a driver, or a shorter club from the tee."""
    target = aimed["target_m"].to_numpy(float)
    teed = (aimed["lie"] == Lie.TEE).to_numpy(bool)
    codes = np.full(target.size, NOT_TEE, dtype=np.int64)
    if not teed.any():
        return codes
    longest = float(np.quantile(target[teed], 0.97, method="lower"))
    others = float(np.quantile(target[~teed], 0.97, method="lower")) if not teed.all() else 0.0
    far_enough = others > 0.0 and longest > _BEYOND_OTHERS * others
    if longest < _LEAST_DRIVER_SHARE * expected_driver_m and not far_enough:
        return codes
    codes[teed & (target >= _SHORTER_SHARE * longest)] = TEE_SHORTER
    codes[teed & (target >= _DRIVER_SHARE * longest)] = TEE_DRIVER
    return codes


def make_aimed(
    aimed: pd.DataFrame, tee: IntArray, session: IntArray, *, mirror: bool, golfer: Golfer
) -> Aimed:
    """Aimed balls by cell. ``mirror`` turns a left-hander's balls into a right-hander's; ``golfer``: whose clubs.

    What was measured where it landed is put in totals, as the golfer's shots run; how far a drive runs is fitted.
    """
    drive = tee == TEE_DRIVER
    carried = (aimed["measured"] == "carry").to_numpy(bool)
    rolls_m = np.where(drive, 0.0, ball_runs_m(golfer, aimed))
    target = np.round(aimed["target_m"].to_numpy(float) + rolls_m, 2)
    run_m = np.where(carried & drive, DRIVER_RUN_M, 0.0)
    on_range = (aimed["place"] == "range").to_numpy(np.int64)
    partial = np.where(drive, 1.0, partial_spread(target, golfer.full_shots_m))
    rows = np.column_stack([session, aimed["lie"].to_numpy(np.int64), tee, on_range, run_m, target, partial])
    unique, cell = np.unique(rows, axis=0, return_inverse=True)
    cell = cell.reshape(-1)
    codes = unique[:, :4].astype(np.int64)
    keys = CellKeys(
        unique[:, 5], codes[:, 1], codes[:, 2], unique[:, 4], codes[:, 3], codes[:, 0], unique[:, 6]
    )
    misread = aimed["misread"].to_numpy(bool)
    seen = np.flatnonzero(~misread)
    order = seen[np.argsort(cell[seen], kind="stable")]
    along = aimed["target_m"].to_numpy(float)[order] + aimed["long_m"].to_numpy(float)[order]
    aside = aimed["right_m"].to_numpy(float)[order] * (-1.0 if mirror else 1.0)
    return Aimed(
        cells=make_cells(keys),
        misreads=np.bincount(cell[misread], minlength=len(unique)).astype(np.float64),
        first=np.concatenate([[0], np.cumsum(np.bincount(cell[seen], minlength=len(unique)))]),
        distance_m=np.copysign(np.hypot(along, aside), along) + rolls_m[order],
        angle_rad=np.arctan2(np.copysign(aside, aside * along), np.abs(along)),
    )


def usable_log(log: pd.DataFrame) -> pd.DataFrame:
    """Strokes of a log, off the green, whose end is known and that were not replayed from the same spot."""
    replayed = (log["penalty"] > 0) & (log["left_to_hole_m"] > _REPLAYED_SHARE * log["to_hole_m"])
    used = log["lie"].between(int(Lie.TEE), int(Lie.SAND)) & ~log["picked_up"] & ~replayed
    used &= (log["to_hole_m"] > 0.0) & np.isfinite(log["left_to_hole_m"]) & (log["next_lie"] >= 0)
    rows: pd.DataFrame = log.loc[used]
    return rows


def driver_guess_m(aimed: pd.DataFrame, tee: IntArray, log: pd.DataFrame, expected_m: float) -> float:
    """Driver length from the records alone (typical solid drives), or the expected one when they hold few."""
    rows = aimed[tee == TEE_DRIVER]
    long_m = rows["target_m"] + rows["long_m"] + np.where(rows["measured"] == "carry", DRIVER_RUN_M, 0.0)
    drives = log[(log["lie"] == Lie.TEE) & (log["to_hole_m"] > _LONG_HOLE_SHARE * expected_m)]
    advance = drives["to_hole_m"] - drives["left_to_hole_m"]
    lengths = np.concatenate([long_m.dropna().to_numpy(float), advance.to_numpy(float)])
    return float(np.quantile(lengths, 0.6)) if lengths.size >= 8 else expected_m


def make_logged(log: pd.DataFrame, session: IntArray, driver_m: float) -> Logged:
    """Approaches and drives of a log, given a guess of the driver length that decides what a stroke was."""
    lie, to_hole = log["lie"].to_numpy(np.int64), log["to_hole_m"].to_numpy(float)
    left = np.maximum(log["left_to_hole_m"].to_numpy(float), _LEAST_LEFT_M)
    teed = lie == Lie.TEE
    reach = driver_m * np.array([LONGEST_SHARE[Lie(int(code))] for code in lie])
    reach[teed] = _PAR_3_SHARE * driver_m
    approach = to_hole <= reach
    drive = teed & (to_hole >= _LONG_HOLE_SHARE * driver_m)
    target = to_hole[approach]
    zeros = np.zeros(target.size, dtype=np.int64)
    played_from = np.where(teed, Lie.FAIRWAY, lie)[approach]
    keys = CellKeys(target, played_from, zeros + NOT_TEE, 0.0 * target, zeros, session[approach])
    near_longest = np.clip((target / reach[approach] - 0.85) / 0.15, 0.0, 1.0)
    advance = to_hole[drive] - left[drive]
    return Logged(
        cells=make_cells(keys),
        left_m=left[approach],
        lay_up=_LAY_UP_NEAR_LONGEST * near_longest * _short_of(target, left[approach]),
        anywhere=_anywhere(target, left[approach]),
        drive_advance_m=advance,
        drive_to_hole_m=to_hole[drive],
        drive_length_m=driver_m,
        drive_anywhere=_anywhere(to_hole[drive], left[drive]),
        drive_session=session[drive],
    )


def _short_of(to_hole: FloatArray, left: FloatArray) -> FloatArray:
    """Density of the distance that a lay-up leaves: grows up to the distance there was."""
    return np.asarray(np.where(left <= to_hole, 2.0 * left / to_hole**2, 0.0))


def _anywhere(to_hole: FloatArray, left: FloatArray) -> FloatArray:
    """Density of the distance left that a wrong row tells: even up to the distance there was, then less and less."""
    return np.asarray(0.75 / to_hole * np.minimum(1.0, (to_hole / left) ** 4))
