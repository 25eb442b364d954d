"""The week's hours as a result: what to do, what it saves, and what holds it back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rangework.estimate import Estimate
from rangework.plan.hours_program import Relaxed
from rangework.plan.one_more_hour import OneMoreHour
from rangework.plan.payoff import Payoff


@dataclass(frozen=True, slots=True)
class DrillHours:
    """One drill's part of the week."""

    drill: str
    name: str
    place: str
    minutes: int
    balls: int
    full_swings: int


@dataclass(frozen=True, slots=True)
class BindingLimit:
    """A limit that costs strokes: ``price`` is what one more ``unit`` of it would save, strokes a round."""

    name: str
    text: str
    bound: float
    unit: str
    price: float


@dataclass(frozen=True, slots=True)
class RobustPlan:
    """The plan for the worst fifth of the draws, beside the mean plan's figures on the same draws."""

    hours: tuple[DrillHours, ...]
    strokes_saved: Estimate
    worst_fifth: float
    mean_plan_worst_fifth: float


@dataclass(frozen=True, slots=True)
class PracticePlan:
    """The week's hours and what they are worth.

    ``strokes_saved``: strokes a round at the end of the horizon against today; ``no_practice`` the same
    without any practice (negative: fading). ``steps``: expected steps of every part, negative where it fades.
    ``untrainable``: parts that no drill at this week's places trains. ``relaxed``: the linear program's own
    answer, whose prices ``one_more_hour`` and ``binding`` show.
    """

    hours: tuple[DrillHours, ...]
    strokes_saved: Estimate
    no_practice: Estimate
    steps: Mapping[str, float]
    one_more_hour: OneMoreHour
    binding: tuple[BindingLimit, ...]
    payoffs: tuple[Payoff, ...]
    robust: RobustPlan
    untrainable: tuple[str, ...]
    relaxed: Relaxed
    horizon_weeks: float
