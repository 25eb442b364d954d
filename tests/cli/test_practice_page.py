"""The page of a kept plan: what to do this week, how, and what has been done of it; and the coach's own page."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape
from types import SimpleNamespace
from typing import Any

from rangework.cli.results import plain
from rangework.cli.roster.monday_pages import everybody_page
from rangework.cli.roster.practice_page import practice_page
from rangework.cli.roster.summary import again_text, changed_results
from rangework.estimate import Estimate
from rangework.plan.drills import drill_catalogue
from rangework.plan.payoff import Payoff
from rangework.plan.practice_plan import DrillHours
from rangework.plan.sharing import SharedHours
from rangework.roster.monday import Monday
from rangework.roster.planning import Planned
from rangework.roster.pooled_responses import PooledPart
from rangework.store import Practice
from rangework.store.plans import KeptPlan

DRILLS = {drill.id: drill for drill in drill_catalogue()}
PUTTS, CHIPS = DRILLS["long_putts_holed_out"], DRILLS["chips_to_a_landing_spot"]
SAVED = Estimate(0.8, 0.2, 1.9, "strokes", "data")
RESULTS: dict[str, Any] = {
    "weeks": 8.0,
    "estimates": {"strokes_saved": plain(SAVED)},
    "drills": [{"drill": PUTTS.id, "first_hour": 0.5, "low": 0.1, "high": 1.2, "chance_best": 0.4}],
    "cautions": ["Stop when it hurts."],
    "assumptions": [{"text": "A figure.", "status": "assumed here"}],
}
HOURS = tuple(DrillHours(drill.id, drill.name, drill.place, 45, 30, 0) for drill in (PUTTS, CHIPS))
PLAN = KeptPlan("2026-06-01T08:00:00", "Threlby", 0, 0.8, {}, RESULTS, "page", HOURS)


def text_of(page: str) -> str:
    return " ".join(unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)).split())


def test_the_week_comes_first_and_how_to_do_it() -> None:
    page = practice_page("Wren <b>", PLAN, [], drill_catalogue())
    text = text_of(page)
    assert text.index("This week: 1 h 30") < text.index(CHIPS.how) < text.index("Stop when it hurts")
    assert "Wren &lt;b&gt;" in page
    assert "about 0.8 strokes a round (0.2 to 1.9) after 8 weeks" in text
    assert f"{PUTTS.name} 0.50 0.10 to 1.20 40 %" in text
    assert "balls done" not in text
    assert "in this roster" not in text


def test_hours_done_and_a_lot_and_what_the_roster_taught_are_told() -> None:
    now = Estimate(1.0, 0.5, 2.0, "steps", "data")
    part = PooledPart("chip", 5, 30.0, 7, None, 0.5, now, Estimate(2.0, 1.0, 4.0, "times", "data"))
    results = {**RESULTS, "assigned": PUTTS.id, "practice_in_roster": plain({"players": 5, "parts": [part]})}
    plan = replace(PLAN, results=results, settings={"kind": "trial"})
    practice = [Practice("2026-06-02", PUTTS.id, 0.5, ""), Practice("2026-05-02", CHIPS.id, 0.5, "")]
    text = text_of(practice_page("Wren", plan, practice, drill_catalogue()))
    assert f"{PUTTS.name}: please do it as planned" in text
    assert f"{PUTTS.name} green 45 min 30 30 min" in text
    assert f"{CHIPS.name} short game 45 min 30 -" in text
    assert "chips (under 20 yd) 10 % less 5 to 19 5 % 7" in text


def test_a_week_without_hours_says_so() -> None:
    plan = replace(PLAN, hours=(), settings={"kind": "shared"})
    text = text_of(practice_page("Wren", plan, [], drill_catalogue()))
    assert "No hours of the facility are left this week." in text
    assert "(0.2 to 1.9)" not in text


def test_a_shared_week_brings_its_own_cautions() -> None:
    speed = next(drill for drill in drill_catalogue() if "tee.carry" in drill.trains)
    again = DrillHours(speed.id, speed.name, speed.place, 30, 30, 30)
    planned = Planned(1, "Wren", page="page", results=RESULTS, strokes_saved=SAVED, hours=HOURS)
    plan = SimpleNamespace(hours=(again,), strokes_saved=SAVED)
    week = Monday([planned], 0, {"range": 1.0}, again={1: plan})  # type: ignore[dict-item]
    text = " ".join(again_text(week, planned, drill_catalogue()).split())
    assert f"TAKE CARE in this week too - {speed.name}: {speed.cautions[0]}" in text
    told = changed_results(week, planned, drill_catalogue())["cautions_as_shared"]
    kept = replace(PLAN, results={**RESULTS, "cautions_as_shared": list(told)}, hours=(again,))
    page = text_of(practice_page("Wren", kept, [], drill_catalogue()))
    assert speed.cautions[0] in page
    assert "Stop when it hurts." in page


def test_the_coach_sees_everybody() -> None:
    payoff = Payoff(PUTTS.id, PUTTS.place, SAVED, SAVED, 0.5, 0.5)
    players = [Planned(n, f"player {n}", strokes_saved=SAVED, payoffs=(payoff,)) for n in (1, 2)]
    shared = SharedHours(({"range": 1.0}, {"range": 2.5}), (0.5, 0.8), {"range": 0.04}, {"range": 3.5})
    week = Monday([*players, Planned(3, "Ivo", fault="no balls yet")], 0, {"range": 3.5}, [1, 2], shared)
    text = text_of(everybody_page(week, {PUTTS.id: PUTTS.name}, "2026-06-01"))
    assert "2 of 3 have a plan" in text
    assert f"player 1 {PUTTS.name} 0.80 0.20 to 1.90" in text
    assert "The scarce place is the range" in text
    assert "player 2 2 h 30" in text
    assert "Ivo: no balls yet" in text
