"""Safety limits, who may lift them, and what is said with every plan."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.errors import InputError
from rangework.estimate import sources
from rangework.plan.cautions import ALWAYS, cautions, cautions_of_other_hours
from rangework.plan.drills import drill_catalogue
from rangework.plan.hours import allocate_hours
from rangework.plan.limits import (
    ADULT_SWINGS,
    CHILD_SWINGS,
    JUNIOR_SWINGS,
    SENIOR_SWINGS,
    Limits,
    safe_limits,
    safety_swings,
)
from rangework.plan.practice_plan import DrillHours
from rangework.plan.response import ResponseDraws

FloatArray = NDArray[np.float64]


@pytest.mark.parametrize(
    ("age", "expected"),
    [
        (None, ADULT_SWINGS),
        (12, CHILD_SWINGS),
        (13, JUNIOR_SWINGS),
        (17, JUNIOR_SWINGS),
        (18, ADULT_SWINGS),
        (64, ADULT_SWINGS),
        (65, SENIOR_SWINGS),
    ],
)
def test_swings_by_age(age: int | None, expected: object) -> None:
    assert safety_swings(age) == expected


def test_every_safety_number_has_a_source() -> None:
    for swings in (ADULT_SWINGS, SENIOR_SWINGS, JUNIOR_SWINGS, CHILD_SWINGS):
        source = sources()[swings.basis]
        assert {str(swings.per_day), str(swings.per_week)} <= set(re.findall(r"\d+", source.text))
        assert "no source" in source.status or "memory" in source.status


def test_a_day_has_a_working_days_hours() -> None:
    with pytest.raises(InputError, match="hours a practice day is '20'"):
        safe_limits(hours=60.0)
    with pytest.raises(InputError, match="hours a practice day"):
        safe_limits(hours_by_place={"range": 30.0, "home": 30.0})
    assert safe_limits(hours=24.0).budget == 24.0
    said = safe_limits(hours=60.0, exceed_safety=True).exceeds_safety
    assert said == ("20 hours a practice day (the safety limit is 8)",)


def test_juniors_practise_no_more_hours_than_years(saved: FloatArray, responses: ResponseDraws) -> None:
    """Jayanthi (AAP 2013, secondary): hours of sport a week no more than age in years."""
    limits = safe_limits(hours=20.0, age=9)
    assert limits.most_hours == 9.0
    plan = allocate_hours(saved, responses, drill_catalogue(), limits)
    assert sum(block.minutes for block in plan.hours) <= 9 * 60
    assert plan.binding[0].name == "junior_hours"
    assert sum(block.full_swings for block in plan.hours) <= CHILD_SWINGS.per_week + len(plan.hours)


def test_safety_limits_are_lifted_only_on_purpose() -> None:
    with pytest.raises(InputError) as caught:
        safe_limits(hours=5.0, full_swings_per_day=150, full_swings_per_week=400)
    assert len(caught.value.problems) == 2
    lifted = safe_limits(hours=5.0, full_swings_per_week=400, exceed_safety=True)
    assert lifted.full_swings_per_week == 400
    assert lifted.exceeds_safety == ("400 full swings a week (the safety limit is 200)",)
    assert safe_limits(hours=5.0, full_swings_per_week=80).exceeds_safety == ()
    junior = safe_limits(hours=15.0, age=10, practice_days=6, exceed_safety=True)
    assert len(junior.exceeds_safety) == 2
    assert junior.most_hours is None


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"hours": 3.0, "hours_by_place": {"range": 1.0}},
        {"hours": 0.0},
        {"hours": -1.0},
        {"hours": float("nan")},
        {"hours": float("inf")},
        {"hours": 200.0},
        {"hours_by_place": {"moon": 1.0}},
        {"hours_by_place": {"range": 0.0}},
        {"hours": 3.0, "practice_days": 0},
        {"hours": 3.0, "largest_share": 0.0},
        {"hours": 3.0, "full_swings_per_day": -1},
    ],
)
def test_impossible_weeks_are_input_errors(given: dict[str, object]) -> None:
    with pytest.raises(InputError):
        Limits(**given)  # type: ignore[arg-type]


def test_a_misspelt_place_is_recognised() -> None:
    with pytest.raises(InputError, match="putting_green"):
        Limits(hours_by_place={"puting_green": 2.0})


def test_cautions_come_with_every_plan(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = safe_limits(hours=6.0)
    plan = allocate_hours(saved, responses, drill_catalogue(), limits)
    said = cautions(plan, drill_catalogue(), limits)
    assert said[-len(ALWAYS) :] == ALWAYS
    words = " ".join(said).lower()
    for needed in ("10 minutes", "pain", "doctor", "lightning", "heat", "local rules"):
        assert needed in words
    speed = any(block.drill == "driver_fast_sets" for block in plan.hours)
    assert speed == ("fast swings load" in words)


def test_a_changed_week_has_the_cautions_of_its_own_drills() -> None:
    drills = drill_catalogue()
    speed = next(drill for drill in drills if "tee.carry" in drill.trains)
    calm = next(drill for drill in drills if not drill.cautions)
    one, other = (DrillHours(drill.id, drill.name, drill.place, 30, 10, 10) for drill in (calm, speed))
    added = cautions_of_other_hours(["Juniors: care.", *ALWAYS], [one], [other], drills)
    assert added == ("Juniors: care.", *(f"{speed.name}: {text}" for text in speed.cautions), *ALWAYS)
    assert cautions_of_other_hours(added, [other], [one], drills) == ("Juniors: care.", *ALWAYS)


def test_cautions_know_the_person_and_the_load(saved: FloatArray, responses: ResponseDraws) -> None:
    limits = safe_limits(hours=12.0, full_swings_per_week=400, exceed_safety=True)
    plan = allocate_hours(saved, responses, drill_catalogue(), limits)
    said = cautions(plan, drill_catalogue(), limits, age=70, usual_swings_per_week=20)
    assert said[0].startswith("Beyond the safety limit")
    assert any("build up" in text for text in said)
    assert any("12 hours a week" in text for text in said)
    assert any("grow with age" in text for text in said)
    calm = replace(limits, hours=6.0, exceeds_safety=())
    assert not any("hours a week is a lot" in text for text in cautions(plan, drill_catalogue(), calm))
    assert any("Juniors" in text for text in cautions(plan, drill_catalogue(), limits, age=14))
