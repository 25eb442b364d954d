"""From the program's hours to blocks that can be held: least blocks, then whole five minutes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from rangework.plan.hours_program import HoursProblem
from rangework.plan.limit_rows import TOLERANCE
from rangework.plan.linear_program import LinearProgram
from rangework.plan.objective import Objective

FloatArray = NDArray[np.float64]

STEP_MINUTES = 5
_STEP_HOURS = STEP_MINUTES / 60.0
#: A move of five minutes must gain this many strokes a round.
_LEAST_GAIN = 1e-6


def add_least_blocks(program: LinearProgram, problem: HoursProblem) -> None:
    """A drill is used for its least block or longer, or not at all."""
    for index, block in enumerate(problem.blocks):
        program.variable(f"used.{index}", binary=True)
        hours, used = f"hours.{index}", f"used.{index}"
        program.row(f"block.{index}", {hours: 1.0, used: -block}, ">=", 0.0)
        program.row(f"unused.{index}", {hours: 1.0, used: -max(problem.budget, block)}, "<=", 0.0)


class Rounding:
    """Brings hours to whole steps of five minutes, least blocks kept, and improves them by an objective.

    Least blocks are multiples of five minutes, so a drill in use stays at its block or above; every limit
    that the hours kept is kept.
    """

    def __init__(self, problem: HoursProblem, objective: Objective) -> None:
        self._blocks = problem.blocks
        self._objective = objective
        width = len(problem.drills)
        most = [row for row in problem.rows if row.sense == "<="]
        least = [row for row in problem.rows if row.sense == ">="]
        self._most = np.array([row.coefficients for row in most]).reshape(-1, width)
        self._most_bounds = np.array([row.bound for row in most]) + TOLERANCE
        self._least = np.array([row.coefficients for row in least]).reshape(-1, width)
        self._least_bounds = np.array([row.bound for row in least]) - TOLERANCE

    def feasible(self, hours: FloatArray) -> bool:
        """Whether the hours keep to every limit."""
        return self.within(hours) and bool((self._least @ hours >= self._least_bounds).all())

    def within(self, hours: FloatArray) -> bool:
        """Whether the hours keep to every limit that says at most."""
        return bool((self._most @ hours <= self._most_bounds).all())

    def in_five_minutes(self, hours: FloatArray, *, fixed: int | None = None) -> FloatArray:
        """The hours in steps of five minutes: down, then up again where the objective gains most an hour.

        The drill at index ``fixed`` gets no more.
        """
        rounded = np.floor(hours / _STEP_HOURS + 1e-6) * _STEP_HOURS
        while (best := self._best_step(rounded, fixed)) is not None:
            index, longer = best
            rounded[index] += longer
        return rounded

    def improved(self, hours: FloatArray) -> FloatArray:
        """The hours after moving five minutes, or whole blocks, to better drills while that gains."""
        best = self._objective.value(hours)
        while True:
            moved = [tried for tried in self._moves(hours) if self.feasible(tried)]
            values = [self._objective.value(tried) for tried in moved]
            if not values or max(values) <= best + _LEAST_GAIN:
                return hours
            best = max(values)
            hours = moved[values.index(best)]

    def _moves(self, hours: FloatArray) -> Iterator[FloatArray]:
        """From each drill in use five minutes taken, or all of it; then the room filled with the others."""
        for index in np.flatnonzero(hours > 0.0):
            for left in (0.0, hours[index] - _STEP_HOURS):
                if left == 0.0 or left >= self._blocks[index] - TOLERANCE:
                    taken = hours.copy()
                    taken[index] = left
                    yield self.in_five_minutes(taken, fixed=int(index))

    def _best_step(self, hours: FloatArray, fixed: int | None) -> tuple[int, float] | None:
        """The drill to hold longer, and by how much: five minutes, or the least block of one not in use."""
        longer = np.where(hours > 0.0, _STEP_HOURS, self._blocks)
        fits = (self._most @ hours)[:, np.newaxis] + self._most * longer <= self._most_bounds[:, np.newaxis]
        allowed = fits.all(axis=0)
        if fixed is not None:
            allowed[fixed] = False
        unmet = self._least @ hours < self._least_bounds
        if unmet.any():
            allowed &= (self._least[unmet] > 0.0).any(axis=0)
        if not allowed.any():
            return None
        gains = (self._objective.after(hours, longer) - self._objective.value(hours)) / longer
        best = int(np.where(allowed, gains, -np.inf).argmax())
        return (best, float(longer[best])) if unmet.any() or gains[best] > _LEAST_GAIN else None
