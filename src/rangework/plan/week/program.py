"""The mixed-integer program of a plan by day: which offers are taken, and for how long.

Every offer has a yes-or-no variable and a number of five-minute steps. Effective hours of each effect and part give
returns that lie below tangents of their curves, so that the objective is linear. What was done before
enters as hours that are already there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill, shares
from rangework.plan.linear_program import LinearProgram, Solution
from rangework.plan.week.effects import Effect
from rangework.plan.week.offers import (
    CHANGE_MINUTES,
    LEAST_SESSION_MINUTES,
    STEP_MINUTES,
    WARM_UP_MINUTES,
    Offer,
)
from rangework.plan.week.rows import Row, WeekProblem, week_rows

FloatArray = NDArray[np.float64]

#: The share of a plan's saving that may be missing to the best plan.
GAP = 0.01
#: The part of it that the solver may leave; the rest is for tangents, which lie above the curves.
_SOLVER_GAP = 0.006
#: Tangents to every return, and the share of the most hours at which the first after 0 touches.
TANGENTS, _FIRST_TANGENT = 24, 0.005


@dataclass(frozen=True, slots=True)
class Taken:
    """A solved program: minutes by offer, and how good the solution is known to be.

    Savings are strokes a round against no practice: ``saving`` of the plan by the curves themselves, the ``bound``
    that no plan of these offers exceeds, and ``relaxed``, the bound from plans that need no whole blocks.
    """

    minutes: dict[int, int]
    saving: float
    bound: float
    relaxed: float

    @property
    def gap(self) -> float:
        """Share of the bound that may be missing."""
        return max(0.0, self.bound - self.saving) / self.bound if self.bound > 1e-9 else 0.0


def solve_week(problem: WeekProblem, *, gap: float = _SOLVER_GAP) -> Taken:
    """The best plan, up to ``gap`` and the tangents. Raises InfeasibleProgramError where rows clash."""
    rows = week_rows(problem)
    relaxed = week_program(problem, rows, relaxed=True).solve()
    solution = week_program(problem, rows).solve(relative_gap=gap)
    minutes = minutes_taken(problem.offers, solution)
    none = problem.returns.saving({e.name: done_hours(problem, e) for e in problem.returns.effects})
    return Taken(
        minutes,
        problem.returns.saving(effective_hours(problem, minutes)),
        min(none - solution.bound, none - relaxed.objective),
        none - relaxed.objective,
    )


def minutes_taken(offers: Sequence[Offer], solution: Solution) -> dict[int, int]:
    """Minutes of every offer taken, by its index."""
    steps = {offer.index: round(solution.values[f"steps.{offer.index}"]) for offer in offers}
    return {index: STEP_MINUTES * count for index, count in steps.items() if count}


def week_program(problem: WeekProblem, rows: Iterable[Row], *, relaxed: bool = False) -> LinearProgram:
    """The program with these limits."""
    program = LinearProgram(relaxed=relaxed)
    add_offers(program, problem)
    add_days(program, problem)
    add_sessions(program, problem)
    for effect in problem.returns.effects:
        _add_effect(program, problem, effect)
    for row in rows:
        program.row(row.name, row.terms, row.sense, row.bound)
    return program


def add_offers(program: LinearProgram, problem: WeekProblem) -> None:
    """A yes-or-no variable and a number of steps for every offer."""
    for offer in problem.offers:
        used, steps = f"used.{offer.index}", f"steps.{offer.index}"
        program.variable(used, binary=True)
        program.variable(steps, high=float(offer.greatest), whole=True)
        program.row(f"least.{offer.index}", {steps: 1.0, used: -float(offer.least)}, ">=", 0.0)
        program.row(f"greatest.{offer.index}", {steps: 1.0, used: -float(offer.greatest)}, "<=", 0.0)


def add_days(program: LinearProgram, problem: WeekProblem) -> None:
    """A day with a block is a day with golf, and only such a day."""
    for day in sorted({offer.day for offer in problem.offers}):
        program.variable(f"active.{day}", binary=True)
        used = [f"used.{offer.index}" for offer in problem.offers if offer.day == day]
        program.row(f"idle.{day}", {f"active.{day}": 1.0, **dict.fromkeys(used, -1.0)}, "<=", 0.0)
    for offer in problem.offers:
        terms = {f"used.{offer.index}": 1.0, f"active.{offer.day}": -1.0}
        program.row(f"golf.{offer.index}", terms, "<=", 0.0)


def add_sessions(program: LinearProgram, problem: WeekProblem) -> None:
    """Warm-up, blocks and the minutes between them fit their stretch; a place is left once only."""
    windows: dict[tuple[int, int], list[Offer]] = defaultdict(list)
    for offer in problem.offers:
        windows[offer.day, offer.window].append(offer)
    for (day, window), offers in windows.items():
        spans = [part.span for part in problem.days[day].windows[window].stretches]
        _Session(program, f"{day}.{window}", offers).add([span.minutes for span in spans])


class _Session:
    """The rows of one window. Stretches are numbered in order; those without an offer have no variables."""

    def __init__(self, program: LinearProgram, name: str, offers: Sequence[Offer]) -> None:
        self._program, self._name = program, name
        self._by_stretch: dict[int, list[Offer]] = defaultdict(list)
        for offer in offers:
            self._by_stretch[offer.stretch].append(offer)

    def add(self, minutes: Sequence[int]) -> None:
        before: list[str] = []
        for stretch, offers in sorted(self._by_stretch.items()):
            on, warm = f"on.{self._name}.{stretch}", f"warm.{self._name}.{stretch}"
            self._program.variable(on, binary=True)
            self._program.variable(warm, high=1.0)
            for offer in offers:
                self._program.row(f"{on}.{offer.index}", {f"used.{offer.index}": 1.0, on: -1.0}, "<=", 0.0)
            # the first stretch in use holds the warm-up
            self._program.row(
                f"{warm}.first", {on: 1.0, warm: -1.0, **dict.fromkeys(before, -1.0)}, "<=", 0.0
            )
            before.append(on)
            terms = {f"steps.{offer.index}": float(STEP_MINUTES) for offer in offers}
            terms |= {f"used.{offer.index}": float(CHANGE_MINUTES) for offer in offers}
            terms[warm] = float(WARM_UP_MINUTES)
            if stretch == max(self._by_stretch):
                terms[on] = -float(CHANGE_MINUTES)  # nothing follows the last block
            self._program.row(f"{on}.time", terms, "<=", float(minutes[stretch]))
        self._be_worth_going()
        self._leave_places_once()

    def _be_worth_going(self) -> None:
        """A session away from home holds half an hour of blocks."""
        offers = [offer for found in self._by_stretch.values() for offer in found]
        if all(offer.drill.place == "home" for offer in offers):
            return
        away = f"away.{self._name}"
        self._program.variable(away, high=1.0)
        for offer in offers:
            if offer.drill.place != "home":
                self._program.row(
                    f"{away}.{offer.index}", {f"used.{offer.index}": 1.0, away: -1.0}, "<=", 0.0
                )
        terms = {f"steps.{offer.index}": float(STEP_MINUTES) for offer in offers}
        self._program.row(f"{away}.least", {**terms, away: -float(LEAST_SESSION_MINUTES)}, ">=", 0.0)

    def _leave_places_once(self) -> None:
        """Only one place goes on from a stretch to the next, none further: it comes last there and first here."""
        stretches = sorted(self._by_stretch)
        places = {s: sorted({offer.drill.place for offer in self._by_stretch[s]}) for s in stretches}
        if len(stretches) < 2:
            return
        for stretch in stretches:
            for place in places[stretch]:
                at = self._at(stretch, place)
                self._program.variable(at, high=1.0)
                for offer in self._by_stretch[stretch]:
                    if offer.drill.place == place:
                        terms = {f"used.{offer.index}": 1.0, at: -1.0}
                        self._program.row(f"{at}.{offer.index}", terms, "<=", 0.0)
        goes_on: list[dict[str, float]] = []
        for first, second in pairwise(stretches):
            both = [place for place in places[first] if place in places[second]]
            names = {f"on_from.{self._name}.{first}.{place}": 1.0 for place in both}
            for place, name in zip(both, names, strict=True):
                self._program.variable(name, binary=True)
                terms = {self._at(first, place): 1.0, self._at(second, place): 1.0, name: -1.0}
                self._program.row(f"{name}.both", terms, "<=", 1.0)
            self._program.row(f"on_from.{self._name}.{first}", names, "<=", 1.0)
            goes_on.append(names)
        for place in places[stretches[0]] if len(stretches) > 2 else ():
            if place in places[stretches[2]]:
                terms = {self._at(stretches[0], place): 1.0, self._at(stretches[2], place): 1.0}
                self._program.row(f"again.{self._name}.{place}", terms, "<=", 1.0)
        # one place cannot be first and last among others, so nothing runs through a whole stretch
        for first_names, second_names in pairwise(goes_on):
            self._program.row(f"through.{self._name}", {**first_names, **second_names}, "<=", 1.0)

    def _at(self, stretch: int, place: str) -> str:
        return f"at.{self._name}.{stretch}.{place}"


def effective_hours(problem: WeekProblem, minutes: Mapping[int, int]) -> dict[str, FloatArray]:
    """[parts] effective hours of each effect, of what was done and of minutes by offer."""
    return {
        effect.name: done_hours(problem, effect)
        + sum(
            (
                minutes[offer.index] / 60.0 * _hour(problem, effect, offer.day, offer.drill)
                for offer in problem.offers
                if offer.index in minutes
            ),
            np.zeros(problem.returns.returns.saved.shape[1]),
        )
        for effect in problem.returns.effects
    }


def done_hours(problem: WeekProblem, effect: Effect) -> FloatArray:
    """[parts] effective hours of what was done."""
    hours = np.zeros(problem.returns.returns.saved.shape[1])
    for block in problem.done:
        hours += block.minutes / 60.0 * _hour(problem, effect, block.day, block.drill)
    return hours


def _hour(problem: WeekProblem, effect: Effect, day: int, drill: Drill) -> FloatArray:
    """[parts] what one hour of a drill on a day counts toward an effect."""
    return np.asarray(effect.weight(problem.days[day].days_left, drill) * shares((drill,))[0])


def _add_effect(program: LinearProgram, problem: WeekProblem, effect: Effect) -> None:
    """Every part's return lies below tangents of its curve, so that the program's bound holds for the curve too."""
    offers = problem.offers
    if not offers:
        return
    hours = np.array([_hour(problem, effect, offer.day, offer.drill) for offer in offers])
    hours *= STEP_MINUTES / 60.0
    most = hours.T @ np.array([float(offer.greatest) for offer in offers])
    lines = _tangents(problem, effect, most)
    for part in np.flatnonzero(most > 1e-12):
        reached, gained = f"hours.{effect.name}.{part}", f"gained.{effect.name}.{part}"
        program.variable(reached, high=float(most[part]))
        program.variable(gained, cost=-1.0)
        terms = {f"steps.{o.index}": -float(hours[n, part]) for n, o in enumerate(offers) if hours[n, part]}
        program.row(reached, {reached: 1.0, **terms}, "<=", 0.0)
        for number, (at_none, slopes) in enumerate(lines):
            terms = {gained: 1.0, reached: -float(slopes[part])}
            program.row(f"{gained}.{number}", terms, "<=", float(at_none[part]))


def _tangents(problem: WeekProblem, effect: Effect, most: FloatArray) -> list[tuple[FloatArray, FloatArray]]:
    """Lines over further hours [parts]: their value at no further hour, and their slope, in strokes."""
    done, mean_saved = done_hours(problem, effect), problem.returns.returns.mean_saved
    from_here = effect.steps(done).mean(axis=0)
    lines = []
    for share in (0.0, *np.geomspace(_FIRST_TANGENT, 1.0, TANGENTS - 1)):
        further = share * most
        slopes = effect.slopes(done + further).mean(axis=0) * mean_saved
        value = (effect.steps(done + further).mean(axis=0) - from_here) * mean_saved
        lines.append((value - slopes * further, slopes))
    return lines
