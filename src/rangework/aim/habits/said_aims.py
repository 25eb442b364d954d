"""Where a player aims approaches, from what was written down beside the strokes of rounds (the column ``aim``)."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pandas as pd

from rangework.aim.habits.habit_file import parse_aim
from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import SPARE_M, FloatArray, Kind, Shots
from rangework.aim.targets import Target
from rangework.errors import InputError
from rangework.lie import Lie
from rangework.play.kernels import WALK_BELOW_M
from rangework.units import YARD_M

#: Fewer aims than this show no habit; it is one where this share of them are alike.
LEAST_AIMS, ALIKE = 5, 2.0 / 3.0
#: Distances at which a habit may change where not all aims are alike.
_EDGES_M = (0.0, *(yards * YARD_M for yards in (100.0, 130.0, 170.0, 200.0)), math.inf)

NOT_SAID = (
    "the log does not say where they were aimed "
    "(a column `aim` of the rounds would: pin, middle, 5 left of the pin)"
)

_Aim = tuple[Target | None, float]


@dataclass(frozen=True, slots=True)
class SaidAims:
    """Habits of approaches, how many aims they rest on, and why there are none, or none for some distances."""

    rules: tuple[Rule, ...]
    shots: int
    why_not: str = ""


def said_aims(log: pd.DataFrame, pars: Mapping[int, int], longest_m: FloatArray) -> SaidAims:
    """The habits that the aims of a course log show: of all approaches, or distance by distance.

    ``pars`` by hole, so that tee shots of par 3s are known; ``longest_m`` by lie, what is in reach.
    """
    if "aim" not in log or not (log["aim"] != "").any():
        return SaidAims((), 0, NOT_SAID)
    strokes = log[(log["aim"] != "") & _approaches(log, pars, longest_m)]
    aims = {text: _read(text) for text in strokes["aim"].unique().tolist()}
    unread = [text for text, aim in aims.items() if aim is None]
    known = strokes[~strokes["aim"].isin(unread)]
    told = [aims[text] for text in known["aim"].tolist()]
    to_hole = known["to_hole_m"].to_numpy(float)
    why = f"not understood as the aim of an approach: {', '.join(unread[:3])}" if unread else ""
    if len(known) < LEAST_AIMS:
        return SaidAims((), len(known), why or f"fewer than {LEAST_AIMS} approaches with an aim in the log")
    alike = _most(told)
    if alike:
        return SaidAims((Rule(Shots(Kind.APPROACH), *alike),), len(known), why)
    rules = tuple(_by_distance(told, to_hole))
    return SaidAims(
        rules, len(known), why or "at some distances the aims differ from shot to shot, or are few"
    )


def _approaches(log: pd.DataFrame, pars: Mapping[int, int], longest_m: FloatArray) -> pd.Series[bool]:
    """Which strokes are approaches as habits know them: full shots with the hole in reach, no drives."""
    lies = log["lie"].to_numpy(np.int64)
    reach = longest_m[np.clip(lies, 0, len(longest_m) - 1)] + SPARE_M
    drive = log["lie"].eq(int(Lie.TEE)) & log["hole"].map(lambda hole: pars.get(hole) != 3)
    ground = log["lie"].isin([Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND])
    return ground & ~drive & log["to_hole_m"].between(WALK_BELOW_M, np.maximum(reach, WALK_BELOW_M))


def _read(text: str) -> _Aim | None:
    try:
        return parse_aim(text, Kind.APPROACH, "yards")
    except InputError:
        return None


def _most(aims: Sequence[_Aim | None]) -> _Aim | None:
    """The aim of nearly all, if there is one."""
    (aim, count), *_ = Counter(aims).most_common(1) or [(None, 0)]
    return aim if len(aims) >= LEAST_AIMS and count >= ALIKE * len(aims) else None


def _by_distance(aims: Sequence[_Aim | None], to_hole_m: FloatArray) -> Iterator[Rule]:
    """A habit for each band of distances where one aim prevails, neighbours of one aim taken together."""
    prevailing = [
        (
            low,
            high,
            _most([aim for aim, far in zip(aims, to_hole_m.tolist(), strict=True) if low <= far < high]),
        )
        for low, high in pairwise(_EDGES_M)
    ]
    start: float | None = None
    for place, (low, high, aim) in enumerate(prevailing):
        start = low if start is None else start
        following = prevailing[place + 1][2] if place + 1 < len(prevailing) else None
        if aim != following or following is None:
            if aim is not None:
                yield Rule(Shots(Kind.APPROACH, from_m=start, to_m=high), *aim)
            start = None
