"""When and where a player can practise: windows by day, what else fills the day, daylight and time zone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from rangework.plan.drills import Place

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MINUTES_IN_DAY = 24 * 60
#: Places under the sky, which need daylight unless they are lit.
OUTDOORS: tuple[Place, ...] = ("range", "short_game_area", "putting_green", "course")


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a day, in minutes after midnight by the local clock."""

    start: int
    end: int

    @property
    def minutes(self) -> int:
        """How long it is."""
        return self.end - self.start

    def meets(self, other: Span) -> bool:
        """Whether the two share a minute."""
        return self.start < other.end and other.start < self.end

    def without(self, others: Sequence[Span]) -> tuple[Span, ...]:
        """What is left of it outside the others, in order."""
        left = [self]
        for other in sorted(others):
            left = [
                piece
                for span in left
                for piece in (
                    Span(span.start, min(span.end, other.start)),
                    Span(max(span.start, other.end), span.end),
                )
                if piece.start < piece.end
            ]
        return tuple(sorted(set(left)))

    def __str__(self) -> str:
        return f"{clock_time(self.start)}-{clock_time(self.end)}"


def clock_time(minute: int) -> str:
    """Minutes after midnight as ``17:30``."""
    return f"{minute // 60:02d}:{minute % 60:02d}"


@dataclass(frozen=True, slots=True)
class Window:
    """Time that can be used for practice, and the places open in it."""

    span: Span
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class DayAvailability:
    """What a day holds. None leaves open what another table may say.

    ``heat_wbgt_c``: the wet-bulb globe temperature expected, degrees Celsius.
    """

    windows: tuple[Window, ...] | None = None
    travel: tuple[Span, ...] | None = None
    duties: tuple[Span, ...] | None = None
    practice_round: Span | None = None
    daylight: Span | None = None
    heat_wbgt_c: float | None = None
    rest: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Availability:
    """What an availability file says.

    ``usual_hours`` and ``usual_days`` are those of practice in the player's usual week; the green speeds are
    stimpmeter readings in feet, at the event and where the player practises. ``lit`` places need no daylight.
    """

    event: str = ""
    time_zone: str = "UTC"
    usual_hours: float | None = None
    usual_days: int | None = None
    event_stimp_ft: float | None = None
    practice_stimp_ft: float | None = None
    daylight: Span | None = None
    lit: tuple[Place, ...] = ()
    by_weekday: Mapping[int, DayAvailability] = field(default_factory=dict)
    by_date: Mapping[date, DayAvailability] = field(default_factory=dict)

    def on(self, day: date) -> DayAvailability:
        """That day: what its date says, the rest as on its weekday, and daylight as on all days."""
        usual = self.by_weekday.get(day.weekday(), DayAvailability())
        own = self.by_date.get(day, DayAvailability())
        return DayAvailability(
            windows=usual.windows if own.windows is None else own.windows,
            travel=usual.travel if own.travel is None else own.travel,
            duties=usual.duties if own.duties is None else own.duties,
            practice_round=own.practice_round or usual.practice_round,
            daylight=own.daylight or usual.daylight or self.daylight,
            heat_wbgt_c=usual.heat_wbgt_c if own.heat_wbgt_c is None else own.heat_wbgt_c,
            rest=own.rest or usual.rest,
            note=own.note or usual.note,
        )


def local_time(day: date, minute: int, zone: str) -> datetime:
    """A minute of a day by the clock of the zone."""
    midnight = datetime.combine(day, time(), ZoneInfo(zone))
    return midnight + timedelta(minutes=minute)


def clocks_change_in(day: date, span: Span, zone: str) -> bool:
    """Whether the clocks are put forward or back within the span: its minutes are then not what they seem."""
    start, end = (local_time(day, minute, zone) for minute in (span.start, span.end))
    return start.utcoffset() != end.utcoffset()
