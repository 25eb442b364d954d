"""What `rangework plan` prints: the answer, the week, what it saves, and what that rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rangework.cli.group_page import group_text, trained_parts
from rangework.cli.learned_page import learned_text
from rangework.cli.plan_results import assumptions, by_payoff
from rangework.cli.playing import decided_by_records
from rangework.cli.tables import Block, clock, interval, item, number, paragraph, percent, table
from rangework.cli.worth_page import name_in_units, parts_table, worth_results

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.plan.drills import Drill
    from rangework.plan.limits import Limits
    from rangework.plan.payoff import Payoff
    from rangework.plan.practice_plan import BindingLimit, DrillHours, PracticePlan
    from rangework.plan.replay import ReplayedPlan
    from rangework.roster.pooled_responses import PooledPart
    from rangework.units import Units

PLACES = {
    "range": "range",
    "short_game_area": "short game area",
    "putting_green": "putting green",
    "course": "course",
    "home": "home",
}
SHORT_PLACES = {**PLACES, "short_game_area": "short game", "putting_green": "green"}
#: Parts that the page shows; `rangework worth` shows all.
PARTS_SHOWN = 8
#: A chance of being the best from which a drill is called so without naming the next one.
CLEAR = 0.9


def plan_text(
    advice: Advice,
    drills: Sequence[Drill],
    limits: Limits,
    who: str,
    units: Units,
    *,
    most_drills: int,
    pooled: Sequence[PooledPart] = (),
) -> str:
    """The whole page, the answer first. ``pooled``: what practice has done in the player's roster."""
    from rangework.course import day_basis

    plan, day = advice.plan.plan, day_basis(advice.prepared.course)
    names = {drill.id: drill.name for drill in drills}
    where = f"{advice.prepared.course.name}, {advice.prepared.tee.name} tees"
    parts = [
        f"WHERE AN HOUR PAYS MOST for {who} on {where}\n" + paragraph(answer(plan, names, limits)),
        f"THE WEEK, {clock(60 * limits.budget)} of practice\n" + week_text(plan.hours, limits),
        f"WHAT IT SAVES after {weeks(plan)}, strokes a round\n" + saving_text(advice.plan),
        "ONE MORE HOUR A WEEK, strokes a round\n" + more_text(plan),
        "WHAT HOLDS IT BACK\n" + binding_text(plan.binding),
        f"WHAT AN HOUR OF EACH DRILL SAVES, strokes a round after {weeks(plan)}\n"
        + payoffs_text(plan.payoffs, names, most_drills),
        "THE CAUTIOUS PLAN beside this one\n" + robust_text(plan),
        f"WHAT ONE STEP SAVES, the {PARTS_SHOWN} parts that save most\n"
        + parts_table(worth_results(advice.worths), units, most=PARTS_SHOWN),
        *_untrainable(plan, units),
        *group_text(
            advice.group,
            pooled,
            trained_parts({each.drill: each.minutes for each in plan.hours}, drills),
            units,
        ),
        *learned_text(advice.learned, units, of_roster=advice.group is not None),
        "WHAT THIS RESTS ON\n"
        + "\n".join([item(decided_by_records(advice.prepared.posterior)), rests_on_text(plan, day)]),
        "TAKE CARE\n" + "\n".join(item(text) for text in advice.cautions),
    ]
    return "\n\n".join(parts)


def answer(plan: PracticePlan, names: Mapping[str, str], limits: Limits) -> str:
    """Where an hour pays most, in a sentence, and how sure that is."""
    ordered = by_payoff(plan.payoffs)
    here = [payoff for payoff in ordered if _has_hours(payoff.place, limits)]
    best = here[0]
    told = (
        f"{names[best.drill]} ({PLACES[best.place]}): one hour of it a week saves about "
        f"{number(best.first_hour.value, 2)} strokes a round after {weeks(plan)} "
        f"({interval(best.first_hour.low, best.first_hour.high, 2)}). {_how_sure(best, ordered, names)}."
    )
    if best.drill not in {each.drill for each in plan.hours}:
        told += (
            " That holds for a single hour: with the time of this week, drills that train fewer parts each, "
            "side by side, save more."
        )
    if best is not ordered[0]:
        told += (
            f" Where this week has no time, {names[ordered[0].drill]} ({PLACES[ordered[0].place]}) would save "
            f"{number(ordered[0].first_hour.value, 2)}."
        )
    return told


def _has_hours(place: str, limits: Limits) -> bool:
    return limits.hours is not None or limits.hours_by_place.get(place, 0.0) > 0.0


def _how_sure(best: Payoff, payoffs: Sequence[Payoff], names: Mapping[str, str]) -> str:
    told = f"The chance that no other drill pays more is {percent(best.chance_best)}"
    rival = max((other for other in payoffs if other is not best), key=lambda p: p.chance_best, default=None)
    if rival is None or best.chance_best >= CLEAR:
        return told
    return f"{told}; that of {names[rival.drill]} is {percent(rival.chance_best)}"


def weeks(plan: PracticePlan) -> str:
    """The horizon in words."""
    return "1 week" if plan.horizon_weeks == 1 else f"{plan.horizon_weeks:g} weeks"


def week_text(hours: Sequence[DrillHours], limits: Limits) -> str:
    """Drills by place with their minutes and balls, and the swings that they come to."""
    blocks = [
        Block(
            f"{words[0].upper()}{words[1:]}",
            [[each.name, clock(each.minutes), str(each.balls)] for each in hours if each.place == place],
        )
        for place, words in PLACES.items()
    ]
    total = sum(each.minutes for each in hours)
    swings = sum(each.full_swings for each in hours)
    told = (
        f"Together {clock(total)}, {sum(each.balls for each in hours)} balls, {swings} full swings (at most "
        f"{limits.full_swings_per_week} a week and {limits.full_swings_per_day} a day)."
    )
    left = 60.0 * limits.budget - total
    if left >= 5.0:
        told += f" {clock(left)} would save nothing more within the limits."
    return table(["", "time", "balls"], blocks) + "\n" + paragraph(told)


def saving_text(replayed: ReplayedPlan) -> str:
    """The promise, its replay, and what no practice costs."""
    plan, last = replayed.plan, replayed.last
    saved, none = plan.strokes_saved, plan.no_practice
    rows = [
        ["promised", number(saved.value, 2, signed=True), interval(saved.low, saved.high, 2, signed=True)],
        ["seen in simulated rounds", number(last.replayed, 2, signed=True), ""],
        [
            "no practice at all",
            number(none.value, 2, signed=True),
            interval(none.low, none.high, 2, signed=True),
        ],
    ]
    told = f"The rounds' figure has a standard error of {number(last.standard_error, 2)}."
    if not last.agrees:
        told += " Promise and rounds differ by more than a tenth: believe the rounds."
    return table(["against today", "saves", "90 % range"], [Block("", rows)]) + "\n" + paragraph(told)


def more_text(plan: PracticePlan) -> str:
    """What one more hour adds, at each place."""
    places = sorted(plan.one_more_hour.by_place.items(), key=lambda item: -item[1].whole_hour)
    rows = [["wherever it saves most", number(plan.one_more_hour.any.whole_hour, 2)]]
    rows += [[f"at the {PLACES[place]}" if place != "home" else "at home", number(worth.whole_hour, 2)]
             for place, worth in places]  # fmt: skip
    return table(["", "saves"], [Block("", rows)])


def binding_text(binding: Sequence[BindingLimit]) -> str:
    """The limits that cost strokes, and what one more of each would save."""
    if not binding:
        return paragraph("No limit: more time or more swings would save nothing more.", indent="  ")
    rows = [[limit.text, f"{limit.bound:g} {limit.unit}", _price(limit)] for limit in binding]
    return table(["limit", "is at", "more of it saves"], [Block("", rows)])


def payoffs_text(payoffs: Sequence[Payoff], names: Mapping[str, str], most: int) -> str:
    """The payoff of each drill's first hour and of the next one beyond the plan."""
    rows = [
        [
            f"{names[payoff.drill]} ({SHORT_PLACES[payoff.place]})",
            number(payoff.first_hour.value, 2),
            interval(payoff.first_hour.low, payoff.first_hour.high, 2),
            percent(payoff.chance_best),
            number(payoff.next_hour.value, 2),
        ]
        for payoff in by_payoff(payoffs)[:most]
    ]
    shown = table(["drill", "first\nhour", "90 % range", "chance\nbest", "beyond\nplan"], [Block("", rows)])
    hidden = len(payoffs) - len(rows)
    return f"{shown}\n  ({hidden} more drills: --payoffs {len(payoffs)} shows all)" if hidden else shown


def robust_text(plan: PracticePlan) -> str:
    """The plan for bad luck: minutes beside this plan's, and what either saves on average and in bad cases."""
    robust = plan.robust
    ours = {each.drill: each.minutes for each in plan.hours}
    theirs = {each.drill: each.minutes for each in robust.hours}
    if ours == theirs:
        return paragraph("The plan that saves most in bad cases is this same one.", indent="  ")
    names = {each.drill: each.name for each in (*plan.hours, *robust.hours)}
    rows = [[name, _minutes(ours, drill), _minutes(theirs, drill)] for drill, name in names.items()]
    saved = [
        ["saves on average", number(plan.strokes_saved.value, 2), number(robust.strokes_saved.value, 2)],
        [
            "saves in the worst fifth of cases",
            number(robust.mean_plan_worst_fifth, 2),
            number(robust.worst_fifth, 2),
        ],
    ]
    return table(["", "this plan", "cautious"], [Block("", rows), Block("Strokes a round", saved)])


def rests_on_text(plan: PracticePlan, day: str = "") -> str:
    """What is assumed of practice, to be doubted and changed, and of the day's conditions (``day``, their basis)."""
    told = [f"{each['text']} ({each['status']})" for each in assumptions(plan, day)]
    edit = "A drills file changes what practice does to a part, and the drills: docs/reference/drills.md."
    return "\n".join(item(text) for text in (*told, edit))


def _untrainable(plan: PracticePlan, units: Units) -> list[str]:
    if not plan.untrainable:
        return []
    parts = "; ".join(name_in_units(part, units) for part in plan.untrainable)
    return ["NOT TO BE TRAINED at these places\n" + paragraph(f"{parts}.", indent="  ")]


def _price(limit: BindingLimit) -> str:
    if limit.unit == "h":
        return f"{number(limit.price, 2)} an hour"
    return f"{number(10.0 * limit.price, 2)} by 10"


def _minutes(minutes: Mapping[str, int], drill: str) -> str:
    return clock(minutes[drill]) if drill in minutes else "-"
