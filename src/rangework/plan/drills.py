"""Drills: what each trains, where, at how many balls and swings an hour."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from rangework.skill.parts import PART_IDS

Place = Literal["range", "short_game_area", "putting_green", "course", "home"]
PLACES: tuple[Place, ...] = get_args(Place)
Purpose = Literal["development", "calibration"]
PURPOSES: tuple[Purpose, ...] = get_args(Purpose)
Order = Literal["blocked", "random", "either"]
ORDERS: tuple[Order, ...] = get_args(Order)
#: Chance that a drill does nothing for a player (assumption.plan.useless_drills).
CHANCE_USELESS = 0.15


@dataclass(frozen=True, slots=True)
class Drill:
    """A way to practise.

    ``trains`` maps a part to the share of an hour that acts on it (shares sum to at most 1: fetching balls
    and resting train nothing). ``least_block_minutes`` is the shortest block worth starting, a multiple of 5.
    The rest matters to a week before an event: a ``purpose`` of calibration tunes what is there (start line, pace,
    aim, distances) and is allowed to the end, ``order`` says whether balls repeat one task or change,
    ``most_a_week`` are sessions, and ``rehearses_course`` marks shots played as a course asks for them.
    ``chance_useless`` is the chance that it does nothing for a player.
    """

    id: str
    name: str
    place: Place
    trains: Mapping[str, float]
    balls_per_hour: float
    full_swings_per_hour: float
    least_block_minutes: int
    equipment: str = ""
    how: str = ""
    cautions: tuple[str, ...] = field(default=())
    purpose: Purpose = "development"
    order: Order = "either"
    most_a_week: int = 7
    rehearses_course: bool = False
    chance_useless: float = CHANCE_USELESS


def shares(drills: Sequence[Drill]) -> NDArray[np.float64]:
    """[drills, parts] share of an hour of each drill that acts on each part, in the order of ``PARTS``."""
    return np.array([[drill.trains.get(part, 0.0) for part in PART_IDS] for drill in drills]).reshape(
        len(drills), len(PART_IDS)
    )


@cache
def drill_catalogue() -> tuple[Drill, ...]:
    """The drills that come with rangework."""
    from rangework.plan.drill_file import parse_drills

    text = files("rangework.plan").joinpath("drills.toml").read_text("utf-8")
    return parse_drills(text, "drills.toml").drills


def untrained_parts(drills: Iterable[Drill], places: Iterable[str] = PLACES) -> dict[str, tuple[str, ...]]:
    """By place, the parts that no drill there trains: hours there cannot change them."""
    trained: dict[str, set[str]] = {place: set() for place in places}
    for drill in drills:
        if drill.place in trained:
            trained[drill.place].update(drill.trains)
    return {place: tuple(part for part in PART_IDS if part not in had) for place, had in trained.items()}
