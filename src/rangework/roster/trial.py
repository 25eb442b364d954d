"""Trials: where two drills cannot be told apart, a lot decides, and the retest tells what each was worth.

The lot is what makes the answer honest: players who are sure of a drill, or keen on it, are in both groups alike.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rangework.plan.drills import Drill
from rangework.plan.limits import Limits
from rangework.roster.planning import Again, Planned
from rangework.store.trials import Assignment

#: Drills are told apart when one of them is the better one in this share of the draws where either is the best.
TOLD_APART = 0.8
#: Hours a week of the assigned drill, where the week has room for them.
TRIAL_HOURS = 1.0
_STEP_HOURS = 1.0 / 12.0


@dataclass(frozen=True, slots=True)
class Pair:
    """Two drills, by id, in alphabetical order."""

    first: str
    second: str


def open_question(planned: Planned) -> Pair | None:
    """The player's two best drills where the records cannot tell which is better; None where they can."""
    best = sorted(planned.payoffs, key=lambda payoff: -payoff.first_hour.value)[:2]
    if len(best) < 2:
        return None
    one, other = (payoff.chance_best for payoff in best)
    if one + other > 0.0 and max(one, other) / (one + other) >= TOLD_APART:
        return None
    return Pair(*sorted(payoff.drill for payoff in best))


def most_asked(planned: Sequence[Planned]) -> tuple[Pair, list[Planned]] | None:
    """The question that most players share, and those players; None where no two share one."""
    questions = {each.player: open_question(each) for each in planned if not each.fault}
    counted = Counter(pair for pair in questions.values() if pair)
    if not counted:
        return None
    pair = min(counted, key=lambda each: (-counted[each], each.first, each.second))
    sharing = [each for each in planned if questions.get(each.player) == pair]
    return (pair, sharing) if len(sharing) > 1 else None


def drawn_by_lot(
    pair: Pair, planned: Sequence[Planned], *, weeks: float, seed: int, day: date
) -> list[Assignment]:
    """Each player's drill: two groups of equal size (but one), drawn with ``seed`` and the day."""
    rng = np.random.default_rng([seed, day.toordinal()])
    players = sorted(each.player for each in planned)
    firsts = set(rng.permutation(players)[: (len(players) + int(rng.integers(2))) // 2].tolist())
    return [
        Assignment(
            player, day.isoformat(), weeks, pair.first, pair.second,
            pair.first if player in firsts else pair.second, TRIAL_HOURS, seed,
        )
        for player in players
    ]  # fmt: skip


def with_assigned(assignment: Assignment, again: Again) -> tuple[Assignment, Again]:
    """The week with the assigned drill in it and the other one out of it, for as long as there is room."""
    other = ({assignment.first_drill, assignment.second_drill} - {assignment.assigned}).pop()
    drills = tuple(drill for drill in again.drills if drill.id != other)
    hours = _room(again.limits, next(drill for drill in drills if drill.id == assignment.assigned))
    least = {name: given for name, given in again.limits.least_hours_by_drill.items() if name != other}
    limits = replace(again.limits, least_hours_by_drill={**least, assignment.assigned: hours})
    return replace(assignment, hours_a_week=hours), replace(again, limits=limits, drills=drills)


def _room(limits: Limits, drill: Drill) -> float:
    room = [TRIAL_HOURS, limits.largest_share * limits.budget]
    if limits.hours is None:
        room.append(limits.hours_by_place.get(drill.place, 0.0))
    if drill.full_swings_per_hour:
        swings = min(limits.full_swings_per_week, limits.full_swings_per_day * limits.practice_days)
        room.append(swings / drill.full_swings_per_hour)
    return math.floor(min(room) / _STEP_HOURS + 1e-6) * _STEP_HOURS
