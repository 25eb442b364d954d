"""A facility's hours go where they save most, and the price of a place is what one more hour there saves."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.plan.drills import drill_catalogue
from rangework.plan.hours_program import HoursProblem, solve_relaxed
from rangework.plan.limit_rows import available_drills, limit_rows
from rangework.plan.limits import Limits
from rangework.plan.linear_program import InfeasibleProgramError
from rangework.plan.response import ResponseDraws
from rangework.plan.returns import pair_draws
from rangework.plan.sharing import Week, share_hours, week_of

FloatArray = NDArray[np.float64]


@pytest.fixture
def problem(saved: FloatArray, responses: ResponseDraws) -> HoursProblem:
    return problem_of(saved, responses, Limits(hours=6.0))


def problem_of(saved: FloatArray, responses: ResponseDraws, limits: Limits) -> HoursProblem:
    drills = available_drills(limits, drill_catalogue())
    return HoursProblem(drills, pair_draws(saved, responses, 8.0), limit_rows(limits, drills), limits.budget)


@pytest.fixture
def players(saved: FloatArray, responses: ResponseDraws) -> list[Week]:
    worse = saved * np.linspace(0.5, 2.0, saved.shape[1])
    limits = Limits(hours=5.0)
    return [week_of(problem_of(each, responses, limits)) for each in (saved, worse, 1.5 * saved)]


def test_room_for_all_gives_each_their_own_plan(problem: HoursProblem) -> None:
    shared = share_hours([week_of(problem)] * 3, {"range": 100.0, "short_game_area": 100.0})
    own = solve_relaxed(problem)
    assert shared.saved == pytest.approx([own.value] * 3, rel=0.012)
    assert shared.scarce is None
    assert shared.prices == pytest.approx({"range": 0.0, "short_game_area": 0.0}, abs=1e-9)
    assert sum(shared.hours[0].values()) == pytest.approx(6.0)


def test_the_price_is_what_one_more_hour_saves(players: list[Week]) -> None:
    capacity = {"range": 1.5, "short_game_area": 50.0}
    shared = share_hours(players, capacity)
    more, less = (
        sum(share_hours(players, capacity | {"range": 1.5 + change}).saved) - sum(shared.saved)
        for change in (0.01, -0.01)
    )
    assert shared.scarce == "range"
    assert more / 0.01 <= shared.prices["range"] + 1e-6
    assert -less / 0.01 >= shared.prices["range"] - 1e-6
    assert shared.prices["range"] > 0.001
    assert shared.used["range"] == pytest.approx(1.5)
    assert sum(hours.get("range", 0.0) for hours in shared.hours) <= 1.5 + 1e-7


def test_scarce_hours_go_to_those_who_gain_most(players: list[Week]) -> None:
    """The order of the players makes no difference, and whoever gains half as much again gets no less."""
    there = share_hours(players, {"range": 1.0})
    back = share_hours(players[::-1], {"range": 1.0})
    assert sum(there.saved) == pytest.approx(sum(back.saved))
    assert there.hours[2].get("range", 0.0) >= there.hours[0].get("range", 0.0) - 1e-7


def test_a_closed_place_and_too_much_asked_for(saved: FloatArray, responses: ResponseDraws) -> None:
    drill = next(drill for drill in drill_catalogue() if drill.place == "range")
    asked = week_of(problem_of(saved, responses, Limits(hours=5.0, least_hours_by_drill={drill.id: 1.0})))
    free = week_of(problem_of(saved, responses, Limits(hours=5.0)))
    assert "range" not in share_hours([free], {"range": 0.0}).hours[0]
    with pytest.raises(InfeasibleProgramError):
        share_hours([asked, asked], {"range": 1.9})
    assert share_hours([asked, asked], {"range": 2.1}).used["range"] >= 2.0 - 1e-7
