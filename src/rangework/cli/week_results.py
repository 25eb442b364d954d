"""The numbers of `rangework week` by their keys in the JSON file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rangework.cli.group_page import group_results
from rangework.cli.plan_results import learned_results
from rangework.estimate import sources

if TYPE_CHECKING:
    from rangework.plan.week.availability import Availability, Span
    from rangework.plan.week.week_plan import PlannedBlock, PlannedDay, Session, WeekPlan
    from rangework.report.calendar import CalendarEntry
    from rangework.week_advice import WeekAdvice

#: What a plan by day rests on beside the basis of its saving.
RESTS_ON = (
    "published.week.taper",
    "published.week.random_practice",
    "assumption.week.order",
    "assumption.week.last_days",
    "assumption.week.blocks",
    "assumption.week.rest_day",
    "assumption.week.frequency",
    "assumption.week.usual_swings",
    "assumption.week.practice_round",
)


def week_results(
    advice: WeekAdvice, availability: Availability, entries: Sequence[CalendarEntry]
) -> dict[str, Any]:
    """Everything that the command tells."""
    from rangework.course import day_basis

    plan = advice.plan
    return {
        "event": availability.event,
        "first_round": plan.first_round.isoformat() if plan.first_round else None,
        "time_zone": availability.time_zone,
        "days": [_day(day) for day in plan.days],
        "weeks": [
            {
                "first": week.first.isoformat(),
                "last": week.last.isoformat(),
                "phase": week.phase,
                "minutes": week.minutes,
                "full_swings": week.full_swings,
                "usual_minutes": week.usual_minutes,
                "usual_full_swings": week.usual_swings,
            }
            for week in plan.weeks
        ],
        "strokes_saved": plan.strokes_saved.value,
        "saved_by": plan.saved_by,
        "estimates": {"strokes_saved": plan.strokes_saved},
        "bound": plan.bound,
        "relaxed_bound": plan.relaxed,
        "gap": plan.gap,
        "asked": advice.asked,
        "asked_more": advice.more,
        "aims_to_settle": advice.aims,
        "calendar": [entry.issued() for entry in entries],
        "assumptions": assumptions(plan, day_basis(advice.prepared.course)),
        "cautions": advice.cautions,
        "learned": learned_results(advice.learned),
        "learned_from_roster": group_results(advice.group),
    }


def assumptions(plan: WeekPlan, day: str = "") -> list[dict[str, str]]:
    """What the plan rests on beside the data, each with its words and where they come from.

    ``day`` is the basis of the day's conditions.
    """
    ids = [id_ for id_ in f"{plan.strokes_saved.basis}{day}".split("+") if id_ != "data"]
    event = plan.first_round is not None
    kept = [*ids, "assumption.plan.response_width", *RESTS_ON]
    found = [sources()[id_] for id_ in dict.fromkeys(kept) if event or id_.split(".")[1] != "week"]
    return [
        {"id": each.id, "text": each.text, "citation": each.citation, "status": each.status} for each in found
    ]


def _day(day: PlannedDay) -> dict[str, Any]:
    return {
        "date": day.date.isoformat(),
        "days_left": day.days_left,
        "phase": day.phase,
        "minutes": day.minutes,
        "full_swings": day.full_swings,
        "sessions": [_session(session) for session in day.sessions],
        "practice_round": _span(day.practice_round) if day.practice_round else None,
        "travel": [_span(span) for span in day.travel],
        "heat": day.heat,
        "note": day.note,
        "missed": day.missed,
    }


def _session(session: Session) -> dict[str, Any]:
    return {
        "number": session.number,
        **_span(session.span),
        "done": session.done,
        "warm_up": _span(session.warm_up),
        "blocks": [_block(block) for block in session.blocks],
    }


def _block(block: PlannedBlock) -> dict[str, Any]:
    return {
        **_span(block.span),
        "drill": block.drill,
        "name": block.name,
        "place": block.place,
        "balls": block.balls,
        "full_swings": block.full_swings,
        "purpose": block.purpose,
        "order": block.order,
        "note": block.note,
    }


def _span(span: Span) -> dict[str, Any]:
    from rangework.plan.week.availability import clock_time

    return {"start": clock_time(span.start), "minutes": span.minutes}
