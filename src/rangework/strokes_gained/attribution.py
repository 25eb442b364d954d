"""What each recorded stroke gained on a golfer's expected strokes.

A stroke gains the expected strokes where it was played, minus those where the next one is played, minus 1,
minus its penalty strokes. Over a hole that sums to the expected strokes on the tee minus the score,
exactly, because every stroke ends where the next one is recorded to begin.

- A conceded putt counts as one stroke and as holed, so it gains the expected putts from there minus 1.
- A ball picked up leaves no score: the hole counts the strokes taken and the expected strokes from where
  the ball was. A row that stands for picking up instead of a stroke gains nothing.
- Where the log breaks off, or rows are missing, the strokes that were not logged are kept apart as
  ``unlogged``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.course.standard_hole import PAR_FOUR_FROM_M
from rangework.lie import PUTTED_LIES, Lie
from rangework.play.rounds import FAMILIES, GROUP_FAMILY, GROUPS
from rangework.records.columns import NO_LIE
from rangework.skill.model import BAND_EDGES_M, CHIP_LIMIT_M, SHORT_LIMIT_M
from rangework.strokes_gained.expected import ExpectedStrokes

FloatArray = NDArray[np.float64]

_HOLE = ["date", "round", "hole"]
_TEE, _CHIP, _PITCH, _BUNKER, _PUTTING = (
    GROUPS.index(group) for group in ("tee", "chip", "pitch", "bunker", "putting")
)
_FIRST_BAND = GROUPS.index("approach_50_100")


@dataclass(frozen=True, slots=True, eq=False)
class Attribution:
    """Strokes gained in a course log.

    ``strokes``: the log by date, round, hole and stroke, with ``expected`` (before the stroke), ``gained``,
    ``group`` and ``family``. ``holes``: a row a hole with ``expected``, ``score`` (fractional where the
    ball was picked up or the log breaks off), ``gained``, ``unlogged`` and ``finished``; on every hole
    ``gained + unlogged`` is ``expected - score``.
    """

    strokes: pd.DataFrame
    holes: pd.DataFrame

    @property
    def rounds(self) -> int:
        """Number of rounds in the log."""
        return len(self.holes[["date", "round"]].drop_duplicates())

    def by_group(self) -> dict[str, float]:
        """Strokes gained a round in each of ``rangework.play.rounds.GROUPS``."""
        return self._a_round("group", GROUPS)

    def by_family(self) -> dict[str, float]:
        """Strokes gained a round in each family."""
        return self._a_round("family", FAMILIES)

    def _a_round(self, column: str, names: tuple[str, ...]) -> dict[str, float]:
        totals = self.strokes.groupby(column, observed=True)["gained"].sum()
        return {name: float(totals.get(name, 0.0)) / max(self.rounds, 1) for name in names}


def attribute_strokes(log: pd.DataFrame, expected: ExpectedStrokes) -> Attribution:
    """Strokes gained by every stroke of a course log (``ShotRecords.log``) on a golfer's expected strokes."""
    strokes = log.sort_values([*_HOLE, "stroke"], kind="stable").reset_index(drop=True)
    chain = _Chain.of(strokes)
    before = expected.at(strokes["lie"].to_numpy(), strokes["to_hole_m"].to_numpy())
    after = _after(strokes, chain, before, expected)
    cost = np.where(chain.is_stroke, 1.0 + strokes["penalty"].to_numpy(), 0.0)
    group = stroke_groups(strokes["lie"].to_numpy(), strokes["to_hole_m"].to_numpy())
    strokes = strokes.assign(
        expected=before,
        gained=before - after - cost,
        group=np.array(GROUPS)[group],
        family=np.array(GROUP_FAMILY)[group],
    )
    return Attribution(strokes, _holes(strokes, before, after, cost))


def stroke_groups(lie: NDArray[np.int8], to_hole_m: FloatArray) -> NDArray[np.int64]:
    """Index into ``GROUPS`` of strokes, by lie and distance to the hole.

    A log holds no targets, so the distance to the hole stands for them; a tee shot from nearer than 250 yd
    counts as a par 3's, which is an approach. A putt from the fringe is putting.
    """
    band = np.searchsorted(BAND_EDGES_M, to_hole_m, side="right") - 1
    group = _FIRST_BAND + np.clip(band, 0, len(BAND_EDGES_M) - 2)
    short = to_hole_m < SHORT_LIMIT_M
    group = np.where(short, np.where(to_hole_m < CHIP_LIMIT_M, _CHIP, _PITCH), group)
    group = np.where(short & (lie == Lie.SAND), _BUNKER, group)
    group = np.where((lie == Lie.TEE) & (to_hole_m >= PAR_FOUR_FROM_M), _TEE, group)
    return np.where(np.isin(lie, PUTTED_LIES), _PUTTING, group).astype(np.int64)


@dataclass(frozen=True, slots=True)
class _Chain:
    """How the rows of a sorted log hang together.

    ``last`` row of a hole; ``follows``: the next row is the very next stroke; ``is_stroke``: the row is a
    stroke, and not the picking up of a ball instead of one.
    """

    last: NDArray[np.bool_]
    follows: NDArray[np.bool_]
    is_stroke: NDArray[np.bool_]

    @classmethod
    def of(cls, strokes: pd.DataFrame) -> _Chain:
        hole = strokes.groupby(_HOLE, sort=False).ngroup().to_numpy()
        last = np.append(hole[1:] != hole[:-1], True)[: len(hole)]
        number = strokes["stroke"].to_numpy()
        due = number + 1 + strokes["penalty"].to_numpy()
        follows = ~last & (np.append(number[1:], 0)[: len(number)] == due)
        instead = strokes["picked_up"].to_numpy() & (strokes["next_lie"].to_numpy() == NO_LIE)
        return cls(last, follows, ~instead)


def _after(strokes: pd.DataFrame, chain: _Chain, before: FloatArray, expected: ExpectedStrokes) -> FloatArray:
    """Expected strokes after each row: the next row's where it is the next stroke, else of its own end."""
    after = expected.at(strokes["next_lie"].to_numpy(), strokes["left_to_hole_m"].to_numpy())
    after = np.where(chain.follows, np.append(before[1:], 0.0)[: len(before)], after)
    after[strokes["conceded"].to_numpy()] = 0.0
    return np.where(chain.is_stroke, after, before)


def _holes(strokes: pd.DataFrame, before: FloatArray, after: FloatArray, cost: FloatArray) -> pd.DataFrame:
    """Expected strokes, score, gain and unlogged remainder of each hole."""
    ends = strokes["next_lie"].to_numpy() == Lie.HOLED
    number = strokes["stroke"].to_numpy()
    rows = strokes[_HOLE].assign(
        before=before,
        score=number - 1.0 + cost + after,
        gained=strokes["gained"],
        finished=(ends | strokes["conceded"].to_numpy()) & ~strokes["picked_up"].to_numpy(),
    )
    by_hole = rows.groupby(_HOLE, sort=False)
    first, final = by_hole.first(), by_hole.last()
    holes = pd.DataFrame(
        {
            "expected": first["before"],
            "score": final["score"],
            "gained": by_hole["gained"].sum(),
            "finished": final["finished"],
        }
    )
    holes["unlogged"] = holes["expected"] - holes["score"] - holes["gained"]
    return holes.reset_index()
