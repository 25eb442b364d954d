"""Read shot records: canonical files, and foreign exports through mappings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.records.card_columns import without_balls_to_come
from rangework.records.cells import MISSING
from rangework.records.checking import check_rows, kinds_of_rows
from rangework.records.columns import NO_LIE, SHORTEST_STROKE_M, Kind
from rangework.records.foreign import mapped_columns, own_columns, place_balls, without_skipped
from rangework.records.header import canonical_columns, recognised
from rangework.records.log_order import check_log_order, whole_holes
from rangework.records.mapping import ExportMapping, read_mapping
from rangework.records.sheet import Mask, Sheet, read_sheet
from rangework.records.shots import KINDS, ShotRecords, from_frames, make_frame, merge_records
from rangework.records.table import Layout, Table, read_bytes, read_header, read_table


def read_records(paths: Sequence[Path], *, mappings: Sequence[Path] = ()) -> ShotRecords:
    """Every ball of the files, each ball once (`merge_records` says how a ball is known again).

    A mapping reads the files that hold all its headers; the other files must be canonical
    (docs/reference/records.md). InputError names every problem of every file and mapping at once; what is
    odd but possible is kept and named in ``warnings``.
    """
    known, errors = _read_mappings(mappings)
    parts: list[ShotRecords] = []
    for path in paths:
        records, problems = _read_file(Path(path), known)
        parts.append(records)
        errors += problems
    if errors:
        raise InputError(errors)
    return merge_records(parts)


def check_records(path: Path, mappings: Sequence[Path] = ()) -> tuple[list[Problem], list[Problem]]:
    """The errors and the warnings of one file of shot records."""
    known, errors = _read_mappings(mappings)
    records, problems = _read_file(Path(path), known)
    return errors + problems, list(records.warnings)


def read_sound_rows(path: Path, mappings: Sequence[Path] = ()) -> tuple[ShotRecords, list[Problem]]:
    """The rows of a file that have no fault, and the faults of the others.

    Strokes of a hole that a faulty row leaves without an end or a stroke between go too: they would tell of another
    hole. Raises InputError where a fault is not in a row, and where no row is sound.
    """
    known, errors = _read_mappings(mappings)
    records, problems = _read_file(path, known)
    errors += [problem for problem in problems if not problem.place.startswith("row ")]
    if errors or (problems and not records.n_balls):
        raise InputError(errors or problems)
    if problems:
        whole = whole_holes(records.log)
        problems += [
            Problem(
                str(path), f"row {row}", "", "every stroke of its hole sound", "Skipped with the faulty row."
            )
            for row in records.log["row"][~whole].tolist()
        ]
        sound = {
            "aimed": records.aimed,
            "putts": records.putts,
            "log": records.log[whole].reset_index(drop=True),
        }
        records = from_frames({kind: sound[kind] for kind in KINDS}, records.warnings)
    return records, problems


def _read_mappings(paths: Sequence[Path]) -> tuple[list[ExportMapping], list[Problem]]:
    mappings: list[ExportMapping] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            mappings.append(read_mapping(Path(path)))
        except InputError as error:
            problems += error.problems
    return mappings, problems


def _read_file(path: Path, mappings: Sequence[ExportMapping]) -> tuple[ShotRecords, list[Problem]]:
    """The balls of one file and its errors."""
    try:
        data = read_bytes(path)
        mapping = _fitting(data, str(path), mappings)
        layout = mapping.layout if mapping else Layout()
        table = read_table(data, str(path), layout)
    except InputError as error:
        return ShotRecords.empty(), list(error.problems)
    del data
    sheet = _sheet(table, mapping)
    if not len(sheet) and not sheet.errors:
        sheet.errors.append(Problem(str(path), "", "", "rows below the header, and there are none"))
    kinds = kinds_of_rows(sheet) if sheet.values else {}
    if kinds:
        check_rows(sheet, kinds)
        check_log_order(sheet, kinds["log"])
    good = {kind: rows & ~sheet.broken for kind, rows in kinds.items()}
    frames = {kind: make_frame(kind, _columns(sheet, kind, good, path.name)) for kind in KINDS}
    _warn_of_defaults(sheet, good)
    return from_frames(frames, sheet.warnings), sheet.errors


def _sheet(table: Table, mapping: ExportMapping | None) -> Sheet:
    if mapping is None:
        table = without_balls_to_come(table)
        columns, errors, warnings = canonical_columns(table)
        sheet = read_sheet(table.source, table.lines, columns)
    elif mapping.own_names:
        table = without_skipped(table, mapping)
        columns, errors, warnings = own_columns(table, mapping)
        sheet = read_sheet(table.source, table.lines, columns)
        place_balls(sheet, mapping)
    else:
        table = without_skipped(table, mapping)
        columns, errors = mapped_columns(table, mapping)
        warnings = []
        sheet = read_sheet(table.source, table.lines, columns, mapping.source)
        place_balls(sheet, mapping)
    # of a header that cannot be read the cells below it say nothing more
    misshapen = table.problems if columns or not errors else ()
    sheet.errors[:0] = [*errors, *misshapen]
    sheet.warnings[:0] = warnings
    return sheet


def _fitting(data: bytes, source: str, mappings: Sequence[ExportMapping]) -> ExportMapping | None:
    """The mapping that reads a file, or None for a canonical file."""
    missing = [_lacking(mapping, _header(data, source, mapping.layout)) for mapping in mappings]
    fitting = [mapping for mapping, lacks in zip(mappings, missing, strict=True) if not lacks]
    fitting.sort(key=lambda mapping: len(mapping.headers), reverse=True)
    if len(fitting) > 1 and len(fitting[0].headers) == len(fitting[1].headers):
        both = f"{fitting[0].source} and {fitting[1].source}"
        raise InputError(Problem(source, "header", "", f"one mapping that fits best, and {both} fit alike"))
    if fitting:
        return fitting[0]
    if mappings and not recognised(_header(data, source, Layout())):
        raise InputError(
            [
                Problem(
                    source,
                    "header",
                    "",
                    f"the headers of {mapping.source}",
                    f"Missing: {', '.join(sorted(lacks))}.",
                )
                for mapping, lacks in zip(mappings, missing, strict=True)
            ]
        )
    return None


def _lacking(mapping: ExportMapping, header: tuple[str, ...]) -> set[str]:
    """The headers that a file lacks for a mapping to read it."""
    lacking = mapping.headers - set(header)
    if mapping.own_names and not recognised(header):
        lacking |= {"date"}
    return lacking


def _header(data: bytes, source: str, layout: Layout) -> tuple[str, ...]:
    try:
        return read_header(data, source, layout)
    except InputError:
        return ()


def _columns(sheet: Sheet, kind: Kind, good: dict[Kind, Mask], file_name: str) -> dict[str, NDArray[Any]]:
    """The columns of a frame, defaults filled in."""
    if not good or not good[kind].any():
        return {}
    rows = np.flatnonzero(good[kind])
    take = {"aimed": _aimed, "putts": _putts, "log": _strokes}[kind]
    columns = take(sheet)
    columns["date"] = sheet.array("date", np.datetime64("NaT"), "datetime64[s]")
    chosen = {name: array[rows] for name, array in columns.items()}
    place = chosen["place"]
    unnamed = np.flatnonzero(chosen["session"] == "")
    days = chosen["date"][unnamed].astype("datetime64[D]").astype(str)
    chosen["session"][unnamed] = [f"{day} {where}" for day, where in zip(days, place[unnamed], strict=True)]
    chosen["source"] = np.full(len(rows), file_name, object)
    chosen["row"] = sheet.lines[rows]
    return chosen


def _texts(sheet: Sheet, *names: str) -> dict[str, NDArray[Any]]:
    return {name: sheet.array(name, "") for name in names}


def _lengths(sheet: Sheet, *names: str) -> dict[str, NDArray[Any]]:
    return {f"{name}_m": sheet.length(name) for name in names}


def _place(sheet: Sheet, default: str) -> NDArray[Any]:
    place = sheet.array("place", "")
    return np.where(place == "", default, place)


def _aimed(sheet: Sheet) -> dict[str, NDArray[Any]]:
    columns = _texts(sheet, "session", "club", "surface", "purpose", "wind", "pin", "ball")
    columns |= _lengths(sheet, "target", "long", "right")
    misread, holed = sheet.flag("misread"), sheet.flag("holed")
    for name in ("long_m", "right_m"):
        columns[name] = np.where(misread, np.nan, np.where(holed, 0.0, columns[name]))
    place, measured = _place(sheet, ""), sheet.array("measured", "")
    default = np.where(holed | (place != "range"), "finish", "carry")
    columns["measured"] = np.where(measured == "", default, measured)
    lie = sheet.array("lie", NO_LIE, np.int8)
    lie = np.where(lie == Lie.FRINGE, Lie.FAIRWAY, lie).astype(np.int8)
    return columns | {"place": place, "lie": lie, "misread": misread}


def _putts(sheet: Sheet) -> dict[str, NDArray[Any]]:
    columns = _texts(sheet, "session", "purpose", "ball") | _lengths(sheet, "target", "long", "right")
    holed = sheet.flag("holed")
    for name in ("long_m", "right_m"):
        columns[name] = np.where(holed, np.nan, columns[name])
    return columns | {"place": _place(sheet, "putting_green"), "holed": holed}


def _strokes(sheet: Sheet) -> dict[str, NDArray[Any]]:
    columns = _texts(sheet, "session", "round", "club", "aim") | _lengths(sheet, "to_hole", "left_to_hole")
    conceded, next_lie = sheet.flag("conceded"), sheet.array("next_lie", NO_LIE, np.int8)
    next_lie = np.where(conceded, Lie.HOLED, next_lie).astype(np.int8)
    left = np.where(next_lie == Lie.HOLED, 0.0, columns["left_to_hole_m"])
    counts = {name: sheet.array(name, MISSING, np.int64) for name in ("hole", "stroke")}
    return (
        columns
        | counts
        | {
            "place": _place(sheet, "course"),
            "lie": sheet.array("lie", NO_LIE, np.int8),
            "next_lie": next_lie,
            "to_hole_m": np.maximum(columns["to_hole_m"], SHORTEST_STROKE_M),
            "left_to_hole_m": left,
            "penalty": np.maximum(sheet.array("penalty", 0, np.int64), 0),
            "picked_up": sheet.flag("picked_up"),
            "conceded": conceded,
        }
    )


def _warn_of_defaults(sheet: Sheet, good: dict[Kind, Mask]) -> None:
    if not good:
        return
    unsaid = good["aimed"] & ~sheet.given("measured") & ~sheet.flag("misread")
    on_range = unsaid & (sheet.array("place", "") == "range")
    if count := int(on_range.sum()):
        expected = "carry or finish in measured"
        remedy = f"{count} range balls are taken as measured where they landed (carry)."
        sheet.warnings.append(Problem(sheet.source, f"row {sheet.lines[on_range][0]}", "", expected, remedy))
