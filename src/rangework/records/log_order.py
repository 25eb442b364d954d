"""Do the strokes of a course log follow one another? What does not is odd, and kept."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.records.cells import MISSING
from rangework.records.columns import NO_LIE, lie_name
from rangework.records.sheet import Mask, Sheet
from rangework.units import FOOT_M, YARD_M

#: How far the distance left by a stroke may lie from the distance of the next: people round
#: (common practice, no source).
_ROUNDED_M, _ROUNDED_SHARE = 1.0 * YARD_M, 0.03
_ROUNDED_ON_GREEN_M, _ROUNDED_SHARE_ON_GREEN = 1.0 * FOOT_M, 0.10


def check_log_order(sheet: Sheet, rows: Mask) -> None:
    """Error for a stroke told twice; warnings where number, lie or distance do not fit the stroke before."""
    chosen = np.flatnonzero(rows & ~sheet.broken)
    if not len(chosen):
        return
    hole, order = _holes(sheet, chosen)
    stroke = sheet.array("stroke", MISSING, np.int64)[order]
    same_hole = hole[1:] == hole[:-1]
    twice = same_hole & (stroke[1:] == stroke[:-1])
    sheet.error(
        _at(sheet, order[1:][twice]),
        "stroke",
        "each stroke of a hole once",
        "Another row has the same date, round, hole and stroke. Two rounds in a day need two names.",
    )
    if not twice.any():
        _warn_of_gaps(sheet, order, stroke, same_hole)
        _warn_of_ends(sheet, order, stroke, same_hole)


def _holes(sheet: Sheet, chosen: NDArray[np.intp]) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """A number for the hole played of each stroke, and the order in which strokes were played."""
    day = sheet.values["date"].array[chosen].astype("datetime64[D]").astype(np.int64)
    name = pd.factorize(sheet.values["round"].array[chosen])[0]
    hole = sheet.values["hole"].array[chosen]
    order = np.lexsort((sheet.values["stroke"].array[chosen], hole, name, day))
    keys = np.column_stack([day, name, hole])[order]
    changed = np.any(keys[1:] != keys[:-1], axis=1)
    return np.concatenate([[0], np.cumsum(changed)]), chosen[order]


def whole_holes(log: pd.DataFrame) -> Mask:
    """Which strokes of a log are of holes told from the first stroke to the last."""
    if not len(log):
        return np.zeros(0, bool)
    played = log.assign(day=log["date"].dt.floor("D")).sort_values("stroke", kind="stable")
    holes = played.groupby(["day", "round", "hole"], sort=False)
    ended = played["next_lie"].eq(int(Lie.HOLED)) | played["picked_up"] | played["conceded"]
    due = (played["stroke"] + 1 + played["penalty"]).groupby(holes.ngroup()).shift(fill_value=1)
    sound = played["stroke"].eq(due).groupby(holes.ngroup()).transform("all")
    closed = ended.groupby(holes.ngroup()).transform("last")
    return np.asarray((sound & closed).reindex(log.index), bool)


def _warn_of_gaps(sheet: Sheet, order: NDArray[np.intp], stroke: NDArray[np.int64], same_hole: Mask) -> None:
    before, after = order[:-1], order[1:]
    penalty = np.maximum(sheet.array("penalty", 0, np.int64)[before], 0)
    skipped = same_hole & (stroke[1:] != stroke[:-1] + 1 + penalty)
    remedy = "Kept. Penalty strokes count as strokes and belong to the row of the stroke that cost them."
    sheet.warn(
        _at(sheet, after[skipped]), "stroke", "the number after the stroke before, penalties counted", remedy
    )
    follows = same_hole & ~skipped
    next_lie, lie = (
        sheet.array("next_lie", NO_LIE, np.int8)[before],
        sheet.array("lie", NO_LIE, np.int8)[after],
    )
    for code in np.unique(next_lie[follows & (next_lie != lie)]):
        rows = _at(sheet, after[follows & (next_lie != lie) & (next_lie == code)])
        sheet.warn(
            rows, "lie", f"{lie_name(int(code)) or 'no stroke'}, as next_lie of the stroke before", "Kept."
        )
    left, to_hole = sheet.length("left_to_hole")[before], sheet.length("to_hole")[after]
    green = lie == Lie.GREEN
    allowed = np.where(
        green,
        _ROUNDED_ON_GREEN_M + _ROUNDED_SHARE_ON_GREEN * to_hole,
        _ROUNDED_M + _ROUNDED_SHARE * to_hole,
    )
    rows = _at(sheet, after[follows & (np.abs(left - to_hole) > allowed)])
    sheet.warn(rows, "to_hole", "about the left_to_hole of the stroke before", "Kept as written.")


def _warn_of_ends(sheet: Sheet, order: NDArray[np.intp], stroke: NDArray[np.int64], same_hole: Mask) -> None:
    first = np.concatenate([[True], ~same_hole])
    last = np.concatenate([~same_hole, [True]])
    lie, next_lie = (
        sheet.array("lie", NO_LIE, np.int8)[order],
        sheet.array("next_lie", NO_LIE, np.int8)[order],
    )
    late = first & (stroke != 1)
    sheet.warn(
        _at(sheet, order[late]), "stroke", "1, at the first stroke of a hole", "Kept. Is a row missing?"
    )
    off_tee = first & (stroke == 1) & (lie != Lie.TEE)
    sheet.warn(_at(sheet, order[off_tee]), "lie", "tee, at the first stroke of a hole", "Kept as written.")
    ended = (next_lie == Lie.HOLED) | sheet.flag("conceded")[order] | sheet.flag("picked_up")[order]
    remedy = "Kept. Is a row missing? A ball picked up is written picked_up 1."
    sheet.warn(_at(sheet, order[last & ~ended]), "next_lie", "holed, at the last stroke of a hole", remedy)


def _at(sheet: Sheet, rows: NDArray[np.intp]) -> Mask:
    mask = sheet.nowhere()
    mask[rows] = True
    return mask
