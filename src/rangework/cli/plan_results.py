"""The numbers of `rangework plan` by their keys in the JSON file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.group_page import group_results
from rangework.cli.results import plain
from rangework.cli.worth_page import worth_results
from rangework.estimate import sources

if TYPE_CHECKING:
    from rangework.advice import Advice
    from rangework.assessment.learned_responses import Learned
    from rangework.plan.one_more_hour import OneMoreHour
    from rangework.plan.payoff import Payoff
    from rangework.plan.practice_plan import PracticePlan
    from rangework.plan.replay import ReplayedPlan


def plan_results(advice: Advice) -> dict[str, Any]:
    """Everything that the command tells."""
    from rangework.course import day_basis

    plan = advice.plan.plan
    return {
        "parts": worth_results(advice.worths, day_basis(advice.prepared.course)),
        "weeks": plan.horizon_weeks,
        "drills": [_drill(payoff) for payoff in by_payoff(plan.payoffs)],
        "hours": plan.hours,
        "strokes_saved": plan.strokes_saved.value,
        "replayed": _replayed(advice.plan),
        "no_practice": plan.no_practice.value,
        "one_more_hour": _hour_worths(plan.one_more_hour, "whole_hour"),
        "one_more_hour_at_the_margin": _hour_worths(plan.one_more_hour, "price"),
        "binding": plan.binding,
        "robust": _robust(plan),
        "steps": plan.steps,
        "untrainable": plan.untrainable,
        "estimates": {"strokes_saved": plan.strokes_saved, "no_practice": plan.no_practice},
        "assumptions": assumptions(plan, day_basis(advice.prepared.course)),
        "cautions": advice.cautions,
        "learned": learned_results(advice.learned),
        "learned_from_roster": group_results(advice.group),
    }


def learned_results(learned: Learned | None) -> list[dict[str, Any]] | None:
    """What tests taught of each part that was tested twice; None without a log of practice."""
    return None if learned is None else [plain(each) for each in learned.parts]


def by_payoff(payoffs: Sequence[Payoff]) -> list[Payoff]:
    """Drills by what their first hour saves, most first."""
    return sorted(payoffs, key=lambda payoff: -payoff.first_hour.value)


def assumptions(plan: PracticePlan, day: str = "") -> list[dict[str, str]]:
    """What the saving rests on beside the data, each with its words and where they come from.

    ``day`` is the basis of the day's conditions.
    """
    ids = [
        id_
        for id_ in f"{plan.strokes_saved.basis}+assumption.plan.response_width{day}".split("+")
        if id_ != "data"
    ]
    found = [sources()[id_] for id_ in ids]
    return [
        {"id": each.id, "text": each.text, "citation": each.citation, "status": each.status} for each in found
    ]


def _drill(payoff: Payoff) -> dict[str, Any]:
    first, further = payoff.first_hour, payoff.next_hour
    return {
        "drill": payoff.drill,
        "place": payoff.place,
        "first_hour": first.value,
        "next_hour": further.value,
        "low": first.low,
        "high": first.high,
        "chance_best": payoff.chance_best,
        "next_low": further.low,
        "next_high": further.high,
        "chance_best_next": payoff.chance_best_next,
        "basis": first.basis,
    }


def _replayed(replayed: ReplayedPlan) -> dict[str, Any]:
    last = replayed.last
    return {
        "strokes_saved": last.replayed,
        "standard_error": last.standard_error,
        "agrees": last.agrees,
        "rounds": replayed.rounds,
    }


def _hour_worths(more: OneMoreHour, kind: str) -> dict[str, Any]:
    return {
        "any": getattr(more.any, kind),
        "by_place": {place: getattr(worth, kind) for place, worth in more.by_place.items()},
    }


def _robust(plan: PracticePlan) -> dict[str, Any]:
    robust = plan.robust
    return {
        "hours": robust.hours,
        "strokes_saved": robust.strokes_saved.value,
        "worst_fifth": robust.worst_fifth,
        "mean_plan_worst_fifth": robust.mean_plan_worst_fifth,
        "estimate": robust.strokes_saved,
    }
