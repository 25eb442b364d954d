"""A kept plan as a page for the player's phone or a sheet of paper: what to practise this week, and how."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.group_page import done_part, trained_parts
from rangework.cli.plan_page import PLACES, SHORT_PLACES
from rangework.cli.roster.monday_pages import FOOT
from rangework.cli.roster.pages import NONE, done_since, hours_done
from rangework.cli.tables import clock, interval, number, percent
from rangework.report.document import Document, Grid, Part, html_of

if TYPE_CHECKING:
    from rangework.plan.drills import Drill
    from rangework.plan.practice_plan import DrillHours
    from rangework.roster.pooled_responses import PooledPart
    from rangework.store.plans import KeptPlan
    from rangework.store.practice import Practice
    from rangework.units import Units

#: Drills whose hour is told on the page.
DRILLS_TOLD = 8


def practice_page(
    name: str, plan: KeptPlan, practice: Sequence[Practice], drills: Sequence[Drill], units: Units = "yards"
) -> str:
    """The page as HTML that needs nothing else. ``practice``: hours logged; ``drills``: those that are explained."""
    by_id = {drill.id: drill for drill in drills}
    parts = [
        _week(plan, practice, by_id),
        *_how(plan, by_id),
        Part("Take care", items=_cautions(plan), kind="care"),
        *_saving(plan, by_id),
        *_practice_done(plan, drills, units),
        _rests_on(plan),
    ]
    return html_of(Document(name, _subtitle(plan), _facts(plan, by_id), parts, [FOOT]))


def _subtitle(plan: KeptPlan) -> str:
    return f"The week's practice, planned on {plan.made_at[:10]} for {plan.course}."


def _facts(plan: KeptPlan, drills: Mapping[str, Drill]) -> list[tuple[str, str]]:
    results = plan.results
    range_ = results.get("strokes_saved_as_shared") or results.get("estimates", {}).get("strokes_saved") or {}
    low, high = range_.get("low"), range_.get("high")
    held = f" ({interval(low, high)})" if low is not None and plan.hours else ""
    facts = [
        (
            "saves",
            f"about {number(plan.strokes_saved)} strokes a round{held} after {results.get('weeks', 8.0):g} weeks",
        )
    ]
    if plan.settings.get("kind") == "shared":
        facts.append(("hours", "as the facility gives them to this player"))
    if lot := results.get("assigned"):
        drill = drills[lot].name if lot in drills else lot
        facts.append(("drawn by lot", f"{drill}: please do it as planned, and log the hours"))
    return facts


def _week(plan: KeptPlan, practice: Sequence[Practice], drills: Mapping[str, Drill]) -> Part:
    title = f"This week: {clock(sum(each.minutes for each in plan.hours))}"
    if not plan.hours:
        return Part("This week", lead="No hours of the facility are left this week.", kind="answer")
    done = done_since(plan, practice)
    headings = ["drill", "where", "time", "balls", *(["done"] if done else [])]
    rows = [
        [each.name, SHORT_PLACES[each.place], clock(each.minutes), str(each.balls) if each.balls else NONE]
        + ([hours_done(done.pop(each.drill, 0.0))] if "done" in headings else [])
        for each in _by_place(plan)
    ]
    more = [
        f"{drills[drill].name if drill in drills else drill}, {hours_done(hours)}"
        for drill, hours in done.items()
    ]
    return Part(
        title,
        grids=[Grid(headings, rows)],
        notes=[f"Also done since: {'; '.join(more)}."] if more else (),
        kind="answer",
    )


def _how(plan: KeptPlan, drills: Mapping[str, Drill]) -> list[Part]:
    told = [drills[each.drill] for each in _by_place(plan) if each.drill in drills]
    grids = [
        Grid((), [[drill.how], *([[f"Needs: {drill.equipment}."]] if drill.equipment else [])], drill.name)
        for drill in told
        if drill.how
    ]
    return [Part("How to do it", grids=grids)] if grids else []


def _by_place(plan: KeptPlan) -> list[DrillHours]:
    """The drills of the week in the order in which places are told."""
    return [each for place in PLACES for each in plan.hours if each.place == place]


def _saving(plan: KeptPlan, drills: Mapping[str, Drill]) -> list[Part]:
    told = plan.results.get("drills", ())[:DRILLS_TOLD]
    if not told:
        return []
    rows = [
        [
            drills[each["drill"]].name if each["drill"] in drills else each["drill"],
            number(each["first_hour"], 2),
            interval(each["low"], each["high"], 2),
            percent(each["chance_best"]),
        ]
        for each in told
    ]
    note = (
        "Strokes a round by one hour a week of a drill alone, kept up, against no practice at all; and the chance that "
        "no other drill's hour saves more. Hours of one drill save less and less, so the week has several."
    )
    heading = ["drill", "an hour saves", "90 % range", "chance best"]
    return [Part("What an hour of each drill saves", grids=[Grid(heading, rows)], notes=[note])]


def _practice_done(plan: KeptPlan, drills: Sequence[Drill], units: Units) -> list[Part]:
    told = plan.results.get("practice_in_roster")
    if not told:
        return []
    pooled = [_pooled_part(each) for each in told["parts"]]
    trained = trained_parts({each.drill: each.minutes for each in plan.hours}, drills)
    return [done_part(told["players"], pooled, trained, units)]


def _pooled_part(kept: Mapping[str, Any]) -> PooledPart:
    from rangework.estimate import Estimate
    from rangework.roster.pooled_responses import PooledPart

    estimates = {key: kept[key] and Estimate(**kept[key]) for key in ("seen", "now", "factor")}
    return PooledPart(**{**kept, **estimates})


def _cautions(plan: KeptPlan) -> Sequence[str]:
    """Those of the week that counts."""
    return [*(plan.results.get("cautions_as_shared") or plan.results.get("cautions", ()))]


def _rests_on(plan: KeptPlan) -> Part:
    items = [f"{each['text']} ({each['status']})" for each in plan.results.get("assumptions", ())]
    return Part("What this rests on", text=["The player's records, and what is assumed:"], items=items)
