"""The roster's logged hours as the log that responses are learned from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rangework.assessment.practice_log import PracticeLog
from rangework.plan.drills import Drill, shares
from rangework.store.practice import Practice


def practice_log(practised: Sequence[Practice], drills: Sequence[Drill]) -> PracticeLog | None:
    """Effective hours of every part by day; None where no hour of a known drill is logged."""
    place = {drill.id: number for number, drill in enumerate(drills)}
    known = [each for each in practised if each.drill in place]
    if not known:
        return None
    acting = shares(drills)[[place[each.drill] for each in known]]
    hours = [[each.hours] for each in known]
    days = tuple(date.fromisoformat(each.day) for each in known)
    return PracticeLog(days, acting * hours, tuple(each.drill for each in known))
