"""ShotRecords: every ball that is known of a player, in metres, right and long positive."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
import pandas as pd

from rangework.errors import Problem
from rangework.records.columns import Kind

_ORIGIN = {"source": "str", "row": "int64"}

#: The columns of each frame, with their types. ``row`` is the line of the file, counted from 1.
FRAME_COLUMNS: Mapping[Kind, Mapping[str, str]] = MappingProxyType(
    {
        "aimed": {
            "date": "datetime64[s]",
            "session": "str",
            "place": "str",
            "lie": "int8",
            "club": "str",
            "target_m": "float64",
            "long_m": "float64",
            "right_m": "float64",
            "measured": "str",
            "misread": "bool",
            "surface": "str",
            "purpose": "str",
            "wind": "str",
            "pin": "str",
            "ball": "str",
            **_ORIGIN,
        },
        "putts": {
            "date": "datetime64[s]",
            "session": "str",
            "place": "str",
            "target_m": "float64",
            "holed": "bool",
            "long_m": "float64",
            "right_m": "float64",
            "purpose": "str",
            "ball": "str",
            **_ORIGIN,
        },
        "log": {
            "date": "datetime64[s]",
            "session": "str",
            "round": "str",
            "hole": "int64",
            "stroke": "int64",
            "lie": "int8",
            "to_hole_m": "float64",
            "next_lie": "int8",
            "left_to_hole_m": "float64",
            "penalty": "int64",
            "picked_up": "bool",
            "conceded": "bool",
            "club": "str",
            "aim": "str",
            **_ORIGIN,
        },
    }
)
KINDS: tuple[Kind, ...] = ("aimed", "putts", "log")

#: Lengths closer than this are the same when the same ball is looked for in two files (0.1 mm).
_SAME_LENGTH_DECIMALS = 4


@dataclass(frozen=True, slots=True, eq=False)
class ShotRecords:
    """All balls known of a player.

    ``aimed`` holds balls hit at a target (long and right are nan when the ball was misread), ``putts``
    practice putts (long and right are nan when holed or not measured), ``log`` the strokes of rounds, whose
    aim nobody measured (``aim`` has it in words where somebody wrote it down); strokes on the green are in the
    log too. A session is known by date and ``session`` together, a round by date and ``round``. Lengths are
    metres, lies are codes of `Lie` (``NO_LIE`` after a ball picked up), columns are those of
    ``FRAME_COLUMNS``. ``warnings`` names what looks odd and was kept.
    """

    aimed: pd.DataFrame
    putts: pd.DataFrame
    log: pd.DataFrame
    warnings: tuple[Problem, ...] = ()

    @staticmethod
    def empty() -> ShotRecords:
        """Records without a ball."""
        return from_frames({})

    @property
    def n_balls(self) -> int:
        """Balls and strokes of all three kinds."""
        return len(self.aimed) + len(self.putts) + len(self.log)

    def frame(self, kind: Kind) -> pd.DataFrame:
        """The frame of one kind."""
        return {"aimed": self.aimed, "putts": self.putts, "log": self.log}[kind]

    def merge(self, other: ShotRecords) -> ShotRecords:
        """These records and ``other``'s; a ball that both hold is kept once."""
        return merge_records([self, other])

    def summary(self) -> dict[str, Any]:
        """What the records hold: counts by kind, sessions, rounds, clubs, first and last date (or None)."""
        dates = pd.concat([self.frame(kind)["date"] for kind in KINDS])
        sessions = pd.concat([self.frame(kind)[["date", "session"]] for kind in KINDS])
        clubs = self.aimed.loc[self.aimed["club"] != "", "club"]
        return {
            "balls": self.n_balls,
            "aimed": len(self.aimed),
            "misread": int(self.aimed["misread"].sum()),
            "putts": len(self.putts),
            "putts_holed": int(self.putts["holed"].sum()),
            "strokes_logged": len(self.log),
            "rounds": len(self.log[["date", "round"]].drop_duplicates()),
            "sessions": len(sessions.drop_duplicates()),
            "clubs": sorted(clubs.unique().tolist()),
            "first_date": str(dates.min().date()) if len(dates) else None,
            "last_date": str(dates.max().date()) if len(dates) else None,
        }


def from_frames(frames: Mapping[Kind, pd.DataFrame], warnings: Sequence[Problem] = ()) -> ShotRecords:
    """Records of these frames; a kind without a frame has no balls."""
    aimed, putts, log = (frames[kind] if kind in frames else make_frame(kind, {}) for kind in KINDS)
    return ShotRecords(aimed, putts, log, tuple(warnings))


def make_frame(kind: Kind, values: Mapping[str, Any]) -> pd.DataFrame:
    """A frame of the columns of ``kind``; of columns that ``values`` lacks only texts have rows to fill, empty ones."""
    rows = max(map(np.size, values.values()), default=0)
    absent = {"str": np.full(rows, "")}
    return pd.DataFrame(
        {
            name: pd.Series(values.get(name, absent.get(dtype, np.empty(0))), dtype=dtype)
            for name, dtype in FRAME_COLUMNS[kind].items()
        }
    )


def merge_records(parts: Sequence[ShotRecords]) -> ShotRecords:
    """One set of records out of several, each part a file (or already merged files).

    Within a part nothing is dropped: equal rows are equal balls. Across parts the same ball is known by
    date, session and ``ball``, a stroke by date, round, hole and stroke; of rows without such a name as many
    are kept as the part with most of them holds. Where two parts tell a known ball differently the first
    part stands.
    """
    warnings = tuple(problem for part in parts for problem in part.warnings)
    if len(parts) == 1:
        return parts[0]
    if not parts:
        return ShotRecords.empty()
    frames = {kind: _merge_frames(kind, [part.frame(kind) for part in parts]) for kind in KINDS}
    return from_frames(frames, warnings)


def _merge_frames(kind: Kind, frames: Sequence[pd.DataFrame]) -> pd.DataFrame:
    frame = pd.concat(frames, ignore_index=True)
    identity = pd.DataFrame({"ball": _ball_numbers(kind, frame)})
    identity["part"] = np.repeat(np.arange(len(frames)), [len(part) for part in frames])
    identity["copy"] = identity.groupby(["ball", "part"]).cumcount()
    repeated = identity.duplicated(["ball", "copy"]).to_numpy()
    return frame[~repeated].reset_index(drop=True)


def _ball_numbers(kind: Kind, frame: pd.DataFrame) -> np.ndarray[Any, np.dtype[np.int64]]:
    """A number a row, equal for rows that may be the same ball."""
    day = frame["date"].dt.floor("D")
    if kind == "log":
        return _group_numbers(frame[["round", "hole", "stroke"]].assign(day=day))
    content = frame.drop(columns=list(_ORIGIN))
    content[_lengths(content)] = content[_lengths(content)].round(_SAME_LENGTH_DECIMALS)
    numbers = _group_numbers(content)
    named = (frame["ball"] != "").to_numpy()
    by_name = _group_numbers(frame[["session", "ball"]].assign(day=day))
    return np.where(named, -1 - by_name, numbers)


def _group_numbers(frame: pd.DataFrame) -> np.ndarray[Any, np.dtype[np.int64]]:
    return frame.groupby(list(frame.columns), sort=False, dropna=False).ngroup().to_numpy().astype(np.int64)


def _lengths(frame: pd.DataFrame) -> list[str]:
    return [name for name in frame.columns if name.endswith("_m")]
