"""How a player aims, as far as a course log shows it: the length of tee shots and of shots short of the green.

A log says how far each stroke left the ball from the hole, not where it was aimed: lengths show, lines do not. So
the habits seen have lengths, on the best line. Where approaches are aimed shows only in what was written down beside
them (``said_aims.py``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from rangework.aim.habits.rules import Rule
from rangework.aim.habits.said_aims import said_aims
from rangework.aim.habits.shots import HolePlaces, Kind, Shots, course_places
from rangework.aim.targets import Base, Target
from rangework.course.geometry import Course
from rangework.lie import Lie
from rangework.play.kernels import Player
from rangework.play.strategy import Strategy, compile_player
from rangework.records.shots import ShotRecords
from rangework.skill.model import CARRY_SHARE, STANDARD, FloatArray
from rangework.skill.posterior import Posterior

#: Fewer shots than this show nothing; a median's standard error over a mean's, for normal errors; a range's half width.
LEAST_SHOTS, _MEDIAN_LOSS, _NINETY, _SD_OF_DEVIATION = 5, 1.2533, 1.645, 1.4826
#: A length from this share of the longest shot on is the longest shot; a range wider than this shows nothing.
_LONGEST_SHARE, _WIDEST = 0.95, 0.10
#: So many standard errors from the best target's length make another habit: with 14 holes to look at, fewer would
#: find one by chance.
_CLEARLY = 2.9
#: Logged holes are taken for the course's when every one is within this of the tees' lengths.
SAME_LENGTH_M = 15.0


@dataclass(frozen=True, slots=True)
class SeenHabit:
    """What a log shows of one kind of shot: rules where it shows any, and why it does not where it shows none."""

    kind: Kind
    rules: tuple[Rule, ...]
    shots: int
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class SeenHabits:
    """What the records show of a player's aim."""

    habits: tuple[SeenHabit, ...]

    @property
    def rules(self) -> tuple[Rule, ...]:
        """All habits that were seen; none where nothing was seen."""
        return tuple(rule for habit in self.habits for rule in habit.rules)


def prepared_habits(
    records: ShotRecords, course: Course, strategies: Sequence[Strategy], posterior: Posterior
) -> SeenHabits:
    """The habits that a player's rounds show on the holes of ``strategies``."""
    player = compile_player(posterior.mean, conditions=course.conditions)
    layouts = [strategy.layout for strategy in strategies]
    return seen_habits(records.log, course_places(course, layouts, player.longest), strategies, player)


def seen_habits(
    log: pd.DataFrame, places: Sequence[HolePlaces], best: Sequence[Strategy], player: Player
) -> SeenHabits:
    """The habits that a course log shows on the holes of ``places``, for the golfer in the middle of the posterior.

    ``best`` are the golfer's best targets there: a length that cannot be told from the best one counts as that.
    """
    approach = _approaches(log, places, player)
    tee = log[(log["stroke"] == 1) & (log["lie"] == Lie.TEE)]
    if not len(log):
        none = "no rounds are logged"
        return SeenHabits(tuple(SeenHabit(kind, (), 0, none) for kind in Kind))
    if not _same_course(tee, places):
        other = "the logged holes are not this course's"
        return SeenHabits((SeenHabit(Kind.TEE, (), len(tee), other), approach, _lay_ups(log, player)))
    return SeenHabits((_tee_habits(tee, places, best, player), approach, _lay_ups(log, player)))


def _approaches(log: pd.DataFrame, places: Sequence[HolePlaces], player: Player) -> SeenHabit:
    pars = {each.played.layout.number: each.played.layout.par for each in places}
    said = said_aims(log, pars, player.longest)
    return SeenHabit(Kind.APPROACH, said.rules, said.shots, said.why_not)


def _same_course(tee: pd.DataFrame, places: Sequence[HolePlaces]) -> bool:
    lengths = tee.groupby("hole")["to_hole_m"].median()
    known = {each.played.layout.number: _length_m(each) for each in places}
    return len(lengths) > 0 and all(
        number in known and abs(known[number] - length) <= SAME_LENGTH_M for number, length in lengths.items()
    )


def _length_m(places: HolePlaces) -> float:
    """Length on the card, from the tee played to the middle of the green."""
    played = places.played
    line = np.vstack([played.line_m[:-1], [played.middle_m]])
    return float(np.hypot(*np.diff(line, axis=0).T).sum()) - math.dist(line[0], played.layout.grid.tee_m)


def _tee_habits(
    tee: pd.DataFrame, places: Sequence[HolePlaces], best: Sequence[Strategy], player: Player
) -> SeenHabit:
    """Hole by hole how long the tee shot was meant to be: the median leaves poor strikes out."""
    as_best: list[int] = []
    longest: list[int] = []
    shorter: list[Rule] = []
    counted = 0
    for each, strategy in zip(places, best, strict=True):
        layout = each.played.layout
        shots = tee[(tee["hole"] == layout.number) & (tee["penalty"] == 0)]
        if layout.par < 4 or len(shots) < LEAST_SHOTS:
            continue
        length_m, error_m = _meant(shots["left_to_hole_m"].to_numpy(float), each, player)
        high = (length_m + _NINETY * error_m) / player.longest[Lie.TEE]
        if _NINETY * error_m > _WIDEST * player.longest[Lie.TEE]:
            continue
        counted += len(shots)
        if abs(length_m - _best_length_m(strategy)) <= _CLEARLY * error_m:
            as_best.append(layout.number)
        elif high >= _LONGEST_SHARE:
            longest.append(layout.number)
        else:
            target = Target(Base.CARRY, _carry_m(length_m, player))
            shorter.append(Rule(Shots(Kind.TEE, holes=(layout.number,)), target, best_line=True))
    rules = [*shorter]
    if longest:
        rules.append(Rule(Shots(Kind.TEE, holes=tuple(longest)), Target(Base.LONGEST), best_line=True))
    if as_best:
        rules.append(Rule(Shots(Kind.TEE, holes=tuple(as_best)), None))
    why = "" if rules else f"fewer than {LEAST_SHOTS} tee shots a hole, or too scattered"
    return SeenHabit(Kind.TEE, tuple(rules), counted, why)


def _best_length_m(strategy: Strategy) -> float:
    node = strategy.layout.tee_node
    x, y = strategy.layout.grid.tee_m
    return math.hypot(float(strategy.policy.x[node]) - x, float(strategy.policy.y[node]) - y)


def _meant(left_m: FloatArray, places: HolePlaces, player: Player) -> tuple[float, float]:
    """The length along the line of play that leaves as much as the median shot did, and its standard error."""
    played = places.played
    lengths = np.arange(40.0, float(player.longest[Lie.TEE]) * 1.15, 1.0)
    ends = np.array([played.ahead(played.layout.grid.tee_m, length) for length in lengths])
    leaves = np.hypot(*(ends - np.asarray(played.middle_m)).T)
    median = float(np.median(left_m))
    sd = _SD_OF_DEVIATION * float(np.median(np.abs(left_m - median)))
    place = int(np.argmin(np.abs(leaves - median)))
    slope = abs(float(np.gradient(leaves)[place]))
    error_m = _MEDIAN_LOSS * max(sd, 2.0) / np.sqrt(len(left_m)) / max(slope, 0.2)
    return float(lengths[place]), float(error_m)


def _carry_m(total_m: float, player: Player) -> float:
    share = player.table[Lie.TEE, STANDARD, :, CARRY_SHARE]
    return total_m * float(np.interp(total_m, np.arange(len(share)), share))


def _lay_ups(log: pd.DataFrame, player: Player) -> SeenHabit:
    """Whether shots short of a green out of reach are as long as can be, from fairway and rough together."""
    longest = player.longest[np.clip(log["lie"].to_numpy(np.int64), 0, len(player.longest) - 1)]
    far = log["to_hole_m"].to_numpy(float) > 1.1 * longest
    from_ground = log["lie"].isin([Lie.FAIRWAY, Lie.ROUGH]).to_numpy() & (log["penalty"] == 0).to_numpy()
    held = far & from_ground & (log["stroke"] > 1).to_numpy()
    gone = (log["to_hole_m"] - log["left_to_hole_m"]).to_numpy(float)[held] / longest[held]
    if len(gone) < 2 * LEAST_SHOTS:
        return SeenHabit(Kind.LONG, (), len(gone), "too few shots with the green out of reach")
    median = float(np.median(gone))
    sd = _SD_OF_DEVIATION * float(np.median(np.abs(gone - median)))
    high = median + _NINETY * _MEDIAN_LOSS * sd / np.sqrt(len(gone))
    if high >= _LONGEST_SHARE and high - median <= _WIDEST:
        return SeenHabit(
            Kind.LONG, (Rule(Shots(Kind.LONG), Target(Base.LONGEST), best_line=True),), len(gone)
        )
    return SeenHabit(Kind.LONG, (), len(gone), "some go as far as they can and some do not")
