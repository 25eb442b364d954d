"""What one hour a week of each drill saves, first and beyond a plan, and its chance of being the best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.returns import PracticeReturns

FloatArray = NDArray[np.float64]

UNIT = "strokes per round"
_LOW, _HIGH = 0.05, 0.95
_PRACTICE_BASES = (
    "assumption.plan.shares",
    "assumption.plan.gain_at_stake",
    "published.plan.skill_retention",
)


@dataclass(frozen=True, slots=True)
class Payoff:
    """Strokes a round at the end of the horizon by one hour a week of a drill.

    ``first_hour`` against no practice at all, ``next_hour`` on top of the plan; ``chance_best`` and
    ``chance_best_next`` are the shares of draws, over skill and response together, in which no other drill's
    hour saves more (drills that tie share the draw).
    """

    drill: str
    place: str
    first_hour: Estimate
    next_hour: Estimate
    chance_best: float
    chance_best_next: float


def payoffs(
    returns: PracticeReturns, drills: Sequence[Drill], plan_hours: ArrayLike | None = None
) -> tuple[Payoff, ...]:
    """The payoff of every drill, in the order of ``drills``.

    ``plan_hours``: effective hours a week, [parts] or [draws, parts], that the plan already sends to each part (none
    by default).
    """
    acting = returns.acting(drills)
    none = np.zeros((1, acting.shape[2]))
    first = _gains(returns, acting, none)
    further = _gains(
        returns, acting, none if plan_hours is None else np.asarray(plan_hours, dtype=np.float64)
    )
    best, best_next = _chances_best(first), _chances_best(further)
    basis = saving_basis(returns)
    return tuple(
        Payoff(
            drill.id,
            drill.place,
            estimate_of(first[:, index], basis),
            estimate_of(further[:, index], basis),
            float(best[index]),
            float(best_next[index]),
        )
        for index, drill in enumerate(drills)
    )


def estimate_of(draws: FloatArray, basis: str, value: float | None = None) -> Estimate:
    """Strokes per round with their 90 % interval over draws; the mean unless ``value`` is given."""
    low, high = np.quantile(draws, (_LOW, _HIGH))
    centre = float(draws.mean()) if value is None else value
    return Estimate(centre, float(low), float(high), UNIT, basis)


def saving_basis(returns: PracticeReturns) -> str:
    """What a saving rests on: the player's data, and what is assumed of practice and of leaving it."""
    return "+".join(("data", *returns.responses.bases, *_PRACTICE_BASES))


def _gains(returns: PracticeReturns, acting: FloatArray, start: FloatArray) -> FloatArray:
    """[draws, drills] strokes saved by one more hour of each drill from ``start`` hours of the parts."""
    before = returns.savings(start)
    after = [returns.savings(start + hour) for hour in np.moveaxis(acting, 1, 0)]
    return np.asarray(np.column_stack(after) - before[:, np.newaxis]) if after else np.zeros((len(before), 0))


def _chances_best(gains: FloatArray) -> FloatArray:
    """[drills] share of draws in which each gains most, ties shared."""
    if not gains.size:
        return np.zeros(gains.shape[1])
    at_best = gains >= gains.max(axis=1, keepdims=True) - 1e-12
    return np.asarray((at_best / at_best.sum(axis=1, keepdims=True)).mean(axis=0))
