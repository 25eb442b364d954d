"""One facility's hours shared among many players, so that all together save most: a linear program.

Every player brings their own week (limits, drills, returns) as for a single plan; what binds them together is how
many hours a week each place has for all. The dual of such a row is what one more hour there would save: it names the
scarce place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.plan.hours_program import HoursProblem, mean_slopes, segments
from rangework.plan.limit_rows import LimitRow
from rangework.plan.linear_program import LinearProgram, Solution

FloatArray = NDArray[np.float64]

#: Segments of every part's return. Chords of 16 fall short of those of 40 by about 1 % of a saving or less.
SHARED_SEGMENTS = 16
#: A saving an hour below this is nothing: the segment is left out.
_LEAST_SLOPE = 1e-6


@dataclass(frozen=True, slots=True)
class Week:
    """A player's week as the shared program needs it.

    ``places``: of each drill; ``acting`` [drills, parts]; ``widths`` and ``slopes`` [parts, segments]: hours, and
    strokes an hour; ``idle``: strokes saved without practice (negative: fading).
    """

    places: tuple[str, ...]
    acting: FloatArray
    rows: tuple[LimitRow, ...]
    widths: FloatArray
    slopes: FloatArray
    idle: float


@dataclass(frozen=True, slots=True)
class SharedHours:
    """Who gets which hours. By player, in the order given: hours a week by place, and strokes a round saved.

    ``prices``: what one more hour a week at a place would save, strokes a round of all players together;
    ``used``: hours of each place that are given away.
    """

    hours: tuple[Mapping[str, float], ...]
    saved: tuple[float, ...]
    prices: Mapping[str, float]
    used: Mapping[str, float]

    @property
    def scarce(self) -> str | None:
        """The place where one more hour saves most; None where no place is short."""
        short = {place: price for place, price in self.prices.items() if price > _LEAST_SLOPE}
        return max(short, key=lambda place: short[place]) if short else None


def week_of(problem: HoursProblem) -> Week:
    """What the shared program needs of one player's hours problem."""
    cut = segments(problem, SHARED_SEGMENTS)
    return Week(
        places=tuple(drill.place for drill in problem.drills),
        acting=problem.acting,
        rows=problem.rows,
        widths=cut.widths,
        slopes=mean_slopes(problem, cut),
        idle=float(problem.returns.mean_saving(np.zeros(problem.acting.shape[1]))),
    )


def share_hours(weeks: Sequence[Week], capacity: Mapping[str, float]) -> SharedHours:
    """The hours of the places in ``capacity`` (a week, all players together) shared so that all save most.

    Other places are as free as each player's own limits leave them. Raises InfeasibleProgramError where what was
    asked for every player needs more than there is.
    """
    program = LinearProgram()
    for number, week in enumerate(weeks):
        _add_week(program, number, week)
    for place, available in capacity.items():
        program.row(f"capacity.{place}", _hours_at(place, weeks), "<=", available)
    solution = program.solve()
    by_place = tuple(_by_place(week, _hours(solution, number, week)) for number, week in enumerate(weeks))
    return SharedHours(
        hours=by_place,
        saved=tuple(_saved(solution, number, week) for number, week in enumerate(weeks)),
        prices={place: solution.prices[f"capacity.{place}"] for place in capacity},
        used={place: sum(each.get(place, 0.0) for each in by_place) for place in capacity},
    )


def _add_week(program: LinearProgram, number: int, week: Week) -> None:
    for drill in range(len(week.places)):
        program.variable(f"{number}.hours.{drill}")
    for row in week.rows:
        program.row(f"{number}.{row.name}", _terms(number, row.coefficients), row.sense, row.bound)
    for part, slopes in enumerate(week.slopes):
        used = {}
        for segment in np.flatnonzero(slopes > _LEAST_SLOPE).tolist():
            name = _segment(number, part, segment)
            program.variable(name, high=float(week.widths[part, segment]), cost=-float(slopes[segment]))
            used[name] = 1.0
        if used:
            reach = _terms(number, -week.acting[:, part])
            program.row(f"{number}.part.{part}", used | reach, "<=", 0.0)


def _terms(number: int, coefficients: FloatArray) -> dict[str, float]:
    return {f"{number}.hours.{drill}": float(value) for drill, value in enumerate(coefficients) if value}


def _segment(number: int, part: int, segment: int) -> str:
    return f"{number}.segment.{part}.{segment}"


def _hours_at(place: str, weeks: Sequence[Week]) -> dict[str, float]:
    return {
        f"{number}.hours.{drill}": 1.0
        for number, week in enumerate(weeks)
        for drill, where in enumerate(week.places)
        if where == place
    }


def _hours(solution: Solution, number: int, week: Week) -> FloatArray:
    return np.array([solution.values[f"{number}.hours.{drill}"] for drill in range(len(week.places))])


def _by_place(week: Week, hours: FloatArray) -> dict[str, float]:
    by_place: dict[str, float] = {}
    for place, spent in zip(week.places, hours.tolist(), strict=True):
        if spent > 1e-9:
            by_place[place] = by_place.get(place, 0.0) + spent
    return by_place


def _saved(solution: Solution, number: int, week: Week) -> float:
    gained = sum(
        float(week.slopes[part, segment]) * solution.values[_segment(number, part, segment)]
        for part, segment in np.argwhere(week.slopes > _LEAST_SLOPE).tolist()
    )
    return week.idle + float(gained)
