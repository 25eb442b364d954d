"""The limits of a plan by day as rows over its offers, for the program and for messages alike."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from rangework.plan.drills import Drill
from rangework.plan.linear_program import Sense
from rangework.plan.week.availability import OUTDOORS
from rangework.plan.week.effects import WeekReturns
from rangework.plan.week.offers import LAST_DAYS, STEP_MINUTES, DoneBlock, Offer, is_early
from rangework.plan.week.open_days import OpenDay
from rangework.plan.week.week_limits import (
    LAST_DAY_MINUTES,
    LAST_DAY_SWINGS,
    MOST_VOLUME,
    ROUND_SWINGS,
    TAPER_DAYS_SHARE,
    TAPER_LEAST,
    UNKNOWN_USUAL_SHARE,
    WeekLimits,
)
from rangework.skill.parts import PART_BY_ID

#: A coefficient by day number and drill.
ByBlock = Callable[[int, Drill], float]
_REACH = 0.5


@dataclass(frozen=True, slots=True)
class Row:
    """Sum of coefficient x variable ``<=`` or ``>=`` ``bound``.

    Variables: ``steps.N`` and ``used.N`` of offer N, ``active.D`` of day number D. Rows of one ``group`` are one
    limit to a reader, who may give it up, though never gladly where it is for ``safety``.
    """

    name: str
    group: str
    text: str
    unit: str
    terms: dict[str, float]
    sense: Sense
    bound: float
    safety: bool = False


@dataclass(frozen=True, slots=True)
class WeekProblem:
    """Days, what may be laid into them, what was done already, and what keeps it in bounds."""

    days: tuple[OpenDay, ...]
    drills: tuple[Drill, ...]
    offers: tuple[Offer, ...]
    done: tuple[DoneBlock, ...]
    limits: WeekLimits
    returns: WeekReturns

    @property
    def event(self) -> bool:
        """Whether the days lead to an event."""
        return self.days[-1].days_left is not None

    def weeks(self) -> list[range]:
        """Numbers of the days by week, counted back from the last day."""
        ends = [*range(len(self.days), 0, -7), 0]
        return [range(max(start, 0), end) for end, start in pairwise(ends)][::-1]

    def sevens(self) -> list[range]:
        """Any seven days in a row; all days where there are fewer."""
        return [range(start, start + 7) for start in range(len(self.days) - 6)] or [range(len(self.days))]


def swings(drill: Drill) -> float:
    """Full swings a minute."""
    return drill.full_swings_per_hour / 60.0


def main_part(drill: Drill) -> str:
    """The part that most of an hour of the drill acts on."""
    return max(drill.trains, key=lambda part: drill.trains[part])


def week_rows(problem: WeekProblem) -> tuple[Row, ...]:
    """Every limit on the offers. What was done counts; where it already exceeds a limit, no more is added."""
    made = _Rows(problem)
    rows = (
        *made.swing_rows(),
        *made.time_rows(),
        *made.rest_rows(),
        *made.volume_rows(),
        *made.variety_rows(),
        *made.order_rows(),
        *made.last_day_rows(),
        *made.needed_rows(),
        *made.asked_rows(),
    )
    return tuple(
        row
        for row in rows
        if (row.terms or (row.sense == ">=" and row.bound > 0.0))
        and (row.safety or row.group not in problem.limits.given_up)
    )


class _Rows:
    """Makes rows; coefficients are given by day and drill, so that what was done counts like what is offered."""

    def __init__(self, problem: WeekProblem) -> None:
        self._problem = problem
        self._days = problem.days
        self._limits = problem.limits

    def swing_rows(self) -> Iterator[Row]:
        for number, day in enumerate(self._days):
            most = self._limits.full_swings_per_day - self._round_swings(range(number, number + 1))
            text = f"full swings on {day.date:%a %d %b}"
            yield self._most(
                f"swings.{day.date}", "full swings a day", text, "full swings", range(number, number + 1),
                _swings, most, safety=True,
            )  # fmt: skip
        for seven in self._problem.sevens():
            most = self._limits.full_swings_per_week - self._round_swings(seven)
            text = f"full swings in the week from {self._days[seven[0]].date:%a %d %b}"
            yield self._most(
                f"swings.week.{seven[0]}", "full swings a week", text, "full swings", seven,
                _swings, most, safety=True,
            )  # fmt: skip

    def time_rows(self) -> Iterator[Row]:
        for number, day in enumerate(self._days):
            on = range(number, number + 1)
            most = 60.0 * self._limits.hours_per_day - (
                day.practice_round.minutes if day.practice_round else 0
            )
            text = f"minutes of golf on {day.date:%a %d %b}"
            yield self._most(f"minutes.{day.date}", "hours a day", text, "min", on, _one, most, safety=True)
            if day.heat == "half":
                open_minutes = sum(
                    part.span.minutes
                    for window in day.windows
                    for part in window.stretches
                    if set(part.places) & set(OUTDOORS)
                )
                text = f"minutes outdoors in the heat of {day.date:%a %d %b}: half of the time is rest"
                yield self._most(
                    f"heat.{day.date}", "rest in the heat", text, "min", on, _outdoors, 0.5 * open_minutes, safety=True
                )  # fmt: skip
        if self._limits.hours_per_week is not None:
            for seven in self._problem.sevens():
                rounds = [self._days[number].practice_round for number in seven]
                most = 60.0 * self._limits.hours_per_week - sum(each.minutes for each in rounds if each)
                text = f"minutes of a junior in the week from {self._days[seven[0]].date:%a %d %b}"
                yield self._most(
                    f"junior.{seven[0]}", "a junior's hours a week", text, "min", seven, _one, most, safety=True
                )  # fmt: skip

    def rest_rows(self) -> Iterator[Row]:
        most = self._limits.days_per_week
        busy = self._busy()
        offered = {offer.day for offer in self._problem.offers}
        for seven in self._problem.sevens():
            if len(seven) > most:
                fixed = sum(number in busy for number in seven)
                terms = {f"active.{number}": 1.0 for number in seven if number in offered - busy}
                text = f"days with golf in the week from {self._days[seven[0]].date:%a %d %b}"
                left = max(0.0, float(most - fixed))
                yield Row(f"rest.{seven[0]}", "rest days", text, "days", terms, "<=", left, safety=True)

    def volume_rows(self) -> Iterator[Row]:
        limits = self._limits
        for week in self._problem.weeks():
            share = sum(self._volume(number) for number in week) / 7.0
            when = f"the week to {self._days[week[-1]].date:%a %d %b}"
            group = "taper" if self._days[week[-1]].phase == "taper" else "usual volume"
            if limits.usual_hours is not None:
                most = 60.0 * share * limits.usual_hours
                text = f"minutes in {when}, {100 * share * 7 / len(week):.0f} % of the usual"
                yield self._most(f"volume.{week[0]}", group, text, "min", week, _one, most)
            usual = limits.usual_swings or (limits.full_swings_per_week if group == "taper" else None)
            if usual is not None:
                most = share * usual - self._round_swings(week)
                text = f"full swings in {when}, {100 * share * 7 / len(week):.0f} % of the usual"
                name = f"volume_swings.{week[0]}"
                yield self._most(name, group, text, "full swings", week, _swings, most)

    def variety_rows(self) -> Iterator[Row]:
        drills = self._problem.drills
        parts = tuple(dict.fromkeys(main_part(drill) for drill in drills))
        share = max(self._limits.largest_share, 1.0 / max(1, len(parts)))
        for week in self._problem.weeks():
            room = float(sum(window.span.minutes for number in week for window in self._days[number].windows))
            if self._limits.usual_hours is not None:
                usual = 60.0 * self._limits.usual_hours * sum(self._volume(number) for number in week) / 7.0
                room = min(room, usual)
            for part in parts if share < 1.0 else ():
                block = max(
                    (
                        o.least * STEP_MINUTES
                        for o in self._problem.offers
                        if o.day in week and main_part(o.drill) == part
                    ),
                    default=0,
                )
                text = f"minutes on drills for {PART_BY_ID[part].name}, {share:.0%} of the week or one block"
                yield self._most(
                    f"variety.{week[0]}.{part}", "variety", text, "min", week,
                    _mainly(part), max(share * room, block),
                )  # fmt: skip
            for drill in drills:
                if drill.most_a_week < len(week):
                    yield self._most_sessions(f"often.{week[0]}.{drill.id}", week, drill, drill.most_a_week)
        for number in range(len(self._days)):
            if len(self._days[number].windows) > 1 or any(
                len(window.stretches) > 1 for window in self._days[number].windows
            ):
                for drill in drills:
                    name = f"once.{number}.{drill.id}"
                    yield self._most_sessions(name, range(number, number + 1), drill, 1)

    def order_rows(self) -> Iterator[Row]:
        early = [number for number, day in enumerate(self._days) if is_early(day.days_left, len(self._days))]
        if early:
            yield self._most(
                "order.early", "blocked early",
                "minutes of random practice above half of those in the first days", "min", early,
                lambda _day, drill: 0.5 if drill.order == "random" else -0.5, 0.0,
            )  # fmt: skip

    def last_day_rows(self) -> Iterator[Row]:
        last = len(self._days) - 1
        if self._problem.event and self._days[last].days_left == 1:
            on = range(last, last + 1)
            group, when = "light last day", "on the day before the first round"
            yield self._most("last.minutes", group, f"minutes {when}", "min", on, _one, LAST_DAY_MINUTES)
            most = LAST_DAY_SWINGS - self._round_swings(on)
            yield self._most(
                "last.swings", group, f"full swings {when}", "full swings", on, _swings, most
            )  # fmt: skip

    def needed_rows(self) -> Iterator[Row]:
        if not self._problem.event:
            return
        last = [
            number
            for number, day in enumerate(self._days)
            if day.days_left is not None and day.days_left <= LAST_DAYS
        ]
        yield self._one_block("rehearsal", "the shots this course asks for, in the last three days", last,
                              lambda drill: drill.rehearses_course)  # fmt: skip
        yield self._one_block("pace", "pace at the event's green speed, in the last three days", last,
                              _is_pace)  # fmt: skip
        yield from self._intensity_rows()
        yield from self._frequency_rows()

    def asked_rows(self) -> Iterator[Row]:
        everything = range(len(self._days))
        for id_, hours in self._limits.least_hours_by_drill.items():
            yield self._least(
                f"asked.{id_}", f"minutes of {id_} that were asked for", everything,
                _only(id_), 60.0 * hours,
            )  # fmt: skip
        for part, hours in self._limits.least_hours_by_part.items():
            yield self._least(
                f"asked.{part}", f"effective minutes of {PART_BY_ID[part].name} that were asked for", everything,
                _acting_on(part), 60.0 * hours,
            )  # fmt: skip

    def _intensity_rows(self) -> Iterator[Row]:
        """Full swings are not to fall below the published reduction in any week, as far as the windows reach."""
        usual = self._limits.usual_swings or UNKNOWN_USUAL_SHARE * self._limits.full_swings_per_week
        for week in self._problem.weeks():
            if len(week) == 7:
                room = TAPER_LEAST * usual - self._round_swings(week)
                reach = self._amount(week, _swings)[1] + _REACH * self._reachable(week)
                when = f"the week to {self._days[week[-1]].date:%a %d %b}"
                text = f"full swings in {when}, 40 % of the usual: volume falls, intensity stays"
                row = self._least(
                    f"intensity.{week[0]}", text, week, _swings, min(room, reach), "full swings"
                )
                yield replace(row, group="intensity")

    def _frequency_rows(self) -> Iterator[Row]:
        """A taper keeps most of the days of practice, as far as there are windows."""
        usual, week = self._limits.usual_days, self._problem.weeks()[-1]
        if usual is None or len(week) < 7:
            return
        busy = self._busy()
        open_days = {offer.day for offer in self._problem.offers if offer.day in week} - busy
        wanted = min(math.ceil(TAPER_DAYS_SHARE * usual), self._limits.days_per_week, len(open_days | busy))
        terms = {f"active.{number}": 1.0 for number in sorted(open_days)}
        text = f"days of golf in the last week, for {usual} in a usual one"
        left = max(0.0, float(wanted - len(busy & set(week))))
        yield Row("frequency", "frequency", text, "days", terms, ">=", left)

    def _busy(self) -> set[int]:
        """Days with golf whatever is planned: a practice round, or what was done."""
        rounds = {number for number, day in enumerate(self._days) if day.practice_round}
        return rounds | {block.day for block in self._problem.done}

    def _reachable(self, week: Sequence[int]) -> float:
        """Full swings that the windows of a week, and the minutes that it may have, hold at most."""
        best: dict[tuple[int, int, int], float] = defaultdict(float)
        for offer in self._problem.offers:
            if offer.day in week:
                key = offer.day, offer.window, offer.stretch
                best[key] = max(best[key], STEP_MINUTES * offer.greatest * swings(offer.drill))
        by_day: dict[int, float] = defaultdict(float)
        for (day, _, _), most in best.items():
            by_day[day] = min(self._limits.full_swings_per_day, by_day[day] + most)
        reach = sum(by_day.values())
        if self._limits.usual_hours is not None:
            fastest = max((swings(drill) for drill in self._problem.drills), default=0.0)
            usual = 60.0 * self._limits.usual_hours / 7.0
            reach = min(reach, fastest * usual * sum(self._volume(number) for number in week))
        return reach

    def _volume(self, number: int) -> float:
        return MOST_VOLUME.get(self._days[number].phase, MOST_VOLUME["build"])

    def _round_swings(self, numbers: Sequence[int]) -> float:
        return float(sum(ROUND_SWINGS for number in numbers if self._days[number].practice_round))

    def _amount(self, numbers: Sequence[int], per_minute: ByBlock) -> tuple[dict[str, float], float]:
        """Terms of the offers on these days, and what was done on them."""
        within = set(numbers)
        terms = {
            f"steps.{offer.index}": STEP_MINUTES * each
            for offer in self._problem.offers
            if offer.day in within and (each := per_minute(offer.day, offer.drill))
        }
        done = sum(
            block.minutes * per_minute(block.day, block.drill)
            for block in self._problem.done
            if block.day in within
        )
        return terms, done

    def _most(
        self, name: str, group: str, text: str, unit: str, numbers: Sequence[int], per_minute: ByBlock, most: float,
        *, safety: bool = False,
    ) -> Row:  # fmt: skip
        terms, done = self._amount(numbers, per_minute)
        return Row(name, group, text, unit, terms, "<=", max(0.0, most - done), safety)

    def _least(
        self, name: str, text: str, numbers: Sequence[int], per_minute: ByBlock, least: float, unit: str = "min"
    ) -> Row:  # fmt: skip
        terms, done = self._amount(numbers, per_minute)
        return Row(name, name, text, unit, terms, ">=", max(0.0, least - done))

    def _most_sessions(self, name: str, numbers: Sequence[int], drill: Drill, most: int) -> Row:
        within = set(numbers)
        terms = {f"used.{o.index}": 1.0 for o in self._problem.offers if o.day in within and o.drill is drill}
        done = sum(block.day in within and block.drill.id == drill.id for block in self._problem.done)
        text = f"sessions of {drill.name}"
        return Row(name, "how often", text, "sessions", terms, "<=", max(0.0, float(most - done)))

    def _one_block(
        self, name: str, text: str, numbers: Sequence[int], wanted: Callable[[Drill], bool]
    ) -> Row:
        within = set(numbers)
        terms = {f"used.{o.index}": 1.0 for o in self._problem.offers if o.day in within and wanted(o.drill)}
        done = any(block.day in within and wanted(block.drill) for block in self._problem.done)
        return Row(name, name, f"a block of {text}", "blocks", terms, ">=", float(bool(terms) and not done))


def _one(_day: int, _drill: Drill) -> float:
    return 1.0


def _outdoors(_day: int, drill: Drill) -> float:
    return float(drill.place in OUTDOORS)


def _swings(_day: int, drill: Drill) -> float:
    return swings(drill)


def _mainly(part: str) -> ByBlock:
    return lambda _day, drill: float(main_part(drill) == part)


def _only(id_: str) -> ByBlock:
    return lambda _day, drill: float(drill.id == id_)


def _acting_on(part: str) -> ByBlock:
    return lambda _day, drill: drill.trains.get(part, 0.0)


def _is_pace(drill: Drill) -> bool:
    return drill.place == "putting_green" and main_part(drill) == "putt.pace"
