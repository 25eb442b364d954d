"""What a trial of two drills showed: gains scored without knowing who did which drill, then compared by group."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
from scipy import stats

from rangework.estimate import Estimate
from rangework.records.profile import PlayerProfile
from rangework.records.shots import KINDS, ShotRecords, from_frames
from rangework.skill.fit import fit_player
from rangework.skill.part_values import part_values
from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M, STEP_FACTOR
from rangework.store.trials import Assignment

#: A retest is what was hit in this last share of a trial's weeks, or after them.
RETEST_SHARE = 0.75
#: Players of each group that must have been tested again before anything is said.
FEWEST = 3
UNIT, BASIS = "strokes per round", "data+assumption.roster.trial"


@dataclass(frozen=True, slots=True)
class Group:
    """One drill's group: players drawn, tested again, their hours of the drill, and strokes a round gained (mean)."""

    drill: str
    drawn: int
    tested: int
    hours: float
    gained: float | None


@dataclass(frozen=True, slots=True)
class TrialResult:
    """A trial: ``difference`` is the first group's gain less the second's, None while too few were tested again."""

    started: str
    first: Group
    second: Group
    difference: Estimate | None


def split(records: ShotRecords, started: str, weeks: float) -> tuple[ShotRecords, ShotRecords]:
    """What was hit before a trial, and at its retest."""
    start = np.datetime64(started)
    retest = np.datetime64(date.fromisoformat(started) + timedelta(days=round(7.0 * weeks * RETEST_SHARE)))
    return _where(records, lambda day: day < start), _where(records, lambda day: day >= retest)


def _where(records: ShotRecords, chosen: Callable[[Any], Any]) -> ShotRecords:
    frames = {}
    for kind in KINDS:
        frame = records.frame(kind)
        frames[kind] = frame[chosen(frame["date"].to_numpy())].reset_index(drop=True)
    return from_frames(frames)


def gain(
    records: ShotRecords,
    profile: PlayerProfile,
    started: str,
    weeks: float,
    worths: Mapping[str, float],
    seed: int,
) -> float | None:
    """Strokes a round gained in the parts of ``worths`` (strokes a round by step) from before a trial to its retest.

    Knows nothing of the drill that was assigned. None where either side has no balls. Both sides are fitted
    alike and lean on the same prior, so that a gain comes out rather too small than too large, in both groups alike.
    """
    before, after = split(records, started, weeks)
    if not before.n_balls or not after.n_balls:
        return None
    values = [
        {part: float(np.median(drawn)) for part, drawn in part_values(each.coordinates).items()}
        for each in (fit_player(side, profile=profile, seed=seed) for side in (before, after))
    ]
    return sum(
        worth * steps_between(part, values[0][part], values[1][part]) for part, worth in worths.items()
    )


def steps_between(part: str, before: float, after: float) -> float:
    """Steps from one value of a part to another, better is positive; 0 for a bias, which has no fixed size of step."""
    kind = PART_BY_ID[part].kind
    if kind == "bias" or (kind != "carry" and min(before, after) <= 0.0):
        return 0.0
    if kind == "carry":
        return (after - before) / STEP_CARRY_M
    return math.log(after / before) / math.log(STEP_FACTOR[kind])


def compare(
    assignments: Sequence[Assignment], gains: Mapping[int, float | None], hours: Mapping[int, float]
) -> TrialResult:
    """Join the gains with the lots, which only now are looked at: Welch's interval for two means."""
    one = assignments[0]
    sides = [
        [a.player for a in assignments if a.assigned == drill]
        for drill in (one.first_drill, one.second_drill)
    ]
    scored = [[g for player in side if (g := gains.get(player)) is not None] for side in sides]
    groups = [
        Group(
            drill=drill,
            drawn=len(side),
            tested=len(gained),
            hours=sum(hours.get(player, 0.0) for player in side),
            gained=float(np.mean(gained)) if len(gained) >= FEWEST else None,
        )
        for drill, side, gained in zip((one.first_drill, one.second_drill), sides, scored, strict=True)
    ]
    return TrialResult(one.started, groups[0], groups[1], difference(*scored))


def difference(first: Sequence[float], second: Sequence[float]) -> Estimate | None:
    """The difference of two groups' means with its 90 % interval (Welch 1947); None with too few in either."""
    if min(len(first), len(second)) < FEWEST:
        return None
    found = stats.ttest_ind(first, second, equal_var=False).confidence_interval(0.90)
    value = float(np.mean(first) - np.mean(second))
    return Estimate(value, float(found.low), float(found.high), UNIT, BASIS)


def with_pair(assignments: Sequence[Assignment]) -> list[list[Assignment]]:
    """Assignments by trial: the same day and the same two drills."""
    trials: dict[tuple[str, str, str], list[Assignment]] = {}
    for each in assignments:
        trials.setdefault((each.started, each.first_drill, each.second_drill), []).append(each)
    return list(trials.values())
