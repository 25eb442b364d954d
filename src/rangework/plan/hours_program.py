"""The hours problem as a program: concave returns in segments, limits as rows, drills' hours as variables."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill, shares
from rangework.plan.limit_rows import LimitRow
from rangework.plan.linear_program import LinearProgram, Solution
from rangework.plan.returns import PracticeReturns

FloatArray = NDArray[np.float64]

#: Segments of every part's return; the chords fall short of the curve by less than 0.1 % of a saving.
SEGMENTS = 40


@dataclass(frozen=True, slots=True)
class HoursProblem:
    """Drills, what their hours return, and the rows that the hours keep to."""

    drills: tuple[Drill, ...]
    returns: PracticeReturns
    rows: tuple[LimitRow, ...]
    budget: float

    @property
    def acting(self) -> FloatArray:
        """[drills, parts] share of an hour that acts on each part: on average, where some drills may not work.

        The program knows no more of them (see ``reach``). Blocks and minutes are moved by the draws themselves.
        """
        return np.asarray(self.returns.acting(self.drills).mean(axis=0))

    @property
    def reach(self) -> FloatArray:
        """[parts] chance that a drill for the part works, over the drills as they train it.

        A part's return is taken to be that of one drill, which works or not: several hedge, so it is a little more.
        """
        whole = shares(self.drills).sum(axis=0)
        chance = np.divide(self.acting.sum(axis=0), whole, out=np.ones_like(whole), where=whole > 0.0)
        return np.asarray(chance.clip(1e-3))

    def part_hours(self, hours: FloatArray) -> FloatArray:
        """[draws, parts] effective hours a week; [1, parts] where every drill works."""
        return np.asarray(hours @ self.returns.acting(self.drills))

    def saving(self, hours: FloatArray) -> float:
        """Expected strokes a round at the end of the horizon against today."""
        return self.returns.expected_saving(self.part_hours(hours))

    @property
    def blocks(self) -> FloatArray:
        """[drills] hours of the shortest block worth starting."""
        return np.array([drill.least_block_minutes / 60.0 for drill in self.drills])


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The linear program's own answer, before least blocks and five-minute steps.

    ``part_prices``: strokes saved by one more effective hour of each part; ``row_prices`` by one more unit of
    each limit. ``dual_value`` is the bound that these prices prove; it equals ``value`` at the optimum.
    """

    hours: FloatArray
    value: float
    part_prices: FloatArray
    row_prices: dict[str, float]
    dual_value: float


@dataclass(frozen=True, slots=True)
class Segments:
    """Knots [parts, n + 1] of effective hours a week, common to every draw of a part."""

    knots: FloatArray

    @property
    def widths(self) -> FloatArray:
        """[parts, n] hours that each segment spans."""
        return np.diff(self.knots, axis=1)


def segments(problem: HoursProblem, count: int = SEGMENTS) -> Segments:
    """Knots denser near 0, where returns bend, and one where maintenance is met."""
    largest = problem.budget * np.maximum(problem.acting.max(axis=0, initial=0.0), 1e-6)
    spread = np.linspace(0.0, 1.0, count) ** 2
    kink = np.minimum(problem.returns.responses.maintenance_hours_per_week * problem.reach, largest)
    return Segments(np.sort(np.column_stack([largest[:, np.newaxis] * spread, kink]), axis=1))


def solve_relaxed(problem: HoursProblem) -> Relaxed:
    """The linear program. Raises InfeasibleProgramError where the rows clash."""
    cut = segments(problem)
    slopes = mean_slopes(problem, cut)
    program = LinearProgram()
    add_drills(program, problem)
    add_segments(program, problem, cut, slopes)
    return _relaxed(problem, program.solve(), cut, slopes)


def mean_slopes(problem: HoursProblem, cut: Segments) -> FloatArray:
    """[parts, n] strokes an hour in each segment of the expected returns."""
    reach = problem.reach
    idle = problem.returns.mean_steps(np.zeros(len(reach)))
    steps = (reach * problem.returns.mean_steps(cut.knots.T / reach) + (1.0 - reach) * idle).T
    rise = np.diff(steps, axis=1) * problem.returns.mean_saved[:, np.newaxis]
    return np.asarray(np.divide(rise, cut.widths, out=np.zeros_like(rise), where=cut.widths > 1e-12))


def add_drills(program: LinearProgram, problem: HoursProblem) -> None:
    """A variable for the hours of each drill, and the rows that bind them."""
    for index in range(len(problem.drills)):
        program.variable(f"hours.{index}")
    for row in problem.rows:
        program.row(row.name, drill_terms(row.coefficients), row.sense, row.bound)


def drill_terms(coefficients: FloatArray) -> dict[str, float]:
    """Coefficients of the drills' hours, by the name of their variable."""
    return {f"hours.{index}": float(value) for index, value in enumerate(coefficients)}


def add_segments(
    program: LinearProgram, problem: HoursProblem, cut: Segments, slopes: FloatArray | None
) -> None:
    """A variable for each segment of each part; no part's segments hold more hours than reach the part.

    ``slopes`` go into the objective; None leaves that to the caller.
    """
    acting = problem.acting
    for part, widths in enumerate(cut.widths):
        for segment, width in enumerate(widths):
            cost = 0.0 if slopes is None else -float(slopes[part, segment])
            program.variable(segment_name(part, segment), high=float(width), cost=cost)
        used = {segment_name(part, segment): 1.0 for segment in range(len(widths))}
        program.row(f"part.{part}", used | drill_terms(-acting[:, part]), "<=", 0.0)


def segment_name(part: int, segment: int) -> str:
    """The variable of one segment."""
    return f"segment.{part}.{segment}"


def hours_of(problem: HoursProblem, solution: Solution) -> FloatArray:
    """[drills] hours a week in a solution."""
    return np.array([solution.values[f"hours.{index}"] for index in range(len(problem.drills))])


def _relaxed(problem: HoursProblem, solution: Solution, cut: Segments, slopes: FloatArray) -> Relaxed:
    none = float(problem.returns.mean_saving(np.zeros(len(slopes))))
    hours = hours_of(problem, solution)
    part_prices = np.array([solution.prices[f"part.{part}"] for part in range(len(slopes))])
    # where no hour reaches a part, nothing else holds its price down to what the first hour returns
    unused = hours @ problem.acting < 1e-12
    part_prices = np.where(unused, np.minimum(part_prices, slopes[:, 0]), part_prices)
    row_prices = {row.name: solution.prices[row.name] for row in problem.rows}
    rent = np.maximum(0.0, slopes - part_prices[:, np.newaxis]) * cut.widths
    limits = sum(
        (1.0 if row.sense == "<=" else -1.0) * row_prices[row.name] * row.bound for row in problem.rows
    )
    return Relaxed(
        hours=hours,
        value=none - solution.objective,
        part_prices=part_prices,
        row_prices=row_prices,
        dual_value=none + float(limits) + float(rent.sum()),
    )
