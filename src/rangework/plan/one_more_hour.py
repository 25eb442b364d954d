"""What one more hour a week would save, anywhere and at each place: prices, and a whole hour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import PLACES, Drill, Place, shares
from rangework.plan.hours_program import HoursProblem, Relaxed, solve_relaxed
from rangework.plan.limit_rows import LimitRow, available_drills, limit_rows
from rangework.plan.limits import Limits

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HourWorth:
    """Strokes a round: ``price`` per hour at the margin (the dual), ``whole_hour`` by an hour more.

    Returns diminish, so the whole hour saves at most about the price.
    """

    price: float
    whole_hour: float


@dataclass(frozen=True, slots=True)
class OneMoreHour:
    """One more hour at the best place, and at each place that has a drill."""

    any: HourWorth
    by_place: Mapping[Place, HourWorth]


def one_more_hour(
    problem: HoursProblem, relaxed: Relaxed, drills: Sequence[Drill], limits: Limits
) -> OneMoreHour:
    """What one more hour a week saves. ``drills`` may hold drills at places without hours yet."""
    by_place = {
        place: HourWorth(
            _place_price(problem, relaxed, drills, place),
            _whole_hour(problem, relaxed, drills, limits, place),
        )
        for place in PLACES
        if any(drill.place == place for drill in drills)
    }
    best = HourWorth(
        max(worth.price for worth in by_place.values()), max(worth.whole_hour for worth in by_place.values())
    )
    return OneMoreHour(best, by_place)


def _place_price(problem: HoursProblem, relaxed: Relaxed, drills: Sequence[Drill], place: str) -> float:
    """The best drill's worth at the margin, less what it takes of the limits that are not on hours."""
    here = [drill for drill in drills if drill.place == place]
    worth = shares(here) @ relaxed.part_prices - _other_limits(problem, relaxed, here)
    room = sum(relaxed.row_prices[row.name] * row.per_hour for row in problem.rows if not _is_budget(row))
    return max(0.0, float(worth.max())) + room


def _other_limits(problem: HoursProblem, relaxed: Relaxed, here: Sequence[Drill]) -> FloatArray:
    """[here] strokes that an hour costs through rows other than the hours of the week.

    Rows cover only drills that the week can use; a drill at a new place pays for the swings it would take.
    """
    index = {drill.id: position for position, drill in enumerate(problem.drills)}
    cost = np.zeros(len(here))
    for position, drill in enumerate(here):
        for row in problem.rows:
            price = relaxed.row_prices[row.name] * (1.0 if row.sense == "<=" else -1.0)
            if _is_budget(row) or not price:
                continue
            if drill.id in index:
                cost[position] += price * float(row.coefficients[index[drill.id]])
            else:
                cost[position] += price * _coefficient_of(row, drill)
    return cost


def _coefficient_of(row: LimitRow, drill: Drill) -> float:
    if row.name.startswith("full_swings"):
        return drill.full_swings_per_hour
    if row.name == "junior_hours":
        return 1.0
    kind, _, part = row.name.partition(".")
    if kind == "variety":
        return float(max(drill.trains, key=lambda id_: drill.trains[id_]) == part)
    return drill.trains.get(part, 0.0) if kind == "least_part" else 0.0


def _is_budget(row: LimitRow) -> bool:
    return row.name == "hours" or row.name.startswith("hours.")


def _whole_hour(
    problem: HoursProblem, relaxed: Relaxed, drills: Sequence[Drill], limits: Limits, place: Place
) -> float:
    more = _with_hour(limits, place)
    available = available_drills(more, drills)
    rows = limit_rows(more, available)
    if limits.hours is not None:
        elsewhere = np.array([float(drill.place != place) for drill in available])
        rows = (*rows, LimitRow("hours.elsewhere", "hours elsewhere", "h", elsewhere, "<=", limits.hours))
    again = solve_relaxed(HoursProblem(available, problem.returns, rows, more.budget))
    return max(0.0, again.value - relaxed.value)


def _with_hour(limits: Limits, place: Place) -> Limits:
    if limits.hours is not None:
        return replace(limits, hours=limits.hours + 1.0)
    by_place = dict(limits.hours_by_place)
    by_place[place] = by_place.get(place, 0.0) + 1.0
    return replace(limits, hours_by_place=by_place)
