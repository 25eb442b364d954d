"""From the program's hours to blocks that can be held: least blocks, then whole five minutes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from rangework.plan.hours_program import HoursProblem
from rangework.plan.linear_program import LinearProgram

FloatArray = NDArray[np.float64]

STEP_MINUTES = 5
_STEP_HOURS = STEP_MINUTES / 60.0


def add_least_blocks(program: LinearProgram, problem: HoursProblem) -> None:
    """A drill is used for its least block or longer, or not at all."""
    for index, drill in enumerate(problem.drills):
        program.variable(f"used.{index}", binary=True)
        hours, used = f"hours.{index}", f"used.{index}"
        block = drill.least_block_minutes / 60.0
        program.row(f"block.{index}", {hours: 1.0, used: -block}, ">=", 0.0)
        program.row(f"unused.{index}", {hours: 1.0, used: -max(problem.budget, block)}, "<=", 0.0)


def in_five_minutes(
    problem: HoursProblem, hours: FloatArray, value: Callable[[FloatArray], float]
) -> FloatArray:
    """The hours in whole steps of five minutes: down, then up again wherever ``value`` gains most.

    Least blocks are multiples of five minutes, so a drill in use stays at its block or above. Every limit
    that ``hours`` kept is kept.
    """
    rounded = np.floor(hours / _STEP_HOURS + 1e-6) * _STEP_HOURS
    while (step := _best_step(problem, rounded, value)) is not None:
        rounded = rounded + step
    return rounded


def _best_step(
    problem: HoursProblem, hours: FloatArray, value: Callable[[FloatArray], float]
) -> FloatArray | None:
    unmet = [row for row in problem.rows if row.sense == ">=" and not row.met(hours)]
    now = value(hours)
    best, best_gain = None, 1e-9
    for step in _steps(problem, hours):
        if unmet and not any(float(row.coefficients @ step) > 0.0 for row in unmet):
            continue
        if not all(row.met(hours + step) for row in problem.rows if row.sense == "<="):
            continue
        gain = (value(hours + step) - now) / float(step.sum()) + (1e3 if unmet else 0.0)
        if gain > best_gain:
            best, best_gain = step, gain
    return best


def _steps(problem: HoursProblem, hours: FloatArray) -> list[FloatArray]:
    """Five minutes more of a drill in use, or the least block of one that is not."""
    unit = np.eye(len(problem.drills))
    return [
        unit[index] * (_STEP_HOURS if hours[index] > 0.0 else drill.least_block_minutes / 60.0)
        for index, drill in enumerate(problem.drills)
    ]
