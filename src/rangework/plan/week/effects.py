"""What practice on a day can still do by the event: it builds slowly, tunes quickly, and keeps what is there.

Every drill's hours build; they need time to settle (assumption.week.building). Calibration drills also tune: soon,
for a part of what eight weeks could do, and not for long (assumption.week.tuning). Hours of any kind keep a part
from fading. Without an event the hours count as those of `rangework plan`: as if eight weeks were like this one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill
from rangework.plan.response import GAIN_AT_STAKE
from rangework.plan.returns import PracticeReturns, net_steps

FloatArray = NDArray[np.float64]

#: Days before the event until which new skill counts for nothing, and from which it counts in full.
SETTLED_FROM_DAYS, SETTLED_DAYS = 3, 21
#: Share of a part's possible gain that tuning can reach, share of its half hours, days that halve it.
TUNING_SHARE, TUNING_HALF_SHARE, TUNING_HALF_LIFE_DAYS = 0.25, 0.1, 10.0
BASES = ("assumption.week.building", "assumption.week.tuning", "published.plan.skill_retention")


@dataclass(frozen=True, slots=True)
class Effect:
    """Effective hours that count together, and what they gain.

    ``weight`` of an hour of a drill so many days before the event; ``steps`` gained [draws, parts] for hours
    [parts], nothing at none and ever less for each more; ``slopes`` [draws, parts] are steps an hour there.
    """

    name: str
    weight: Callable[[int | None, Drill], float]
    steps: Callable[[FloatArray], FloatArray]
    slopes: Callable[[FloatArray], FloatArray]


@dataclass(frozen=True, slots=True)
class WeekReturns:
    """What the hours of a plan return, over joint draws of skill and response."""

    returns: PracticeReturns
    effects: tuple[Effect, ...]

    def saving(self, hours: Mapping[str, FloatArray]) -> float:
        """Expected strokes a round by effective hours [parts] of each effect, against no practice."""
        mean_saved = self.returns.mean_saved
        return float(
            sum(effect.steps(hours[effect.name]).mean(axis=0) @ mean_saved for effect in self.effects)
        )

    def savings(self, hours: Mapping[str, FloatArray]) -> FloatArray:
        """[draws] the same, draw by draw."""
        saved = self.returns.saved
        return np.asarray(
            sum((effect.steps(hours[effect.name]) * saved).sum(axis=1) for effect in self.effects)
        )


def settled(days_left: int | None) -> float:
    """Share of new skill that is there on the day of the event when it was practised so many days before."""
    if days_left is None:
        return 1.0
    share = (days_left - SETTLED_FROM_DAYS) / (SETTLED_DAYS - SETTLED_FROM_DAYS)
    return min(1.0, max(0.0, share))


def tuned(days_left: int | None, drill: Drill) -> float:
    """Share of a tuning hour's effect that is left on the day of the event."""
    if days_left is None or drill.purpose != "calibration":
        return 0.0
    return float(0.5 ** (days_left / TUNING_HALF_LIFE_DAYS))


def event_returns(returns: PracticeReturns, days: int) -> WeekReturns:
    """What practice in the days before an event returns; ``returns.weeks`` is the horizon of the responses."""
    responses, weeks = returns.responses, days / 7.0
    most, half = responses.most_steps, responses.half_hours
    faded = GAIN_AT_STAKE * most * (1.0 - (1.0 - responses.fade_per_week) ** weeks)
    enough = responses.maintenance_hours_per_week * weeks

    def keeping(hours: FloatArray) -> FloatArray:
        return np.asarray(faded * np.minimum(1.0, hours / enough))

    def keeping_slopes(hours: FloatArray) -> FloatArray:
        return np.asarray(faded / enough * (hours < enough))

    build = _gain(most, half, responses.hours_before)
    tune = _gain(TUNING_SHARE * most, TUNING_HALF_SHARE * half)
    return WeekReturns(
        returns,
        (
            Effect("building", lambda days_left, _drill: settled(days_left), *build),
            Effect("tuning", tuned, *tune),
            Effect("keeping", lambda _days_left, _drill: 1.0, keeping, keeping_slopes),
        ),
    )


def _gain(
    most: FloatArray, half: FloatArray, before: FloatArray | float = 0.0
) -> tuple[Callable[[FloatArray], FloatArray], Callable[[FloatArray], FloatArray]]:
    """``most * hours / (hours + half)`` and its slope, going on from effective hours practised ``before``."""
    start = half + before

    def steps(hours: FloatArray) -> FloatArray:
        return np.asarray(most * half * hours / ((hours + start) * start))

    def slopes(hours: FloatArray) -> FloatArray:
        return np.asarray(most * half / (hours + start) ** 2)

    return steps, slopes


def training_returns(returns: PracticeReturns) -> WeekReturns:
    """What a week without an event returns if all weeks of the horizon are like it."""
    responses, weeks = returns.responses, returns.weeks
    none = np.zeros(returns.saved.shape[1])
    faded = GAIN_AT_STAKE * responses.most_steps * (1.0 - (1.0 - responses.fade_per_week) ** weeks)

    def training(hours: FloatArray) -> FloatArray:
        return net_steps(hours, responses, weeks) - net_steps(none, responses, weeks)

    def slopes(hours: FloatArray) -> FloatArray:
        half, enough = responses.half_hours, responses.maintenance_hours_per_week
        gained = responses.most_steps * half * weeks / (hours * weeks + half + responses.hours_before) ** 2
        return np.asarray(gained + faded / enough * (hours < enough))

    return WeekReturns(returns, (Effect("training", lambda _days_left, _drill: 1.0, training, slopes),))
