"""When no week meets every limit: which clash, and by how much."""

from __future__ import annotations

import numpy as np

from rangework.errors import NoFeasiblePlanError
from rangework.plan.hours_program import HoursProblem, drill_terms
from rangework.plan.limit_rows import LimitRow
from rangework.plan.linear_program import LinearProgram, Solution
from rangework.plan.rounding import add_least_blocks

_SMALL = 1e-6


def clash_of(problem: HoursProblem, *, blocks: bool) -> NoFeasiblePlanError:
    """The error for a problem without a plan: the least that limits must give, in all, for a plan to exist.

    Every limit may be broken at a price of one per hour (swings at the drills' swings an hour); the program
    pays the least. ``blocks``: whether least blocks are part of the clash.
    """
    program = LinearProgram()
    for index in range(len(problem.drills)):
        program.variable(f"hours.{index}")
    for row in problem.rows:
        _add_elastic(program, row)
    if blocks:
        add_least_blocks(program, problem)
    return NoFeasiblePlanError(_messages(problem, program.solve(), blocks=blocks))


def _add_elastic(program: LinearProgram, row: LimitRow) -> None:
    broken = f"broken.{row.name}"
    program.variable(broken, cost=1.0 / max(float(np.abs(row.coefficients).max(initial=0.0)), 1e-3))
    give = -1.0 if row.sense == "<=" else 1.0
    program.row(row.name, drill_terms(row.coefficients) | {broken: give}, row.sense, row.bound)


def _messages(problem: HoursProblem, solution: Solution, *, blocks: bool) -> list[str]:
    broken = {row.name: solution.values[f"broken.{row.name}"] for row in problem.rows}
    messages = [_broken(row, broken[row.name]) for row in problem.rows if broken[row.name] > _SMALL]
    messages += [
        f"{row.text}: {_bound(row)}; it stands against the others"
        for row in problem.rows
        if broken[row.name] <= _SMALL and solution.prices[row.name] > _SMALL
    ]
    if blocks:
        messages.append("the least useful blocks of the drills leave too little room")
    return messages


def _broken(row: LimitRow, amount: float) -> str:
    needed = row.bound + amount if row.sense == "<=" else row.bound - amount
    word = "needed" if row.sense == "<=" else "possible"
    less = "too much" if row.sense == "<=" else "too little"
    return f"{row.text}: {_bound(row)}, {needed:.2f} {word}: {amount:.2f} {row.unit} {less}"


def _bound(row: LimitRow) -> str:
    return f"{'at most' if row.sense == '<=' else 'at least'} {row.bound:g} {row.unit}"
