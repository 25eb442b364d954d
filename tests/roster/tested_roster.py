"""Rosters of players whose true response to practice is known, tested before and after hours that they log."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.learning import DAY_LOG_SPREAD, OTHER_LOG_SPREAD
from rangework.assessment.part_tests import PartMeasure
from rangework.assessment.practice_log import PracticeLog
from rangework.assessment.response_evidence import ResponseEvidence
from rangework.plan.drills import Drill
from rangework.plan.response import (
    GROUP_SHARE,
    HALF_HOURS_LOG_SD,
    MOST_LOG_SD,
    ResponseDraws,
    correlated_normals,
    responses_for,
)
from rangework.plan.returns import net_steps
from rangework.skill.parts import PART_IDS, STEP_FACTOR

FloatArray = NDArray[np.float64]

FIRST, WEEKS = date(2026, 5, 1), 8
LAST = FIRST + timedelta(days=7 * WEEKS)
PARTS = ("approach_100_150.depth", "approach_100_150.direction", "approach_150_200.direction", "chip")
RESPONSES = responses_for(12.0)
#: Standard error of the logarithm of a spread: about 60 balls.
SIXTY_BALLS = 0.1


def truly(factor: float | FloatArray, rng: np.random.Generator) -> ResponseDraws:
    """The true response of one player of a group that answers ``factor`` times as assumed."""
    own = math.sqrt(1.0 - GROUP_SHARE) * MOST_LOG_SD * correlated_normals(1, len(PART_IDS), rng)
    half = HALF_HOURS_LOG_SD * correlated_normals(1, len(PART_IDS), rng)
    return ResponseDraws(
        factor * np.array([each.most_steps for each in RESPONSES]) * np.exp(own),
        np.array([each.half_hours for each in RESPONSES]) * np.exp(half),
        np.array([each.fade_per_week for each in RESPONSES]),
        np.array([each.maintenance_hours_per_week for each in RESPONSES]),
        (),
    )


def drills(useless: float) -> tuple[Drill, ...]:
    """A drill for each part, named after it, which does nothing for a player with this chance."""
    return tuple(
        Drill(part, part, "range", {part: 1.0}, 60.0, 60.0, 5, chance_useless=useless) for part in PARTS
    )


def practice(rng: np.random.Generator, parts: Sequence[str] = PARTS) -> PracticeLog:
    """Two to 24 hours of each part's drill between the tests, of three parts in ten none."""
    hours = np.zeros((len(parts), len(PART_IDS)))
    for row, part in enumerate(parts):
        hours[row, PART_IDS.index(part)] = rng.uniform(2.0, 24.0) / WEEKS * (rng.random() < 0.7)
    days = tuple(FIRST + timedelta(days=7 * week + 1) for week in range(WEEKS) for _ in parts)
    return PracticeLog(days, np.tile(hours, (WEEKS, 1)), tuple(parts) * WEEKS)


def two_tests(
    true: ResponseDraws,
    log: PracticeLog,
    rng: np.random.Generator,
    *,
    error: float,
    drift: float,
    useless: float = 0.0,
) -> list[PartMeasure]:
    """What two tests measure: level, the day's own spread, other changes, ``drift`` in four weeks, and practice, where
    a drill does nothing for a share ``useless`` of the players."""
    works = {part: (rng.random(1) >= useless).astype(float) for part in PARTS} if useless else {}
    gained = net_steps(log.between_draws(FIRST, LAST, works) / WEEKS, true, WEEKS)[0]
    found = []
    for day, after in ((FIRST, 0.0), (LAST, 1.0)):
        spread_of_day = DAY_LOG_SPREAD * rng.standard_normal()
        for number, part in enumerate(PARTS):
            level = 0.1 * number
            other = OTHER_LOG_SPREAD * math.sqrt(WEEKS / 4.0) * rng.standard_normal() + drift * WEEKS / 4.0
            change = math.log(STEP_FACTOR["spread"]) * gained[PART_IDS.index(part)]
            value = level + spread_of_day + after * (other + change) + error * rng.standard_normal()
            found.append(PartMeasure(part, day, 60, value, error))
    return found


def players_tested(
    seed: int,
    players: int,
    factor: float | FloatArray,
    *,
    error: float = SIXTY_BALLS,
    drift: float = 0.0,
    logged: bool = True,
    useless: float = 0.0,
    believed_useless: float | None = None,
    parts: Sequence[str] = PARTS,
) -> dict[int, ResponseEvidence]:
    """Such players; with ``logged`` False they practise as much and log other players' hours.

    ``believed_useless``: the chance that is read into the tests where it is not the true one.
    """
    believed = drills(useless if believed_useless is None else believed_useless)
    rng = np.random.default_rng([seed, 77])
    logs = [practice(rng, parts) for _ in range(players)]
    measured = [
        [
            test
            for test in two_tests(truly(factor, rng), log, rng, error=error, drift=drift, useless=useless)
            if test.part in parts
        ]
        for log in logs
    ]
    told = logs if logged else [logs[(place + 1) % players] for place in range(players)]
    return {
        place: ResponseEvidence(RESPONSES, measures, log, drills=believed, seed=[seed, place])
        for place, (measures, log) in enumerate(zip(measured, told, strict=True))
    }
