"""How far each club carries when struck solidly, and the gaps between clubs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.errors import Problem
from rangework.estimate import Estimate
from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill.latents import SESSION_DEPTH
from rangework.skill.model import CARRY_SHARE, STANDARD, compile_golfer
from rangework.skill.posterior import Posterior
from rangework.skill.shot_evidence import usable_aimed

FloatArray = NDArray[np.float64]

LEAST_BALLS = 5
_FULL_SHARE = 0.93
#: Balls this many sds off the club's usual are not solid strikes; the sd comes from the median deviation.
_SHORT_SDS = 2.5
_SD_OF_DEVIATION = 1.4826
_NINETY = 1.645
#: A club that carries less or more than these shares of what is believed is doubted: a wrong unit or column
#: (common practice, no source).
_DOUBTED_BELOW, _DOUBTED_ABOVE = 0.6, 1.6
#: Standard error of a median over that of a mean, for normal errors.
_MEDIAN_LOSS = 1.2533


@dataclass(frozen=True, slots=True)
class ClubCarry:
    """Typical carry of a club's solid strikes, their sd, and the gap to the next shorter club if any."""

    club: str
    carry: Estimate
    sd_m: float
    balls: int
    solid: int
    gap_m: float | None


def doubted_carries(carries: Sequence[ClubCarry], stated_m: Mapping[str, float]) -> list[Problem]:
    """One warning when most clubs carry so much less or more than stated that a unit must be wrong."""
    shares = {each.club: each.carry.value / stated_m[each.club] for each in carries if each.club in stated_m}
    wrong = [club for club, share in shares.items() if not _DOUBTED_BELOW <= share <= _DOUBTED_ABOVE]
    if 2 * len(wrong) <= len(shares):
        return []
    expected = (
        f"carries like those of the profile, and its {wrong[0]} carries {shares[wrong[0]]:.1f} times as far"
    )
    remedy = "Is a unit wrong? Is long the distance beyond the target?"
    return [Problem("records", "clubs", ", ".join(wrong), expected, remedy)]


def club_carries(records: ShotRecords, posterior: Posterior) -> list[ClubCarry]:
    """Clubs named in the records with at least five read balls from tee or fairway, longest first."""
    tables = compile_golfer(posterior.mean).table[Lie.FAIRWAY, STANDARD]
    aimed = usable_aimed(records.aimed)
    balls = aimed[(aimed["club"] != "") & ~aimed["misread"] & aimed["lie"].isin([Lie.TEE, Lie.FAIRWAY])]
    found = [
        carry
        for club, group in balls.groupby("club")
        if (carry := _club(str(club), group, tables)) is not None
    ]
    found.sort(key=lambda carry: -carry.carry.value)
    return [
        ClubCarry(a.club, a.carry, a.sd_m, a.balls, a.solid, a.carry.value - b.carry.value if b else None)
        for a, b in zip_longest(found, found[1:])
    ]


def _full_swings(balls: pd.DataFrame) -> pd.DataFrame:
    """Balls at the longest targets that a club is used for: half swings say nothing of its carry."""
    longest = balls["target_m"].quantile(0.97, interpolation="lower")
    return balls[balls["target_m"] >= _FULL_SHARE * longest]


def _club(club: str, balls: pd.DataFrame, table: FloatArray) -> ClubCarry | None:
    balls = _full_swings(balls)
    if len(balls) < LEAST_BALLS:
        return None
    along = (balls["target_m"] + balls["long_m"]).to_numpy(float)
    total = np.hypot(along, balls["right_m"].to_numpy(float))
    place = np.clip(np.rint(total).astype(int), 0, len(table) - 1)
    carry = np.where(balls["measured"] == "carry", total, total * table[place, CARRY_SHARE])
    middle = float(np.median(carry))
    usual_sd = _SD_OF_DEVIATION * float(np.median(np.abs(carry - middle)))
    solid = carry[np.abs(carry - middle) <= _SHORT_SDS * usual_sd]
    if solid.size < LEAST_BALLS:
        return None
    sessions = len(balls[["date", "session"]].drop_duplicates())
    middle, sd = float(np.median(solid)), float(solid.std(ddof=1))
    error = np.hypot(_MEDIAN_LOSS * sd / np.sqrt(solid.size), SESSION_DEPTH * middle / np.sqrt(sessions))
    estimate = Estimate(middle, middle - _NINETY * float(error), middle + _NINETY * float(error), "m", "data")
    return ClubCarry(club, estimate, sd, len(balls), int(solid.size), None)
