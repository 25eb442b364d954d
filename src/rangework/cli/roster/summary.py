"""What `rangework roster plan` prints: who gains most from what, and whose hours where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.plan_page import PLACES
from rangework.cli.plan_results import by_payoff
from rangework.cli.tables import Block, clock, interval, item, number, paragraph, table
from rangework.shown_text import shown_text

if TYPE_CHECKING:
    from rangework.plan.drills import Drill
    from rangework.plan.practice_plan import DrillHours
    from rangework.roster.monday import Monday
    from rangework.roster.planning import Planned
    from rangework.roster.pooled_responses import PooledResponses

NAME_SHOWN, DRILL_SHOWN = 22, 30
GAIN_HEADINGS = ("player", "saves", "90 % range", "first hour best spent on")
DRILL_HEADINGS = ("drill", "best for\nplayers", "first hour saves\non average")
PLACE_HEADINGS = ("place", "hours\nthere are", "hours\nused", "one more\nhour saves")
SHARE_NOTE = "Saves: with these hours and the player's own elsewhere, given out in steps of five minutes."


def summary_text(week: Monday, drills: Mapping[str, str]) -> str:
    """Players by what their plan saves, with the drill that pays each most; then the drills; then who has no plan."""
    parts = [
        "WHO GAINS MOST FROM WHAT, strokes a round\n"
        + table(GAIN_HEADINGS, [Block("", gain_rows(week, drills))])
    ]
    if rows := drill_rows(week, drills):
        parts.append("WHAT PAYS MOST FOR MOST PLAYERS\n" + table(DRILL_HEADINGS, [Block("", rows)]))
    if week.assigned:
        parts.append("DRAWN BY LOT\n" + paragraph(trial_words(week, drills)))
    if faults := fault_lines(week):
        parts.append("NO PLAN\n" + "\n".join(paragraph(told, indent="  ") for told in faults))
    return "\n\n".join(parts)


def gain_rows(week: Monday, drills: Mapping[str, str]) -> list[list[str]]:
    """By player what the plan saves, with range, and the drill whose first hour pays most; who gains most first."""
    return [
        [
            _cut(shown_text(p.name), NAME_SHOWN),
            number(_saved(p), 2),
            interval(p.strokes_saved.low, p.strokes_saved.high, 2) if p.strokes_saved else "?",
            _cut(drills.get(_best(p), _best(p)), DRILL_SHOWN),
        ]
        for p in sorted(_able(week), key=lambda p: -_saved(p))
    ]


def fault_lines(week: Monday) -> list[str]:
    """Who has no plan, and why."""
    return [f"{shown_text(p.name)}: {p.fault}" for p in week.planned if p.fault]


def _able(week: Monday) -> list[Planned]:
    return [p for p in week.planned if not p.fault]


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


def drill_rows(week: Monday, drills: Mapping[str, str]) -> list[list[str]]:
    """Drills by how many players they pay most, with what their first hour saves on average; none of one player."""
    able = _able(week)
    if len(able) < 2:
        return []
    counted = Counter(map(_best, able))
    means = {
        drill: sum(payoff.first_hour.value for p in able for payoff in p.payoffs if payoff.drill == drill)
        / len(able)
        for drill in counted
    }
    return [
        [drills.get(drill, drill), str(count), number(means[drill], 2)]
        for drill, count in counted.most_common()
    ]


def trial_words(week: Monday, drills: Mapping[str, str]) -> str:
    """Which two drills a lot decided between, and what to do now."""
    from rangework.roster.trial_result import FEWEST

    one = next(iter(week.assigned.values()))
    few = (
        ""
        if len(week.assigned) >= 2 * FEWEST
        else f" An answer takes {FEWEST} players in each group, so with fewer than {2 * FEWEST} there is none."
    )
    groups = Counter(each.assigned for each in week.assigned.values())
    names = {id_: drills.get(id_, id_) for id_ in (one.first_drill, one.second_drill)}
    return (
        f"Records cannot tell {names[one.first_drill]!r} and {names[one.second_drill]!r} apart for "
        f"{len(week.assigned)} players: by lot {groups[one.first_drill]} get the first and {groups[one.second_drill]} "
        f"the second. Log the hours, test everybody again after {one.weeks:g} weeks, import the balls, and ask "
        f"`rangework roster trial`.{few}"
    )


def sharing_text(week: Monday) -> str:
    """How the facility's hours are shared: by place, and by player."""
    if week.shared is None:
        return "Nobody to share hours among."
    places = table(PLACE_HEADINGS, [Block("", place_rows(week))])
    players = table(share_headings(week), [Block("", share_rows(week))])
    return (
        f"HOW THE HOURS SHOULD BE SHARED\n{places}\n{paragraph(scarce_words(week))}\n\n{players}\n"
        f"{paragraph(SHARE_NOTE + ' `rangework roster report NAME` shows the week.')}"
    )


def place_rows(week: Monday) -> list[list[str]]:
    """By place the hours that there are, those used, and what one more would save."""
    shared = week.shared
    assert shared is not None
    return [
        [PLACES[place], number(hours, 1), number(shared.used[place], 1), number(shared.prices[place], 3)]
        for place, hours in week.capacity.items()
    ]


def scarce_words(week: Monday) -> str:
    """Which place is short, and what one more hour there would save."""
    shared = week.shared
    if shared is None or not shared.scarce:
        return "No place is short: more hours would save nothing more."
    return (
        f"The scarce place is the {PLACES[shared.scarce]}: one more hour there a week would save "
        f"{number(shared.prices[shared.scarce], 2)} strokes a round, all players together."
    )


def share_headings(week: Monday) -> list[str]:
    """The columns of ``share_rows``."""
    return ["player", *(PLACES[place] for place in week.capacity), "saves"]


def share_rows(week: Monday) -> list[list[str]]:
    """By player the hours at each place that is shared, and what the week saves with them."""
    names = {each.player: each.name for each in week.planned}
    return [
        [
            _cut(shown_text(names[player]), NAME_SHOWN),
            *(clock(60.0 * (week.share(player) or {}).get(place, 0.0)) for place in week.capacity),
            number(_saved_again(week, player), 2),
        ]
        for player in week.sharing
    ]


def again_cautions(week: Monday, planned: Planned, drills: Sequence[Drill]) -> tuple[str, ...] | None:
    """The cautions of a week that a share or a lot has changed; None where nothing did."""
    from rangework.plan.cautions import cautions_of_other_hours

    plan = week.again.get(planned.player)
    if plan is None or isinstance(plan, str):
        return None
    said = (planned.results or {}).get("cautions", ())
    return cautions_of_other_hours(said, planned.hours, plan.hours, drills)


def again_text(week: Monday, planned: Planned, all_drills: Sequence[Drill]) -> str:
    """What a share or a lot changed in a player's week; empty where nothing did."""
    player = planned.player
    drills = {drill.id: drill.name for drill in all_drills}
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
    said = (planned.results or {}).get("cautions", ())
    more = [each for each in again_cautions(week, planned, all_drills) or () if each not in said]
    care = "\nTAKE CARE in this week too\n" + "\n".join(item(each) for each in more) + "\n" if more else ""
    return f"\n\nTHE WEEK AS SHARED\n{_hours_table(plan.hours)}\n{told}{saved}\n{care}"


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


def changed_results(week: Monday, planned: Planned, drills: Sequence[Drill]) -> dict[str, Any]:
    """What a share or a lot changed in a player's own plan, with the cautions of the changed week."""
    cautions = again_cautions(week, planned, drills)
    return {**again_results(week, planned.player), "cautions_as_shared": cautions}


def _saved(planned: Planned) -> float:
    return planned.strokes_saved.value if planned.strokes_saved else float("nan")


def _saved_again(week: Monday, player: int) -> float | None:
    plan = week.again.get(player)
    return None if plan is None or isinstance(plan, str) else plan.strokes_saved.value


def _best(planned: Planned) -> str:
    return by_payoff(planned.payoffs)[0].drill


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 1] + "…"
