"""The limits of a week as rows over the drills' hours, for programs, rounding and messages alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.plan.drills import Drill, shares
from rangework.plan.limits import Limits
from rangework.plan.linear_program import Sense
from rangework.skill.parts import PART_BY_ID, PART_IDS

FloatArray = NDArray[np.float64]
TOLERANCE = 1e-7


@dataclass(frozen=True, slots=True)
class LimitRow:
    """``coefficients @ hours`` (hours a week of each drill) ``<=`` or ``>=`` ``bound``, named for a reader.

    ``per_hour`` is how far the bound moves with one more hour of the week.
    """

    name: str
    text: str
    unit: str
    coefficients: FloatArray
    sense: Sense
    bound: float
    per_hour: float = 0.0


def limit_rows(limits: Limits, drills: Sequence[Drill]) -> tuple[LimitRow, ...]:
    """Every limit on the hours of ``drills``. Raises InputError for an unknown drill or part."""
    _check_names(limits, drills)
    return (
        *_hours_rows(limits, drills),
        *_swing_rows(limits, drills),
        *_variety_rows(limits, drills),
        *_least_rows(limits, drills),
    )


def available_drills(limits: Limits, drills: Sequence[Drill]) -> tuple[Drill, ...]:
    """The drills at places that the week has hours for."""
    if limits.hours is not None:
        return tuple(drills)
    return tuple(drill for drill in drills if limits.hours_by_place.get(drill.place, 0.0) > 0.0)


def _check_names(limits: Limits, drills: Sequence[Drill]) -> None:
    known = {drill.id for drill in drills}
    problems = [
        Problem("limits", "least_hours_by_drill", name, "a drill of this week's places")
        for name in limits.least_hours_by_drill
        if name not in known
    ]
    problems += [
        Problem("limits", "least_hours_by_part", name, "a part of the game")
        for name in limits.least_hours_by_part
        if name not in PART_BY_ID
    ]
    if problems:
        raise InputError(problems)


def _hours_rows(limits: Limits, drills: Sequence[Drill]) -> list[LimitRow]:
    everywhere = np.ones(len(drills))
    if limits.hours is not None:
        rows = [LimitRow("hours", "hours a week", "h", everywhere, "<=", limits.hours, per_hour=1.0)]
    else:
        rows = [
            LimitRow(
                f"hours.{place}",
                f"hours at the {place.replace('_', ' ')}",
                "h",
                _at(place, drills),
                "<=",
                hours,
            )
            for place, hours in limits.hours_by_place.items()
            if hours > 0.0
        ]
    if limits.most_hours is not None:
        text = "hours a week for a junior (age in years)"
        rows.append(LimitRow("junior_hours", text, "h", everywhere, "<=", limits.most_hours))
    return rows


def _at(place: str, drills: Sequence[Drill]) -> FloatArray:
    return np.array([float(drill.place == place) for drill in drills])


def _swing_rows(limits: Limits, drills: Sequence[Drill]) -> list[LimitRow]:
    swings = np.array([drill.full_swings_per_hour for drill in drills])
    if not swings.any():
        return []
    days = limits.practice_days
    by_day = f"full swings a day ({limits.full_swings_per_day}) over {days} practice days"
    return [
        LimitRow(
            "full_swings_per_week",
            "full swings a week",
            "full swings",
            swings,
            "<=",
            float(limits.full_swings_per_week),
        ),
        LimitRow(
            "full_swings_per_day",
            by_day,
            "full swings",
            swings,
            "<=",
            float(limits.full_swings_per_day * days),
        ),
    ]


def _variety_rows(limits: Limits, drills: Sequence[Drill]) -> list[LimitRow]:
    # by main part, not by drill: a drill under a second name must not buy more room
    main = [max(drill.trains, key=lambda part: drill.trains[part]) for drill in drills]
    parts = tuple(dict.fromkeys(main))
    # fewer parts than the share needs must still be able to fill the hours
    share = max(limits.largest_share, 1.0 / max(1, len(parts)))
    if share >= 1.0:
        return []
    return [_variety_row(part, share, limits.budget, drills, main) for part in parts]


def _variety_row(
    part: str, share: float, budget: float, drills: Sequence[Drill], main: Sequence[str]
) -> LimitRow:
    # a short week must still have room for one block
    block = min(
        drill.least_block_minutes for drill, trained in zip(drills, main, strict=True) if trained == part
    )
    room = max(share * budget, block / 60.0)
    return LimitRow(
        f"variety.{part}",
        f"hours on drills for {PART_BY_ID[part].name} ({share:.0%} of the week's, or one block)",
        "h",
        np.array([float(trained == part) for trained in main]),
        "<=",
        room,
        per_hour=share if room > block / 60.0 else 0.0,
    )


def _least_rows(limits: Limits, drills: Sequence[Drill]) -> list[LimitRow]:
    ids = [drill.id for drill in drills]
    rows = [
        LimitRow(
            f"least_drill.{id_}",
            f"hours of {drills[ids.index(id_)].name!r} that were asked for",
            "h",
            np.eye(len(drills))[ids.index(id_)],
            ">=",
            hours,
        )
        for id_, hours in limits.least_hours_by_drill.items()
    ]
    acting = shares(drills)
    rows += [
        LimitRow(
            f"least_part.{part}",
            f"hours that act on {PART_BY_ID[part].name} that were asked for",
            "h",
            acting[:, PART_IDS.index(part)],
            ">=",
            hours,
        )
        for part, hours in limits.least_hours_by_part.items()
    ]
    return rows
