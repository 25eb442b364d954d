"""A filled card of a practice test: its balls as they were hit, all faults told at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.records.card_columns import IDENTIFIER, is_card, without_balls_to_come
from rangework.records.checking import check_rows, kinds_of_rows
from rangework.records.columns import NO_LIE
from rangework.records.header import canonical_columns
from rangework.records.sheet import Mask, Sheet, read_sheet
from rangework.records.table import Layout, read_bytes, read_header, read_table
from rangework.units import YARD_M

#: No ball of a test ends this many times its distance away, or this far beyond it (common practice, no source).
_MOST_TIMES, _MOST_BEYOND_M, _MOST_ASIDE_M = 2.0, 60.0 * YARD_M, 40.0 * YARD_M
#: What a paced result is off by, in long and in right each: so much, and this share of the distance from the pin.
PACED_M, PACED_SHARE = 0.5, 0.08
_TEXTS = (
    "course",
    "tee",
    "pin",
    "pin_side",
    "pin_depth",
    "short_side",
    "bunker",
    "reference",
    "reference_group",
)


@dataclass(frozen=True, slots=True, eq=False)
class Card:
    """The balls of a card that were hit, in the order of the file.

    ``balls`` has a row each: date, place, lie, target_m, long_m, right_m (nan where misread), misread, holed, carry,
    pin_distance_m, pin_right_m, run_m, error_m, error_share, hole and the texts of the pin. ``to_come`` balls nobody
    has hit yet. ``left_out`` names balls with faults, where those were to be left out.
    """

    source: str
    name: str
    balls: pd.DataFrame
    to_come: int
    warnings: tuple[Problem, ...]
    left_out: tuple[Problem, ...] = ()

    @property
    def day(self) -> date:
        """The day of the card's last ball."""
        return pd.Timestamp(self.balls["date"].max()).date()


def read_card(path: Path, *, leave_out_faulty: bool = False) -> Card:
    """The card in a CSV file (docs/reference/assessments.md).

    Raises InputError with every fault; with ``leave_out_faulty`` balls with faults are left out and named, as long as
    the header is sound and a ball is left.
    """
    table = read_table(read_bytes(path), str(path), Layout())
    if not is_card(table.header):
        expected = f"the column {IDENTIFIER}, which every card of a practice test has"
        raise InputError(
            Problem(str(path), "header", "", expected, "rangework assess design writes such a card.")
        )
    hit = without_balls_to_come(table)
    columns, errors, warnings = canonical_columns(hit, with_card=True)
    sheet = read_sheet(hit.source, hit.lines, columns)
    sheet.errors[:0] = [*errors, *table.problems]
    sheet.warnings[:0] = warnings
    good = _checked(sheet)
    rows_at_fault = [problem for problem in sheet.errors if problem.place.startswith("row ")]
    if not len(sheet) and not sheet.errors:
        sheet.errors.append(
            Problem(str(path), "", "", "at least one ball with where it went", "Fill long and right.")
        )
    whole = leave_out_faulty and len(rows_at_fault) == len(sheet.errors) and good.any()
    if sheet.errors and not whole:
        raise InputError(sheet.errors)
    balls = _frame(sheet, good)
    to_come = len(table.lines) - len(hit.lines)
    return Card(str(path), _name(sheet), balls, to_come, tuple(sheet.warnings), tuple(sheet.errors))


def _checked(sheet: Sheet) -> Mask:
    """The rows without a fault; faults go to the sheet."""
    if not len(sheet) or not sheet.values:
        return sheet.nowhere()
    kinds = kinds_of_rows(sheet)
    check_rows(sheet, kinds)
    sheet.error(kinds["putts"] & ~sheet.broken, "lie", "a lie off the green: putts are not scored by a card")
    sheet.error(kinds["log"] & ~sheet.broken, "to_hole", "nothing: a card has no strokes of a round")
    rows = kinds["aimed"] & ~sheet.broken
    for name in ("hole", "pin"):
        sheet.error(
            rows & ~sheet.given(name), name, "the hole and the pin whose green the ball was played to"
        )
    sheet.error(rows & ~sheet.given(IDENTIFIER), IDENTIFIER, "the name of the practice test")
    _check_distances(sheet, rows)
    _doubt_gaps(sheet)
    return rows & ~sheet.broken


def _check_distances(sheet: Sheet, rows: Mask) -> None:
    """Errors for balls that ended where no ball of this distance can."""
    target, long, right = (sheet.length(name) for name in ("target", "long", "right"))
    seen = rows & ~sheet.flag("misread")
    with np.errstate(invalid="ignore"):
        far = seen & (target + long > np.maximum(_MOST_TIMES * target, target + _MOST_BEYOND_M))
        behind = seen & (long < -1.1 * target)
        wide = seen & (np.abs(right) > np.maximum(target, _MOST_ASIDE_M))
    remedy = "Is it counted from the target, and in the unit of the column? A ball nobody saw has misread 1."
    sheet.error(far, "long", "at most as far again as the target, or 60 yd beyond it", remedy)
    sheet.error(behind, "long", "a ball that went forward", remedy)
    sheet.error(wide, "right", "no wider than the target is far, or 40 yd", remedy)


def _doubt_gaps(sheet: Sheet) -> None:
    """A warning for balls that were passed over in the middle of the card."""
    if "ball" not in sheet.written:
        return
    numbers = [int(text) for text in sheet.array("ball", "") if str(text).isdecimal()]
    missing = sorted(set(range(1, max(numbers, default=0))) - set(numbers))
    if missing:
        told = ", ".join(map(str, missing[:12])) + (" and more" if len(missing) > 12 else "")
        remedy = (
            "The rest is scored. Passing over poor balls makes a score too good: write misread 1 for those."
        )
        sheet.warnings.append(Problem(sheet.source, "column ball", "", f"ball {told} too", remedy))


def _name(sheet: Sheet) -> str:
    names = [str(name) for name in sheet.array(IDENTIFIER, "") if str(name)]
    return names[0] if names else ""


def _frame(sheet: Sheet, good: Mask) -> pd.DataFrame:
    target, run = sheet.length("target"), np.nan_to_num(sheet.length("run"))
    misread, holed = sheet.flag("misread"), sheet.flag("holed")
    place, measured = sheet.array("place", ""), sheet.array("measured", "")
    carry = (measured == "carry") | ((measured == "") & (place == "range"))
    lie = sheet.array("lie", NO_LIE, np.int8)
    distance, error = sheet.length("pin_distance"), sheet.length("measuring_error")
    paced = sheet.array("measured_by", "") == "paced"
    assumed = np.isnan(error) & paced
    columns: dict[str, NDArray[np.generic]] = {
        "date": sheet.array("date", np.datetime64("NaT"), "datetime64[s]"),
        "place": place,
        "lie": np.where(lie == Lie.FRINGE, Lie.FAIRWAY, lie),
        "target_m": target,
        **{f"{name}_m": np.where(misread | holed, np.nan, sheet.length(name)) for name in ("long", "right")},
        "misread": misread,
        "holed": holed,
        "carry": carry & ~holed,
        "run_m": np.where(carry, run, 0.0),
        "pin_distance_m": np.where(np.isnan(distance), target + np.where(carry, run, 0.0), distance),
        "pin_right_m": np.nan_to_num(sheet.length("pin_right")),
        "error_m": np.where(assumed, PACED_M, np.nan_to_num(error)),
        "error_share": np.where(assumed, PACED_SHARE, 0.0),
        "hole": sheet.array("hole", -1, np.int64),
        **{name: sheet.array(name, "") for name in _TEXTS},
        "row": sheet.lines,
    }
    return pd.DataFrame({name: column[good] for name, column in columns.items()})


def is_card_file(path: Path) -> bool:
    """Whether a file has the header of a card; one that cannot be read has not."""
    try:
        return is_card(read_header(read_bytes(path), str(path), Layout()))
    except InputError:
        return False
