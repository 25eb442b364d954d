"""Write shot records as a canonical file, which reads back as the same balls."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from rangework.records.columns import COLUMNS, Kind, lie_name
from rangework.records.safe_text import safe_text
from rangework.records.shots import KINDS, ShotRecords

#: RFC 4180; a cell that holds either sign is then quoted.
_LINE_END = "\r\n"


def write_canonical(records: ShotRecords, path: Path) -> None:
    """Write every ball to one CSV file in metres; nothing stands at ``path`` before all is written.

    Reading it gives the same frames but for ``source`` and ``row``; texts are written so that no spreadsheet runs them.
    """
    frames = [_written(kind, records.frame(kind)) for kind in KINDS]
    names = [column.written("m") for column in COLUMNS.values()]
    table = pd.concat(frames, ignore_index=True).reindex(columns=names)
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        table.dropna(axis="columns", how="all").to_csv(
            unfinished, index=False, lineterminator=_LINE_END, encoding="utf-8"
        )
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


def _written(kind: Kind, frame: pd.DataFrame) -> pd.DataFrame:
    """A frame as texts; cells that say nothing are empty."""
    texts = pd.DataFrame(index=frame.index)
    for name in frame.columns.drop(["source", "row"]):
        column = frame[name]
        if name == "date":
            texts[name] = column.dt.strftime("%Y-%m-%dT%H:%M:%S").str.removesuffix("T00:00:00")
        elif name.endswith("lie"):
            texts[name] = column.map(lie_name)
        elif name.endswith("_m"):
            texts[name] = [repr(value) if value == value else "" for value in column.tolist()]
        elif column.dtype == bool:
            texts[name] = column.map({True: "1", False: "0"})
        else:
            texts[name] = column.astype(str).map(safe_text)
    if kind == "putts":
        texts["lie"] = "green"
    return texts.mask(texts == "")
