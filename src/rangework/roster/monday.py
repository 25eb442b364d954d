"""Monday morning: every player's plan made and kept, the facility's hours shared, drills drawn by lot."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from rangework.errors import InputError, Problem
from rangework.plan.linear_program import InfeasibleProgramError
from rangework.plan.practice_plan import PracticePlan
from rangework.plan.sharing import SharedHours, share_hours
from rangework.roster.planning import (
    Again,
    Job,
    Planned,
    Render,
    Settings,
    plan_again,
    plan_all,
    within_share,
)
from rangework.roster.trial import drawn_by_lot, most_asked, with_assigned
from rangework.store.plans import keep_plan
from rangework.store.roster_file import Roster
from rangework.store.trials import Assignment, keep_assignments


@dataclass(frozen=True, slots=True)
class Monday:
    """All plans of a Monday, in the order of the roster.

    ``shared`` holds the facility's hours of the players in ``sharing``; ``again`` the plan within a share or a
    trial by player, or why there is none; ``assigned`` the drill that the lot gave.
    """

    planned: Sequence[Planned]
    seed: int
    capacity: Mapping[str, float] = field(default_factory=dict)
    sharing: Sequence[int] = ()
    shared: SharedHours | None = None
    again: Mapping[int, PracticePlan | str] = field(default_factory=dict)
    assigned: Mapping[int, Assignment] = field(default_factory=dict)

    def share(self, player: int) -> Mapping[str, float] | None:
        """A player's hours by place; None where nothing was shared."""
        if self.shared is None or player not in self.sharing:
            return None
        return self.shared.hours[list(self.sharing).index(player)]


#: The page and results of a player's week that a share or a lot has changed, to be kept.
RenderAgain = Callable[[Monday, Planned], tuple[str, Mapping[str, Any]]]


def monday(
    roster: Roster,
    jobs: Callable[[frozenset[int]], Iterable[Job]],
    settings: Settings,
    render: Render,
    render_again: RenderAgain,
    *,
    total: int,
    capacity: Mapping[str, float],
    trial: bool,
    processes: int,
    scheduler: str | None,
    told: Mapping[str, Any],
    progress: Callable[[float, float], None],
) -> Monday:
    """Plan for everybody; each plan is kept as soon as it is made. ``told`` goes into the kept settings.

    Raises InputError where what is asked for does not fit into the ``capacity``.
    """
    planned: list[Planned] = []
    for each in plan_all(jobs, settings, render, processes=processes, scheduler=scheduler):
        planned.append(each)
        if each.strokes_saved is not None:
            _keep(roster, each, settings, {**told, "kind": "alone"})
        progress(len(planned), total)
    planned.sort(key=lambda each: (each.name.casefold(), each.player))
    week = Monday(planned, settings.seed, capacity)
    able = [each for each in planned if each.stakes is not None]
    if not able or not (capacity or trial):
        return week
    weeks = {
        each.player: Again(each.player, each.stakes, each.stakes.limits, settings.drills)
        for each in able
        if each.stakes
    }
    shared = _share(able, capacity) if capacity else None
    again: dict[int, PracticePlan | str] = {}
    if shared:
        weeks, again = _within_shares(weeks, shared)
    assigned = _assigned(able, weeks, settings, roster) if trial else {}
    changed = list(weeks.values()) if shared else [weeks[player] for player in assigned]
    again |= plan_again(changed, settings.weeks, processes=processes)
    week = Monday(planned, settings.seed, capacity, [each.player for each in able], shared, again, assigned)
    _keep_again(roster, week, render_again, told)
    return week


def _share(able: Sequence[Planned], capacity: Mapping[str, float]) -> SharedHours:
    try:
        return share_hours([each.stakes.week for each in able if each.stakes], capacity)
    except InfeasibleProgramError:
        expected = "room for what every player must practise (--at-least)"
        raise InputError(
            Problem("--capacity", "", "", expected, "Ask for less, or give more hours.")
        ) from None


def _within_shares(
    weeks: Mapping[int, Again], shared: SharedHours
) -> tuple[dict[int, Again], dict[int, PracticePlan | str]]:
    within: dict[int, Again] = {}
    none: dict[int, PracticePlan | str] = {}
    for (player, again), share in zip(weeks.items(), shared.hours, strict=True):
        limits = within_share(again.limits, share)
        if limits is None:
            none[player] = "no hours of the facility are left this week"
        else:
            within[player] = Again(player, again.stakes, limits, again.drills)
    return within, none


def _assigned(
    able: Sequence[Planned], weeks: dict[int, Again], settings: Settings, roster: Roster
) -> dict[int, Assignment]:
    """Draw the lots, change the weeks of those who take part, and keep the assignments."""
    asked = most_asked([each for each in able if each.player in weeks])
    if asked is None:
        return {}
    lots = drawn_by_lot(*asked, weeks=settings.weeks, seed=settings.seed, day=date.today())
    assigned: dict[int, Assignment] = {}
    for lot in lots:
        assigned[lot.player], weeks[lot.player] = with_assigned(lot, weeks[lot.player])
    keep_assignments(roster, list(assigned.values()))
    return assigned


def _keep(roster: Roster, each: Planned, settings: Settings, told: Mapping[str, Any]) -> None:
    assert each.strokes_saved is not None
    keep_plan(
        roster,
        each.player,
        course=each.course,
        seed=settings.seed,
        strokes_saved=each.strokes_saved.value,
        settings=told,
        results=each.results or {},
        page=each.page,
        hours=each.hours,
    )


def _keep_again(roster: Roster, week: Monday, render_again: RenderAgain, told: Mapping[str, Any]) -> None:
    """Keep the weeks that a share or a lot has changed: they are the latest now, also where no hours are left."""
    with roster.writing():
        for each in week.planned:
            plan = week.again.get(each.player)
            if plan is None or each.stakes is None:
                continue
            page, results = render_again(week, each)
            keep_plan(
                roster,
                each.player,
                course=each.course,
                seed=week.seed,
                strokes_saved=each.stakes.week.idle if isinstance(plan, str) else plan.strokes_saved.value,
                settings={**told, "kind": "trial" if each.player in week.assigned else "shared"},
                results=results,
                page=page,
                hours=() if isinstance(plan, str) else plan.hours,
            )
