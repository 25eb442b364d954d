"""No plan breaks a rule, whatever the days; and each rule binds: without it the same week breaks it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from week_cases import ALL_DAY, Case, faults

from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.linear_program import InfeasibleProgramError
from rangework.plan.week import offers, program
from rangework.plan.week.rows import Row, WeekProblem, week_rows

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
LIT = ("[]", '["range"]', '["range", "putting_green"]')
PLACES = ("range", "short_game_area", "putting_green", "course", "home")


@st.composite
def weeks(draw: st.DrawFn) -> Case:
    lines = ['time_zone = "Europe/London"', f'daylight = "07:00-{draw(st.integers(15, 21))}:30"']
    lines.append("lit = " + draw(st.sampled_from(LIT)))
    for day in DAYS:
        lines.append(f"[usual.{day}]")
        start = draw(st.integers(8, 18))
        for _ in range(draw(st.integers(0, 2))):
            length = draw(st.sampled_from([25, 40, 75, 120, 200]))
            places = draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=3, unique=True))
            end = min(60 * start + length, 24 * 60 - 1)
            lines.append(
                f'"{start}:00-{end // 60}:{end % 60:02d}" = {str(list(places)).replace(chr(39), chr(34))}'
            )
            start = end // 60 + 1
            if start > 21:
                break
        if draw(st.booleans()):
            lines.append(f'duties = ["{draw(st.integers(8, 20))}:15-21:00"]')
        if draw(st.integers(0, 5)) == 0:
            lines.append('practice_round = "13:00-17:00"')
        if draw(st.integers(0, 6)) == 0:
            lines.append("rest = true")
    return Case(
        "\n".join(lines),
        count=draw(st.integers(1, 10)),
        age=draw(st.sampled_from([None, 12, 15, 40, 70])),
        usual_hours=draw(st.sampled_from([None, 2.0, 6.0, 12.0])),
        usual_swings=draw(st.sampled_from([None, 80, 300])),
    )


@settings(max_examples=15)
@given(weeks())
def test_no_plan_breaks_a_rule(case: Case) -> None:
    plan = case.plan()
    assert faults(case, plan) == set()
    assert plan.gap <= 0.01
    assert plan.strokes_saved.value <= plan.bound + 1e-9 <= plan.relaxed + 2e-9


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Lays a case without the limits of some groups."""

    def lay(case: Case, *groups: str) -> set[str]:
        def fewer(problem: WeekProblem) -> tuple[Row, ...]:
            return tuple(row for row in week_rows(problem) if row.group not in groups)

        monkeypatch.setattr(program, "week_rows", fewer)
        broken = faults(case, case.plan())
        monkeypatch.setattr(program, "week_rows", week_rows)
        return broken

    return lay


FIRST_DAYS = "\n".join(ALL_DAY.split("\n")[:1] + ALL_DAY.split("\n")[-4:])


def chosen(*ids: str) -> tuple[Drill, ...]:
    return tuple(drill for drill in drill_catalogue() if drill.id in ids)


PUTTS_AND_LIES = chosen("putts_through_a_gate", "tight_lies", "pace_to_five_lengths")
FREE = {"usual_hours": None, "usual_swings": 4000}
RANGE_ONLY = ALL_DAY.replace(', "putting_green", "short_game_area", "home"', "")
RULES: list[tuple[Case, Sequence[str], str]] = [
    (Case(RANGE_ONLY, **FREE, swings_a_day=30), ["full swings a day"], "swings a day"),  # type: ignore[arg-type]
    (Case(RANGE_ONLY, **FREE), ["full swings a week"], "swings a week"),  # type: ignore[arg-type]
    (Case(**FREE), ["rest days"], "rest"),  # type: ignore[arg-type]
    (Case(usual_swings=None), ["taper"], "taper hours"),
    (Case(RANGE_ONLY, usual_hours=None), ["taper"], "taper swings"),
    (Case(usual_hours=14.0), ["light last day"], "last day"),
    (Case(drills=PUTTS_AND_LIES, usual_swings=None), ["variety"], "variety"),
    (
        Case(
            FIRST_DAYS,
            drills=chosen("pace_to_five_lengths", "pitches_five_yards_apart", "tight_lies"),
            usual_hours=None,
        ),
        ["blocked early"],
        "random early",
    ),
]


@pytest.mark.parametrize(("case", "groups", "broken"), RULES, ids=[rule[2] for rule in RULES])
def test_each_limit_binds(case: Case, groups: Sequence[str], broken: str, without: Any) -> None:
    assert faults(case, case.plan()) == set()
    assert broken in without(case, *groups)


def test_last_days_need_their_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    case = Case(
        count=3, usual_hours=20.0, usual_swings=None, drills=chosen("tight_lies", "brush_past_the_line")
    )
    assert case.plan().sessions == ()
    monkeypatch.setattr(offers, "allowed", lambda *_: True)
    assert {"technical change", "blocked late"} <= faults(case, case.plan())


def test_sessions_need_their_warm_up_and_half_an_hour(monkeypatch: pytest.MonkeyPatch) -> None:
    def blocks(window: str) -> list[int]:
        case = Case(f'time_zone = "UTC"\n[usual.monday]\n"{window}" = ["putting_green"]\n')
        return [block.minutes for session in case.plan().sessions for block in session.blocks]

    assert blocks("09:00-09:25") == []
    monkeypatch.setattr(program, "LEAST_SESSION_MINUTES", 0)
    assert blocks("09:00-09:25") == [15]
    assert blocks("09:00-09:20") == []
    monkeypatch.setattr(program, "WARM_UP_MINUTES", 0)
    monkeypatch.setattr(offers, "WARM_UP_MINUTES", 0)
    assert blocks("09:00-09:20") == [15]


def test_at_dusk_one_place_goes_on_and_none_is_come_back_to(monkeypatch: pytest.MonkeyPatch) -> None:
    text = (
        'time_zone = "UTC"\ndaylight = "07:00-17:30"\nlit = ["range", "putting_green"]\n[usual.monday]\n'
        '"16:00-19:30" = ["range", "putting_green", "short_game_area"]'
    )
    case = Case(text, usual_hours=None, usual_swings=None)
    plan = case.plan()
    assert faults(case, plan) == set()
    assert plan.sessions[0].span.end > 17 * 60 + 30 > plan.sessions[0].span.start
    problem = case.problem()

    def both_places_on_both_sides(places: Sequence[str]) -> None:
        rows = [
            Row(f"{place}.{stretch}", "", "", "", {
                f"used.{offer.index}": 1.0
                for offer in problem.offers
                if offer.stretch == stretch and offer.drill.place == place
            }, ">=", 1.0)
            for place in places
            for stretch in (0, 1)
        ]  # fmt: skip
        program.week_program(problem, rows).solve()

    both_places_on_both_sides(["range"])
    with pytest.raises(InfeasibleProgramError):
        both_places_on_both_sides(["range", "putting_green"])
    monkeypatch.setattr(program._Session, "_leave_places_once", lambda _: None)
    both_places_on_both_sides(["range", "putting_green"])


def test_dark_and_heat_close_places() -> None:
    hot = ALL_DAY + "\n[day.2026-09-28]\nheat_wbgt_c = {}\n"
    assert [day.heat for day in Case(hot.format(29)).days()][2] == "half"
    assert [day.heat for day in Case(hot.format(29), age=12).days()][2] == "closed"
    closed = Case(hot.format(31)).days()[2]
    assert closed.date == date(2026, 9, 28)
    assert {place for window in closed.windows for part in window.stretches for place in part.places} == {
        "home"
    }
    case = Case(hot.format(29), usual_hours=None, usual_swings=None)
    outdoors = {row.name: row.bound for row in week_rows(case.problem()) if row.group == "rest in the heat"}
    assert outdoors == {"heat.2026-09-28": 120.0}


def test_a_taper_keeps_its_days_its_pace_and_its_rehearsal(monkeypatch: pytest.MonkeyPatch) -> None:
    case = Case(usual_days=5, usual_swings=200)
    plan = case.plan()
    last = [b.drill for day in plan.days[-3:] for s in day.sessions for b in s.blocks]
    assert sum(bool(day.sessions) for day in plan.days) >= 4
    assert {"tee_shots_as_played", "a_new_target_every_ball"} & set(last)
    assert "pace_to_five_lengths" in last
    assert sum(day.full_swings for day in plan.days) >= 0.4 * 200 - 1
    needed = {row.group: row for row in week_rows(case.problem()) if row.sense == ">="}
    assert {"frequency", "pace", "rehearsal", "intensity"} <= set(needed)
    kept = ("taper", "full swings a week", "full swings a day")

    def none(problem: WeekProblem) -> tuple[Row, ...]:
        return tuple(row for row in week_rows(problem) if row.group in kept)

    monkeypatch.setattr(program, "week_rows", none)
    free = case.plan()
    few_days = sum(bool(day.sessions) for day in free.days) < 4
    few_swings = sum(day.full_swings for day in free.days) < 0.4 * 200 - 1
    assert few_days or few_swings


def test_what_the_coach_asks_for_is_there() -> None:
    assert "tight_lies" not in {b.drill for s in Case().plan().sessions for b in s.blocks}
    plan = Case(by_drill={"tight_lies": 0.5}).plan()
    assert sum(b.minutes for s in plan.sessions for b in s.blocks if b.drill == "tight_lies") >= 30


def test_fast_sets_come_at_most_twice_a_week() -> None:
    drills = tuple(
        drill for drill in drill_catalogue() if drill.id in ("driver_fast_sets", "putts_on_a_carpet")
    )
    case = Case(event=False, usual_hours=None, usual_swings=None, drills=drills)
    held = [b.drill for s in case.plan().sessions for b in s.blocks]
    assert held.count("driver_fast_sets") == 2
    longer = tuple(row for row in week_rows(case.problem()) if row.group != "how often")
    assert len(longer) < len(week_rows(case.problem()))


def test_eight_weeks_build_sharpen_and_taper() -> None:
    case = Case(
        count=56, drills=tuple(d for d in drill_catalogue() if d.id in ("putts_through_a_gate", "tight_lies"))
    )
    plan = case.plan()
    assert [week.phase for week in plan.weeks] == ["build"] * 3 + ["sharpen"] * 3 + ["taper"] * 2
    most = {"build": 1.3, "sharpen": 1.0, "taper": 0.59}
    for week in plan.weeks:
        assert week.minutes <= most[week.phase] * 360 + 1e-6
    assert plan.weeks[0].minutes > 360
    assert plan.gap <= 0.01
