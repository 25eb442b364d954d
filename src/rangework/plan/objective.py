"""What a plan may maximise, mean saving or that of the worst fifth, and how each drill changes it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill, shares
from rangework.plan.returns import PracticeReturns, net_steps

FloatArray = NDArray[np.float64]

WORST_SHARE = 0.2


class Objective(Protocol):
    """A number to maximise over the drills' hours a week [drills]."""

    def value(self, hours: FloatArray) -> float:
        """Strokes a round."""

    def after(self, hours: FloatArray, longer: FloatArray) -> FloatArray:
        """[drills] the value after ``longer`` [drills] hours more of each drill alone."""


def worst_mean(savings: FloatArray, share: float = WORST_SHARE) -> FloatArray:
    """[...] mean of the worst ``share`` of savings [draws, ...], the draw at the edge counted in part."""
    ordered = np.sort(savings, axis=0)
    weight = np.clip(share * len(ordered) - np.arange(len(ordered)), 0.0, 1.0)
    return np.asarray(np.tensordot(weight, ordered, axes=1) / (share * len(ordered)))


class _Pairs:
    """Every pair of a drill and a part it trains, in the order of drills: only these change with a drill."""

    def __init__(self, returns: PracticeReturns, drills: Sequence[Drill]) -> None:
        self.drill, self.part = np.nonzero(shares(drills))
        self._acting = returns.acting(drills)
        self._share = self._acting[:, self.drill, self.part]
        self._weeks = returns.weeks
        self._responses = returns.responses.of_parts(self.part)

    def part_hours(self, hours: FloatArray) -> FloatArray:
        """[draws, parts] effective hours a week."""
        return np.asarray(hours @ self._acting)

    def gained(self, hours: FloatArray, longer: FloatArray) -> FloatArray:
        """[draws, pairs] steps of the pair's part gained by the pair's drill held longer."""
        start = self.part_hours(hours)[:, self.part]
        end = start + self._share * longer[self.drill]
        before = net_steps(start, self._responses, self._weeks)
        return np.asarray(net_steps(end, self._responses, self._weeks) - before)

    def by_drill(self, per_pair: FloatArray) -> FloatArray:
        """[..., drills] sums of [..., pairs] (every drill trains a part)."""
        first = np.flatnonzero(np.diff(self.drill, prepend=-1))
        return np.asarray(np.add.reduceat(per_pair, first, axis=-1))


class MeanSaving:
    """Expected strokes a round."""

    def __init__(self, returns: PracticeReturns, drills: Sequence[Drill]) -> None:
        self._returns = returns
        self._pairs = _Pairs(returns, drills)
        self._worth = returns.mean_saved[self._pairs.part]

    def value(self, hours: FloatArray) -> float:
        """Strokes a round."""
        return self._returns.expected_saving(self._pairs.part_hours(hours))

    def after(self, hours: FloatArray, longer: FloatArray) -> FloatArray:
        """[drills] the value after each drill alone is held longer."""
        gained = self._pairs.gained(hours, longer).mean(axis=0) * self._worth
        return np.asarray(self.value(hours) + self._pairs.by_drill(gained))


class WorstSaving:
    """Mean strokes a round in the worst fifth of the draws."""

    def __init__(self, returns: PracticeReturns, drills: Sequence[Drill]) -> None:
        self._returns = returns
        self._pairs = _Pairs(returns, drills)
        self._worth = returns.saved[:, self._pairs.part]

    def value(self, hours: FloatArray) -> float:
        """Strokes a round."""
        return float(worst_mean(self._returns.savings(self._pairs.part_hours(hours))))

    def after(self, hours: FloatArray, longer: FloatArray) -> FloatArray:
        """[drills] the value after each drill alone is held longer."""
        now = self._returns.savings(self._pairs.part_hours(hours))
        gained = self._pairs.by_drill(self._pairs.gained(hours, longer) * self._worth)
        return worst_mean(now[:, np.newaxis] + gained)
