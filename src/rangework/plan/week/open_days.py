"""The days of a plan: when each place can be used, what else fills them, and how far the event is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from rangework.errors import InputError, Problem
from rangework.plan.drills import Place
from rangework.plan.limits import ADULT_AGE
from rangework.plan.week.availability import (
    OUTDOORS,
    Availability,
    DayAvailability,
    Span,
    Window,
    clocks_change_in,
)

Phase = Literal["training", "build", "sharpen", "taper"]
Heat = Literal["open", "half", "closed"]

#: Wet-bulb globe temperatures (C) from which half of the time outdoors is rest, and from which nobody plays:
#: adults who are not used to heat (published.week.heat), and those under 18 (published.week.heat_youth).
HEAT_LIMITS_C = {"adult": (27.9, 30.1), "youth": (26.0, 29.0)}
#: The most days that one plan may have: eight weeks.
MOST_DAYS = 56
#: Days of the taper before an event, and from which length of plan on it is the longer one.
TAPER_DAYS, LONG_TAPER_DAYS, LONG_PLAN_DAYS = 7, 14, 28


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a window in which the same places are open throughout."""

    span: Span
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class OpenWindow:
    """Time for one session: its stretches follow one another."""

    stretches: tuple[Stretch, ...]

    @property
    def span(self) -> Span:
        """From its first minute to its last."""
        return Span(self.stretches[0].span.start, self.stretches[-1].span.end)


@dataclass(frozen=True, slots=True)
class OpenDay:
    """A day of the plan. ``days_left`` until the first round: 1 on the day before; None without an event."""

    date: date
    days_left: int | None
    phase: Phase
    windows: tuple[OpenWindow, ...]
    availability: DayAvailability
    heat: Heat

    @property
    def practice_round(self) -> Span | None:
        """When a practice round is played."""
        return None if self.availability.rest else self.availability.practice_round


def open_days(
    availability: Availability, first: date, last: date, first_round: date | None, *, age: int | None = None
) -> tuple[OpenDay, ...]:
    """Every day from ``first`` to ``last``, the day before the first round where there is one.

    Raises InputError where clocks change within a window, or for no day or more than 56.
    """
    count = (last - first).days + 1
    if not 1 <= count <= MOST_DAYS:
        raise InputError(
            Problem("days", "", f"{first} to {last}", f"1 to {MOST_DAYS} days, the last before the event")
        )
    days = [_open_day(availability, first + timedelta(days=n), count, first_round, age) for n in range(count)]
    problems = [
        Problem("availability", str(day.date), str(window.span), "a window in which the clocks do not change")
        for day in days
        for window in day.windows
        if clocks_change_in(day.date, window.span, availability.time_zone)
    ]
    if problems:
        raise InputError(problems)
    return tuple(days)


def _open_day(
    availability: Availability, day: date, count: int, first_round: date | None, age: int | None
) -> OpenDay:
    that_day = availability.on(day)
    heat = heat_of(that_day.heat_wbgt_c, age)
    left = None if first_round is None else (first_round - day).days
    windows = () if that_day.rest else tuple(_open_windows(that_day, availability, heat))
    return OpenDay(day, left, phase_of(left, count), windows, that_day, heat)


def phase_of(days_left: int | None, days: int) -> Phase:
    """What a day is for: build, then sharpen, then taper; the last two share what is left beside the taper.

    Plans up to a week before an event are taper alone.
    """
    if days_left is None:
        return "training"
    taper = LONG_TAPER_DAYS if days > LONG_PLAN_DAYS else TAPER_DAYS
    if days_left <= taper:
        return "taper"
    return "sharpen" if days_left <= taper + (days - taper + 1) // 2 else "build"


def heat_of(wbgt_c: float | None, age: int | None) -> Heat:
    """What the heat allows outdoors."""
    if wbgt_c is None:
        return "open"
    half, closed = HEAT_LIMITS_C["youth" if age is not None and age < ADULT_AGE else "adult"]
    return "closed" if wbgt_c >= closed else "half" if wbgt_c >= half else "open"


def _open_windows(day: DayAvailability, availability: Availability, heat: Heat) -> Iterator[OpenWindow]:
    busy = [*(day.travel or ()), *(day.duties or ()), *([day.practice_round] if day.practice_round else [])]
    for window in day.windows or ():
        for piece in window.span.without(busy):
            stretches = tuple(_stretches(Window(piece, window.places), day.daylight, availability.lit, heat))
            if stretches:
                yield OpenWindow(stretches)


def _stretches(
    window: Window, daylight: Span | None, lit: tuple[Place, ...], heat: Heat
) -> Iterator[Stretch]:
    """The window cut at dawn and dusk; pieces without an open place are left out."""
    cuts = {window.span.start, window.span.end}
    if daylight:
        cuts |= {cut for cut in (daylight.start, daylight.end) if window.span.start < cut < window.span.end}
    ordered = sorted(cuts)
    before: Stretch | None = None
    for start, end in pairwise(ordered):
        light = daylight is None or (daylight.start <= start and end <= daylight.end)
        places = tuple(place for place in window.places if _is_open(place, lit, heat, light=light))
        if before and before.places == places:
            before = Stretch(Span(before.span.start, end), places)
            continue
        if before and before.places:
            yield before
        before = Stretch(Span(start, end), places)
    if before and before.places:
        yield before


def _is_open(place: Place, lit: tuple[Place, ...], heat: Heat, *, light: bool) -> bool:
    return place not in OUTDOORS or (heat != "closed" and (light or place in lit))
