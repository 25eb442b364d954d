"""The promised saving beside the replayed one: the improved player plays, and the program learns from it.

The program adds up worths of one step each; real improvement compounds and overlaps. Where promise and replay
differ by more than a tenth, each part's worth is measured again at the steps that the plan reaches (a secant)
and the hours are allocated anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.plan.drills import Drill
from rangework.plan.hours import allocate_hours
from rangework.plan.limits import Limits
from rangework.plan.practice_plan import PracticePlan
from rangework.plan.response import ResponseDraws
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]

#: Plays the golfer after steps of each part: strokes a round saved against today, and their standard error.
Replay = Callable[[Mapping[str, float]], tuple[float, float]]

TOLERANCE = 0.10
MOST_ROUNDS = 4
#: Promise and replay this close are equal, however small both are.
_SMALLEST_GAP = 0.01
#: Parts that promise less than this share of all promises keep their worth.
_MEASURED_SHARE = 0.02
_FACTOR_RANGE = (0.1, 5.0)


@dataclass(frozen=True, slots=True)
class ReplayRound:
    """One comparison: what the program promised and what the rounds showed, strokes a round."""

    promised: float
    replayed: float
    standard_error: float

    @property
    def gap(self) -> float:
        """Difference over the replayed saving."""
        return abs(self.promised - self.replayed) / max(abs(self.replayed), 1e-9)

    @property
    def agrees(self) -> bool:
        """Within a tenth, or too small a difference to matter."""
        return self.gap <= TOLERANCE or abs(self.promised - self.replayed) <= _SMALLEST_GAP


@dataclass(frozen=True, slots=True)
class ReplayedPlan:
    """A plan whose promise was replayed. ``rounds``: every comparison, the last one of ``plan``.

    ``worth_factors``: how much each part's worth was changed so that the promise holds.
    """

    plan: PracticePlan
    rounds: tuple[ReplayRound, ...]
    worth_factors: Mapping[str, float]

    @property
    def last(self) -> ReplayRound:
        """The comparison that belongs to the plan."""
        return self.rounds[-1]


def plan_with_replay(
    saved: ArrayLike,
    responses: ResponseDraws,
    drills: Sequence[Drill],
    limits: Limits,
    replay: Replay,
    **options: Any,
) -> ReplayedPlan:
    """``allocate_hours``, replayed and re-linearised until promise and replay agree, at most four times.

    ``options`` go to ``allocate_hours``. A round without agreement costs a replay for each part that matters.
    """
    worths = np.atleast_2d(np.asarray(saved, dtype=np.float64))
    factors = np.ones(worths.shape[1])
    rounds: list[ReplayRound] = []
    while True:
        plan = allocate_hours(worths * factors, responses, drills, limits, **options)
        rounds.append(ReplayRound(plan.strokes_saved.value, *replay(plan.steps)))
        if rounds[-1].agrees or len(rounds) == MOST_ROUNDS:
            break
        factors = factors * _secant_factors(plan, worths * factors, rounds[-1], replay)
    return ReplayedPlan(plan, tuple(rounds), dict(zip(PART_IDS, factors.tolist(), strict=True)))


def _secant_factors(plan: PracticePlan, worths: FloatArray, seen: ReplayRound, replay: Replay) -> FloatArray:
    """[parts] measured over promised saving of each part alone, then of all together."""
    steps = np.array([plan.steps[part] for part in PART_IDS])
    promised = steps * np.maximum(worths.mean(axis=0), 0.0)
    matters = np.abs(promised) >= _MEASURED_SHARE * np.abs(promised).sum()
    measured = promised.copy()
    for index in np.flatnonzero(matters):
        measured[index] = replay({PART_IDS[index]: float(steps[index])})[0]
    alone = np.divide(measured, promised, out=np.ones_like(promised), where=matters & (promised != 0.0))
    alone = np.clip(alone, *_FACTOR_RANGE)
    together = seen.replayed / total if (total := float(promised @ alone)) else 1.0
    return np.asarray(alone * np.clip(together, *_FACTOR_RANGE))
