"""What hours of practice return: steps gained less steps faded, and strokes saved, over joint draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.plan.drills import Drill, shares
from rangework.plan.response import GAIN_AT_STAKE, ResponseDraws

FloatArray = NDArray[np.float64]


def net_steps(hours_per_week: ArrayLike, responses: ResponseDraws, weeks: float) -> FloatArray:
    """Steps of every part at the end of the horizon against today, [..., draws, parts].

    ``hours_per_week`` are effective hours, broadcast to [..., draws, parts]. Concave in the hours: gains
    level off, all the sooner after hours practised before, and the fading that a little practice stops is lost only
    below the maintenance hours.
    """
    hours = np.asarray(hours_per_week, dtype=np.float64)
    total = hours * weeks
    start = responses.hours_before + responses.half_hours
    gained = responses.most_steps * responses.half_hours * total / ((total + start) * start)
    missing = np.maximum(0.0, 1.0 - hours / responses.maintenance_hours_per_week)
    faded_share = 1.0 - (1.0 - responses.fade_per_week) ** weeks
    return np.asarray(gained - GAIN_AT_STAKE * responses.most_steps * faded_share * missing)


@dataclass(frozen=True, slots=True)
class PracticeReturns:
    """Strokes saved per step and responses, paired draw by draw.

    ``saved``: [draws, parts] strokes per round that one step of a part saves; ``weeks``: the horizon.
    Build it with ``pair_draws``.
    """

    saved: FloatArray
    responses: ResponseDraws
    weeks: float

    @property
    def mean_saved(self) -> FloatArray:
        """[parts] mean strokes per step; a part that seems to cost strokes counts as nothing."""
        return np.asarray(np.maximum(self.saved.mean(axis=0), 0.0))

    def mean_steps(self, hours_per_week: ArrayLike) -> FloatArray:
        """[..., parts] expected steps for effective hours a week [..., parts]."""
        hours = np.asarray(hours_per_week, dtype=np.float64)[..., np.newaxis, :]
        return np.asarray(net_steps(hours, self.responses, self.weeks).mean(axis=-2))

    def mean_saving(self, hours_per_week: ArrayLike) -> FloatArray:
        """[...] expected strokes a round for effective hours a week [..., parts]: what plans maximise."""
        return np.asarray(self.mean_steps(hours_per_week) @ self.mean_saved)

    def savings(self, hours_per_week: ArrayLike) -> FloatArray:
        """[draws] strokes a round for effective hours a week [parts]; skill and response vary together."""
        return np.asarray((self.steps(hours_per_week) * self.saved).sum(axis=-1))

    def steps(self, hours_per_week: ArrayLike) -> FloatArray:
        """[draws, parts] steps for effective hours a week, [parts] or [draws, parts]."""
        return net_steps(hours_per_week, self.responses, self.weeks)

    def expected_saving(self, hours_per_week: FloatArray) -> float:
        """Expected strokes a round for effective hours a week [draws, parts]."""
        return float(self.steps(hours_per_week).mean(axis=0) @ self.mean_saved)

    def acting(self, drills: Sequence[Drill]) -> FloatArray:
        """[draws, drills, parts] share of an hour of each drill that acts on each part, nothing where it does not work.

        [1, drills, parts] where nothing is said of drills that do not work.
        """
        working = self.responses.working
        if not working:
            return shares(drills)[np.newaxis]
        always = np.ones(len(self.responses.most_steps))
        works = np.column_stack([working.get(drill.id, always) for drill in drills])
        return np.asarray(works[:, :, np.newaxis] * shares(drills))

    def thinned(self, n: int) -> PracticeReturns:
        """The first ``n`` draws, none with a negative saving: what the robust plan is made against."""
        first = np.arange(min(n, len(self.saved)))
        return PracticeReturns(np.maximum(self.saved[:n], 0.0), self.responses.taken(first), self.weeks)


def pair_draws(saved: ArrayLike, responses: ResponseDraws, weeks: float) -> PracticeReturns:
    """Skill draws [draws, parts] (or a mean [parts]) beside response draws; the fewer are used again."""
    skill = np.atleast_2d(np.asarray(saved, dtype=np.float64))
    n = max(len(skill), len(responses.most_steps))
    index = np.arange(n)
    again = index % len(responses.most_steps)
    return PracticeReturns(skill[index % len(skill)], responses.taken(again), float(weeks))
