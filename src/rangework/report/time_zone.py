"""A time zone as a calendar file needs it: its changes of offset around the days of the file (RFC 5545, 3.6.5)."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

#: Every zone with daylight saving changes within this many days.
_LOOK_BACK, _LOOK_AHEAD = 400, 400


def time_zone_lines(zone: str, first: date, last: date) -> list[str]:
    """The VTIMEZONE of a zone, each change of the clocks from before the first day to after the last on its own."""
    changes = list(_changes(ZoneInfo(zone), first, last))
    lines = ["BEGIN:VTIMEZONE", f"TZID:{zone}"]
    if not changes:
        at = datetime.combine(first, time(12), ZoneInfo(zone))
        offset = at.utcoffset() or timedelta()
        lines += _observance("STANDARD", datetime(1970, 1, 1), offset, offset, at.tzname() or zone)
    for at, before in changes:
        local = at.astimezone(ZoneInfo(zone))
        kind = "DAYLIGHT" if local.dst() else "STANDARD"
        # the onset is told by the clock as it stood before the change
        onset = (at + before).replace(tzinfo=None)
        lines += _observance(kind, onset, before, local.utcoffset() or timedelta(), local.tzname() or zone)
    return [*lines, "END:VTIMEZONE"]


def _observance(kind: str, onset: datetime, before: timedelta, after: timedelta, name: str) -> list[str]:
    return [
        f"BEGIN:{kind}",
        f"DTSTART:{onset:%Y%m%dT%H%M%S}",
        f"TZOFFSETFROM:{_offset(before)}",
        f"TZOFFSETTO:{_offset(after)}",
        f"TZNAME:{name}",
        f"END:{kind}",
    ]


def _offset(offset: timedelta) -> str:
    seconds = round(offset.total_seconds())
    sign, seconds = ("-", -seconds) if seconds < 0 else ("+", seconds)
    hours, rest = divmod(seconds, 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{sign}{hours:02d}{minutes:02d}" + (f"{seconds:02d}" if seconds else "")


def _changes(zone: ZoneInfo, first: date, last: date) -> Iterator[tuple[datetime, timedelta]]:
    """When (UTC) the offset changes, with the offset before; the last one before the first day included."""
    noon = datetime.combine(first, time(12), UTC)
    found = []
    for number in range(-_LOOK_BACK, (last - first).days + _LOOK_AHEAD):
        start = noon + timedelta(days=number)
        end = start + timedelta(days=1)
        if _offset_at(start, zone) != _offset_at(end, zone):
            found.append((_onset(start, end, zone), _offset_at(start, zone)))
    before = [change for change in found if change[0] < noon - timedelta(days=1)]
    yield from (before[-1:] + [change for change in found if change not in before]) if before else ()


def _onset(start: datetime, end: datetime, zone: ZoneInfo) -> datetime:
    """The first second with the later offset, between two instants that differ in it."""
    low, high = 0, round((end - start).total_seconds())
    while high - low > 1:
        middle = (low + high) // 2
        if _offset_at(start + timedelta(seconds=middle), zone) == _offset_at(start, zone):
            low = middle
        else:
            high = middle
    return start + timedelta(seconds=high)


def _offset_at(instant: datetime, zone: ZoneInfo) -> timedelta:
    return instant.astimezone(zone).utcoffset() or timedelta()
