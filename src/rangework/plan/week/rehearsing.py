"""What to rehearse for a course: shots it asks for, beside the usual course; green speed; aims to settle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.played_hole import PlayedHole
from rangework.course.geometry import Course
from rangework.play.asked_kinds import FULL_FROM_ROUGH, AskedKind
from rangework.play.rounds import PENALTIES, RoundSample
from rangework.play.strategy import Strategy

#: Quantile of the 90 % interval.
_Z90 = 1.645
#: Differences of fewer shots a round than this are not told.
_LEAST_DIFFERENCE = 0.3
#: Holes whose aims are to be settled in a practice round, at most.
AIMS_TO_SETTLE = 6


@dataclass(frozen=True, slots=True)
class AskedMore:
    """A kind of shot that one course asks for more or less often; ``ratio`` of here over there, 90 % interval."""

    name: str
    here: float
    usual: float
    ratio: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class AimToSettle:
    """A hole where the tee shot decides much: its best target, and what the hole costs.

    ``right_of_line_m``: how far the target lies to the right of the line of play (negative: left).
    ``over_par`` and ``penalties`` are strokes a round on this hole.
    """

    hole: int
    par: int
    distance_m: float
    right_of_line_m: float
    over_par: float
    penalties: float


def asked_more(here: Sequence[AskedKind], usual: Sequence[AskedKind]) -> tuple[AskedMore, ...]:
    """Kinds of shot whose number surely differs between the courses, the largest difference first."""
    found = []
    for ours, theirs in zip(here, usual, strict=True):
        if min(ours.a_round, theirs.a_round) <= 0.0 or abs(ours.a_round - theirs.a_round) < _LEAST_DIFFERENCE:
            continue
        ratio = ours.a_round / theirs.a_round
        error = math.hypot(ours.standard_error / ours.a_round, theirs.standard_error / theirs.a_round)
        low, high = ratio * math.exp(-_Z90 * error), ratio * math.exp(_Z90 * error)
        if low > 1.0 or high < 1.0:
            found.append(AskedMore(ours.name, ours.a_round, theirs.a_round, ratio, low, high))
    return tuple(sorted(found, key=lambda each: -abs(each.here - each.usual)))


def balls_of_ten(asked: Sequence[AskedKind]) -> list[tuple[str, int]]:
    """Ten balls shared out like the full shots of a round, most first; what gets none is left out."""
    full = [kind for kind in asked if kind.full and kind.name != FULL_FROM_ROUGH and kind.a_round > 0.0]
    total = sum(kind.a_round for kind in full)
    exact = [10.0 * kind.a_round / total for kind in full] if total else []
    balls = [math.floor(share) for share in exact]
    most_left = sorted(range(len(full)), key=lambda n: balls[n] - exact[n])
    for index in most_left[: 10 - sum(balls)]:
        balls[index] += 1
    shared = [(kind.name, count) for kind, count in zip(full, balls, strict=True) if count]
    return sorted(shared, key=lambda each: -each[1])


def putt_here_m(putt_there_m: float, stimp_here_ft: float, stimp_there_ft: float) -> float:
    """The putt here that asks for the same stroke as a putt there.

    A stimpmeter lets every ball go at one speed, so a reading is how far that speed rolls: lengths rolled at one
    speed are as the readings, on level greens.
    """
    return putt_there_m * stimp_here_ft / stimp_there_ft


def aims_to_settle(
    course: Course, strategies: Sequence[Strategy], rounds: RoundSample, most: int = AIMS_TO_SETTLE
) -> tuple[AimToSettle, ...]:
    """Par 4s and 5s where most strokes over par are played, penalties first, in the order of the holes."""
    over = rounds.strokes.mean(axis=0) - rounds.par
    penalties = rounds.by_family[:, :, PENALTIES].mean(axis=0)
    holes = [
        _aim(
            PlayedHole.of(course.holes[index], strategy.layout),
            strategy,
            float(over[index]),
            float(penalties[index]),
        )
        for index, strategy in enumerate(strategies)
        if strategy.layout.par > 3
    ]
    dearest = sorted(holes, key=lambda aim: (-round(aim.penalties, 1), -aim.over_par))[:most]
    return tuple(sorted(dearest, key=lambda aim: aim.hole))


def _aim(played: PlayedHole, strategy: Strategy, over: float, penalties: float) -> AimToSettle:
    layout, tee = strategy.layout, strategy.layout.tee_node
    x, y = float(strategy.policy.x[tee]), float(strategy.policy.y[tee])
    distance = math.dist(layout.grid.tee_m, (x, y))
    right_m = right_of(played.line_m, (x, y))
    return AimToSettle(layout.number, layout.par, distance, right_m, over, penalties)


def right_of(line: NDArray[np.float64], place: tuple[float, float]) -> float:
    """Metres that a place lies to the right of the nearest leg of a line (n, 2)."""
    starts, legs = line[:-1], np.diff(line, axis=0)
    along = ((np.asarray(place) - starts) * legs).sum(axis=1) / (legs**2).sum(axis=1)
    nearest = starts + np.clip(along, 0.0, 1.0)[:, np.newaxis] * legs
    away = np.asarray(place) - nearest
    leg = int(np.hypot(away[:, 0], away[:, 1]).argmin())
    heading = legs[leg] / np.hypot(*legs[leg])
    return float(heading[1] * away[leg, 0] - heading[0] * away[leg, 1])
