"""What `rangework roster plan` prints: who gains most from what, and whose hours where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.plan_page import PLACES
from rangework.cli.plan_results import by_payoff
from rangework.cli.tables import Block, clock, interval, number, paragraph, table
from rangework.shown_text import shown_text

if TYPE_CHECKING:
    from rangework.plan.practice_plan import DrillHours
    from rangework.roster.monday import Monday
    from rangework.roster.planning import Planned
    from rangework.roster.pooled_responses import PooledResponses

NAME_SHOWN, DRILL_SHOWN = 22, 26


def summary_text(week: Monday, drills: Mapping[str, str]) -> str:
    """Players by what their plan saves, with the drill that pays each most; then the drills; then who has no plan."""
    able = sorted((p for p in week.planned if not p.fault), key=lambda p: -_saved(p))
    rows = [
        [
            _cut(shown_text(p.name), NAME_SHOWN),
            number(_saved(p), 2),
            interval(p.strokes_saved.low, p.strokes_saved.high, 2) if p.strokes_saved else "?",
            _cut(drills.get(_best(p), _best(p)), DRILL_SHOWN),
        ]
        for p in able
    ]
    parts = [
        "WHO GAINS MOST FROM WHAT, strokes a round\n"
        + table(["player", "saves", "90 % range", "first hour best spent on"], [Block("", rows)])
    ]
    if len(able) > 1:
        parts.append("WHAT PAYS MOST FOR MOST PLAYERS\n" + _drills_text(able, drills))
    if week.assigned:
        parts.append(_trial_text(week, drills))
    faults = [p for p in week.planned if p.fault]
    if faults:
        told = [paragraph(f"{shown_text(p.name)}: {p.fault}", indent="  ") for p in faults]
        parts.append("NO PLAN\n" + "\n".join(told))
    return "\n\n".join(parts)


def pooled_summary(pooled: PooledResponses) -> str:
    """That the roster's tests stand in these plans, and by how much."""
    factors = [each.factor.value for each in pooled.parts]
    low = min(each.factor.low or 0.0 for each in pooled.parts)
    high = max(each.factor.high or 0.0 for each in pooled.parts)
    told = (
        f"{pooled.players} players were tested before and after hours that they logged: practice brings "
        f"{number(min(factors), 2)} to {number(max(factors), 2)} times what is assumed, by part (90 % ranges from "
        f"{number(low, 2)} to {number(high, 2)}). Every plan takes that in, and a player's own tests on top. "
        "`rangework roster learned` shows the evidence."
    )
    return "LEARNED FROM THE ROSTER\n" + paragraph(told)


def _drills_text(able: Sequence[Planned], drills: Mapping[str, str]) -> str:
    counted = Counter(map(_best, able))
    means = {
        drill: sum(payoff.first_hour.value for p in able for payoff in p.payoffs if payoff.drill == drill)
        / len(able)
        for drill in counted
    }
    rows = [
        [drills.get(drill, drill), str(count), number(means[drill], 2)]
        for drill, count in counted.most_common()
    ]
    return table(["drill", "best for\nplayers", "first hour saves\non average"], [Block("", rows)])


def _trial_text(week: Monday, drills: Mapping[str, str]) -> str:
    one = next(iter(week.assigned.values()))
    groups = Counter(each.assigned for each in week.assigned.values())
    names = {id_: drills.get(id_, id_) for id_ in (one.first_drill, one.second_drill)}
    told = (
        f"Records cannot tell {names[one.first_drill]!r} and {names[one.second_drill]!r} apart for "
        f"{len(week.assigned)} players: by lot {groups[one.first_drill]} get the first and {groups[one.second_drill]} "
        f"the second. Log the hours, test everybody again after {one.weeks:g} weeks, import the balls, and ask "
        "`rangework roster trial`."
    )
    return "DRAWN BY LOT\n" + paragraph(told)


def sharing_text(week: Monday) -> str:
    """How the facility's hours are shared: by place, and by player."""
    shared = week.shared
    if shared is None:
        return "Nobody to share hours among."
    rows = [
        [PLACES[place], number(hours, 1), number(shared.used[place], 1), number(shared.prices[place], 3)]
        for place, hours in week.capacity.items()
    ]
    scarce = shared.scarce
    told = (
        f"The scarce place is the {PLACES[scarce]}: one more hour there a week would save "
        f"{number(shared.prices[scarce], 2)} strokes a round, all players together."
        if scarce
        else "No place is short: more hours would save nothing more."
    )
    places = list(week.capacity)
    names = {each.player: each.name for each in week.planned}
    who = [
        [
            _cut(shown_text(names[player]), NAME_SHOWN),
            *(clock(60.0 * (week.share(player) or {}).get(place, 0.0)) for place in places),
            number(_saved_again(week, player), 2),
        ]
        for player in week.sharing
    ]
    place_table = table(
        ["place", "hours\nthere are", "hours\nused", "one more\nhour saves"], [Block("", rows)]
    )
    players = table(["player", *(PLACES[place] for place in places), "saves"], [Block("", who)])
    saves = (
        "Saves: with these hours and the player's own elsewhere, given out in steps of five minutes. `rangework roster "
        "report NAME` shows the week."
    )
    return (
        f"HOW THE HOURS SHOULD BE SHARED\n{place_table}\n{paragraph(told)}\n\n{players}\n{paragraph(saves)}"
    )


def again_text(week: Monday, player: int, drills: Mapping[str, str]) -> str:
    """What a share or a lot changed in a player's week; empty where nothing did."""
    plan = week.again.get(player)
    if plan is None:
        return ""
    if isinstance(plan, str):
        return f"\n\nTHE WEEK WITHIN THE FACILITY'S HOURS\n{paragraph(plan, indent='  ')}\n"
    lot = week.assigned.get(player)
    told = (
        f"By lot: {drills.get(lot.assigned, lot.assigned)}. Please do it as planned, and log the hours.\n"
        if lot
        else ""
    )
    saved = f"It saves about {number(plan.strokes_saved.value, 2)} strokes a round."
    return f"\n\nTHE WEEK AS SHARED\n{_hours_table(plan.hours)}\n{told}{saved}\n"


def _hours_table(hours: Sequence[DrillHours]) -> str:
    rows = [[each.name, PLACES[each.place], clock(each.minutes), str(each.balls)] for each in hours]
    return table(["", "place", "time", "balls"], [Block("", rows)])


def summary_results(week: Monday) -> dict[str, Any]:
    """The numbers of the summary by their keys in the JSON file."""
    shared = week.shared
    return {
        "players": [
            {
                "player": p.name,
                "fault": p.fault or None,
                "strokes_saved": p.strokes_saved,
                "best_drill": None if p.fault else _best(p),
                "hours": p.hours,
                **again_results(week, p.player),
            }
            for p in week.planned
        ],
        "sharing": None
        if shared is None
        else {
            "capacity": week.capacity,
            "used": shared.used,
            "one_more_hour": shared.prices,
            "scarce": shared.scarce,
        },
    }


def again_results(week: Monday, player: int) -> dict[str, Any]:
    """What a share or a lot gave a player."""
    plan = week.again.get(player)
    lot = week.assigned.get(player)
    return {
        "share": week.share(player),
        "assigned": lot.assigned if lot else None,
        "week_as_shared": None if plan is None or isinstance(plan, str) else plan.hours,
        "strokes_saved_as_shared": None if plan is None or isinstance(plan, str) else plan.strokes_saved,
    }


def _saved(planned: Planned) -> float:
    return planned.strokes_saved.value if planned.strokes_saved else float("nan")


def _saved_again(week: Monday, player: int) -> float | None:
    plan = week.again.get(player)
    return None if plan is None or isinstance(plan, str) else plan.strokes_saved.value


def _best(planned: Planned) -> str:
    return by_payoff(planned.payoffs)[0].drill


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 1] + "…"
