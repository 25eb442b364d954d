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
from rangework.records.header_words import is_driver
from rangework.records.shots import ShotRecords
from rangework.skill.latents import SESSION_DEPTH
from rangework.skill.model import CARRY_SHARE, STANDARD, Golfer, compile_golfer, total_of_carry
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
#: Sd of a stated carry about the true one, share of it (sources.toml ``assumption.shots.clubs``).
_STATED_SD = 0.05
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


def full_shots(records: ShotRecords, stated_m: Mapping[str, float], golfer: Golfer) -> tuple[float, ...]:
    """Totals (m) of full shots with the clubs a profile names, but the driver, shortest first.

    ``golfer`` lets them run.
    """
    named = likely_carries(club_carries(records, golfer), stated_m)
    carries = sorted(carry_m for club, carry_m in named.items() if club in stated_m and not is_driver(club))
    totals = total_of_carry(golfer, np.array(carries, dtype=np.float64))
    return tuple(np.round(totals, 2).tolist())


def likely_carries(measured: Sequence[ClubCarry], stated_m: Mapping[str, float]) -> dict[str, float]:
    """Carry (m) of every club that is measured or stated; of both, the mean weighed by how sure each is."""
    likely = dict(stated_m)
    for club in measured:
        carry = club.carry.value
        if club.club in stated_m and club.carry.low is not None and club.carry.high is not None:
            error, doubt = (
                (club.carry.high - club.carry.low) / (2.0 * _NINETY),
                _STATED_SD * stated_m[club.club],
            )
            weight = doubt**2 / (doubt**2 + error**2)
            carry = weight * carry + (1.0 - weight) * stated_m[club.club]
        likely[club.club] = carry
    return likely


def club_carries(records: ShotRecords, golfer: Golfer) -> list[ClubCarry]:
    """Clubs named in the records with at least five read balls from tee or fairway, longest first.

    ``golfer`` tells how much of a shot that was measured where it finished had been carried.
    """
    tables = compile_golfer(golfer).table[Lie.FAIRWAY, STANDARD]
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
