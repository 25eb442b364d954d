"""What each row of a file is, what it lacks, and which values no golf shot can have."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rangework.errors import Problem
from rangework.lie import Lie
from rangework.records.cells import Written
from rangework.records.columns import (
    COLUMNS,
    LIMITS,
    LOG_ONLY,
    NO_LIE,
    REQUIRED,
    SHORTEST_STROKE_M,
    SHOT_ONLY,
    Kind,
    Limits,
)
from rangework.records.sheet import Mask, Sheet
from rangework.units import FOOT_M, METRES_PER, YARD_M

_KIND_WORDS: dict[Kind, str] = {
    "aimed": "an aimed ball",
    "putts": "a putt",
    "log": "a stroke of a course log",
}
#: A ball further than this from the hole was not holed, however roughly it was measured
#: (common practice, no source).
_NOT_HOLED_AT_ALL_M = 1 * FOOT_M
#: Targets from here on are for full shots, which do not usually end at half as far again
#: (common practice, no source).
_FULL_SHOT_M = 50 * YARD_M
#: Distance on a green beyond which a lie of green is doubted (common practice, no source).
_LONGEST_GREEN_M = 70 * YARD_M


def kinds_of_rows(sheet: Sheet) -> dict[Kind, Mask]:
    """Which rows are aimed balls, putts and log strokes; a row that is none or two becomes an error."""
    logged = np.logical_or.reduce([sheet.given(name) for name in LOG_ONLY])
    shot = np.logical_or.reduce([sheet.given(name) for name in SHOT_ONLY])
    neither = ~logged & ~shot
    if neither.any():
        log_file = any(name in sheet.written for name in LOG_ONLY)
        shot_file = any(name in sheet.written for name in SHOT_ONLY)
        logged = logged | (neither & log_file & (not shot_file))
        shot = shot | (neither & shot_file & (not log_file))
        remedy = "Fill target and where the ball went, or to_hole, next_lie and left_to_hole."
        if log_file or shot_file:
            sheet.error(neither & (log_file == shot_file), "target", "a shot in this row", remedy)
        else:
            _no_shots(sheet)
    both = logged & shot
    if both.any():
        remedy = (
            "Empty target, long and right, or to_hole, next_lie and left_to_hole: one ball would count twice."
        )
        sheet.error(both, "target", "either an aimed ball or a stroke of a course log", remedy)
    lie = sheet.array("lie", NO_LIE, np.int8)
    unsaid = ~sheet.given("lie") & ((sheet.array("place", "") == "putting_green") | sheet.given("holed"))
    putt = shot & ((lie == Lie.GREEN) | unsaid)
    clear = ~both & ~sheet.bad("lie")
    return {"aimed": shot & ~putt & clear, "putts": putt & clear, "log": logged & clear}


def _no_shots(sheet: Sheet) -> None:
    """One error for a file without a column of shots, unless its header has been blamed already."""
    sheet.broken[:] = True
    if not any(problem.place == "header" for problem in sheet.errors):
        expected = "columns of shots: target, long and right, or to_hole, next_lie and left_to_hole"
        sheet.errors.append(Problem(sheet.source, "header", "", expected, "Lengths end in _yd, _m or _ft."))


def check_rows(sheet: Sheet, kinds: dict[Kind, Mask]) -> None:
    """Errors for every missing value, value out of range and contradiction; warnings for oddities."""
    for kind, rows in kinds.items():
        if rows.any():
            for name in REQUIRED[kind]:
                _check_given(sheet, kind, name, rows & ~_excused(sheet, kind, name))
            for name, limits in LIMITS[kind].items():
                _check_limits(sheet, kind, name, limits, rows & ~_unmeasured(sheet, kind, name))
            _CONTRADICTIONS[kind](sheet, rows)


def _excused(sheet: Sheet, kind: Kind, name: str) -> Mask:
    """Rows in which a required column may be empty: another column says the same, or a default stands."""
    if name == "place":
        return sheet.nowhere() if kind == "aimed" else ~sheet.nowhere()
    if kind == "aimed" and name in ("long", "right"):
        return sheet.flag("misread") | sheet.flag("holed")
    if name == "next_lie":
        return sheet.flag("picked_up") | sheet.flag("conceded")
    if name == "left_to_hole":
        holed: Mask = sheet.array("next_lie", NO_LIE, np.int8) == Lie.HOLED
        return holed | sheet.flag("conceded") | (sheet.flag("picked_up") & ~sheet.given("next_lie"))
    return sheet.nowhere()


def _unmeasured(sheet: Sheet, kind: Kind, name: str) -> Mask:
    if kind == "aimed" and name != "target":
        return sheet.flag("misread")
    return sheet.nowhere()


def _check_given(sheet: Sheet, kind: Kind, name: str, rows: Mask) -> None:
    empty = rows & ~sheet.given(name)
    if not empty.any():
        return
    column = COLUMNS[name]
    if name in sheet.written:
        unit_free = "a number" if column.sort == "length" else column.expected
        sheet.error(empty, name, f"{unit_free} ({column.meaning}); {_KIND_WORDS[kind]} needs it")
        return
    expected = f"a column {column.written()} ({column.meaning})"
    if sheet.mapping:
        keys = "carry, total or long" if name == "long" else name
        expected = f"{keys} in [columns] or [fixed] of {sheet.mapping} ({column.meaning})"
    remedy = (
        f"Row {sheet.lines[empty][0]} and {empty.sum() - 1} more hold {_KIND_WORDS[kind]}, which needs it."
    )
    sheet.errors.append(Problem(sheet.source, "header", "", expected, remedy))
    sheet.broken |= empty


def _check_limits(sheet: Sheet, kind: Kind, name: str, limits: Limits, rows: Mask) -> None:
    length = sheet.length(name)
    low = length <= limits.low_m if limits.above else length < limits.low_m
    outside = rows & (low | (length > limits.high_m))
    if outside.any():
        remedy = "Is the unit of the column right?"
        if kind == "aimed" and name != "target":
            remedy += " A ball without figures has empty cells, and misread 1."
        sheet.error(outside, name, lambda written: _in_words(written, limits), remedy)


def _in_words(written: Written, limits: Limits) -> str:
    unit = written.unit or "m"
    low, high = (f"{bound / METRES_PER[unit]:.0f}" for bound in (limits.low_m, limits.high_m))
    kept = written.column.name in ("carry", "total")
    subject = "a distance whose difference from the target is" if kept else "a length"
    if limits.above:
        return f"{subject} more than {low} and at most {high} {unit}"
    return f"{subject} from {low} to {high} {unit}"


def _check_aimed(sheet: Sheet, rows: Mask) -> None:
    rows = rows & ~sheet.flag("misread")
    target, long, right = (sheet.length(name) for name in ("target", "long", "right"))
    kept = rows & ~sheet.broken
    sheet.warn(
        kept & (long < -target), "long", "a ball that went forward", "Kept: it finished behind the player."
    )
    _doubt_long(sheet, kept & (target > _FULL_SHOT_M), long > target / 2)
    wide = kept & (np.abs(right) > np.maximum(target, 20.0))
    sheet.warn(wide, "right", "a ball nearer the line than its target is far", "Kept. Is the unit right?")
    holed = rows & sheet.flag("holed") & (np.hypot(long, right) > _NOT_HOLED_AT_ALL_M)
    sheet.error(
        holed, "holed", "0, for a ball that finished beside the hole", "Empty long and right, or write 0."
    )


def _doubt_long(sheet: Sheet, full: Mask, far: Mask) -> None:
    """One warning for a file whose full shots mostly end far beyond their targets: carries, it seems."""
    if 2 * (full & far).sum() > full.sum():
        first = int(np.flatnonzero(full & far)[0])
        header = next((written.header for written in sheet.written.get("long", [])), "long")
        place = f"row {sheet.lines[first]}, column {header}"
        expected = "the distance beyond the target; as it stands most balls went half as far again as aimed"
        remedy = "Kept. The distance from the player is carry or total, read through a mapping."
        sheet.warnings.append(Problem(sheet.source, place, "", expected, remedy))


def _check_putts(sheet: Sheet, rows: Mask) -> None:
    one_only = rows & (sheet.given("long") ^ sheet.given("right")) & ~sheet.flag("holed")
    missing = np.where(sheet.given("long"), "right", "long")
    for name in ("long", "right"):
        sheet.error(one_only & (missing == name), name, "both long and right, or neither")
    target, long, right = (sheet.length(name) for name in ("target", "long", "right"))
    miss = np.hypot(long, right)
    holed = rows & sheet.flag("holed") & (miss > _NOT_HOLED_AT_ALL_M)
    sheet.error(
        holed, "holed", "0, for a putt that finished beside the hole", "Empty long and right, or write 0."
    )
    wild = rows & ~sheet.flag("holed") & (miss > target + 3.0)
    sheet.warn(
        wild, "long", "a putt that ends nearer than it began", "Kept. Is the unit of each column right?"
    )


def _check_strokes(sheet: Sheet, rows: Mask) -> None:
    next_lie, left = sheet.array("next_lie", NO_LIE, np.int8), sheet.length("left_to_hole")
    lie, to_hole = sheet.array("lie", NO_LIE, np.int8), sheet.length("to_hole")
    holed, conceded, picked_up = next_lie == Lie.HOLED, sheet.flag("conceded"), sheet.flag("picked_up")
    sheet.error(
        rows & holed & (left > _NOT_HOLED_AT_ALL_M), "left_to_hole", "0 or nothing beside next_lie holed"
    )
    sheet.error(rows & picked_up & (holed | conceded), "picked_up", "0, on a stroke that ended the hole")
    open_end = conceded & sheet.given("next_lie") & ~holed
    sheet.error(rows & open_end, "next_lie", "holed or nothing beside a conceded putt")
    elsewhere = sheet.given("place") & (sheet.array("place", "") != "course")
    sheet.error(rows & elsewhere & ~sheet.bad("place"), "place", "course, for a stroke of a course log")
    sheet.warn(
        rows & ~holed & (left == 0.0),
        "left_to_hole",
        "more than 0 unless next_lie is holed",
        "Kept as written.",
    )
    remedy = f"Kept, and taken as {SHORTEST_STROKE_M * 100:.0f} cm: it was rounded to nothing."
    sheet.warn(rows & (to_hole == 0.0), "to_hole", "more than 0", remedy)
    far = rows & (lie == Lie.GREEN) & (to_hole > _LONGEST_GREEN_M)
    sheet.warn(far, "to_hole", f"at most {_LONGEST_GREEN_M:.0f} m on a green", "Kept. Is the unit right?")


_CONTRADICTIONS: dict[Kind, Callable[[Sheet, Mask], None]] = {
    "aimed": _check_aimed,
    "putts": _check_putts,
    "log": _check_strokes,
}
