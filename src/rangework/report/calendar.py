"""The plan as a calendar file (RFC 5545): one entry a session, updated and cancelled by stable ids."""

from __future__ import annotations

import hashlib
import re
import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from rangework.plan.drills import Drill
from rangework.plan.week.availability import Span, clock_time
from rangework.plan.week.earlier import Issued
from rangework.plan.week.week_plan import PlannedDay, Session, WeekPlan
from rangework.report.time_zone import time_zone_lines

#: Ids of entries are made within this name space, so that the same session has the same id on every machine.
_NAMESPACE = uuid.UUID("7c0f5f4e-6d2b-5a43-9c6e-2f1d0b9a8e57")
_PRODUCT = "-//rangework//week//EN"
_MOST_OCTETS = 75
_LINE_ENDS = re.compile("\r\n|[\n\r\x0b\x0c\x1c-\x1e\x85\u2028\u2029]")
_CONTROLS = re.compile("[\x00-\x08\x0e-\x1f\x7f]")
_STAMP = "%Y%m%dT%H%M%S"


@dataclass(frozen=True, slots=True)
class CalendarEntry:
    """One entry. ``start`` and ``end`` are local, without zone; dates for a whole day."""

    uid: str
    start: datetime | date
    end: datetime | date
    summary: str
    description: str = ""
    location: str = ""
    sequence: int = 0
    cancelled: bool = False

    @property
    def fingerprint(self) -> str:
        """Changes when anything changes that a reader sees."""
        told = (self.start.isoformat(), self.end.isoformat(), self.summary, self.description, self.location)
        return hashlib.sha256(
            "\x1f".join((*told, str(self.cancelled))).encode("utf-8", "replace")
        ).hexdigest()[:16]

    def issued(self) -> Issued:
        """What must be remembered of it to update it later."""
        ends = self.start.isoformat(), self.end.isoformat()
        return Issued(self.uid, self.sequence, self.fingerprint, *ends, self.summary)


def calendar_entries(
    plan: WeekPlan, *, player: str, event: str, drills: Iterable[Drill] = (), course: str = ""
) -> list[CalendarEntry]:
    """An entry for every session, practice round and for the first round, in order."""
    how = {drill.id: drill.how for drill in drills}
    entries = []
    for day in plan.days:
        entries += [_session_entry(session, player, how) for session in day.sessions]
        entries += _round_entries(day, player, course)
    if plan.first_round:
        name = event or "First round"
        words = f"{name}: first round" if event else name
        entries.append(
            CalendarEntry(
                _uid(player, plan.first_round, "first round"), plan.first_round,
                plan.first_round + timedelta(days=1), words, location=course,
            )
        )  # fmt: skip
    return entries


def numbered(entries: Sequence[CalendarEntry], before: Sequence[Issued]) -> list[CalendarEntry]:
    """The entries with their revision numbers; entries that were issued before and are gone, cancelled.

    What has not changed keeps its number, what has changed gets the next (RFC 5545, 3.8.7.4).
    """
    known = {each.uid: each for each in before}
    numbered = []
    for entry in entries:
        old = known.pop(entry.uid, None)
        changed = old is not None and old.fingerprint != entry.fingerprint
        numbered.append(replace(entry, sequence=(old.sequence if old else 0) + changed))
    return numbered + [_cancelled(each) for each in known.values()]


def calendar_text(entries: Sequence[CalendarEntry], zone: str, stamp: datetime) -> str:
    """The file: CRLF line ends, lines folded at 75 octets. ``stamp`` is when it was made, with its zone."""
    days = [entry.start if not isinstance(entry.start, datetime) else entry.start.date() for entry in entries]
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODUCT}", "CALSCALE:GREGORIAN"]
    if any(isinstance(entry.start, datetime) for entry in entries):
        lines += time_zone_lines(zone, min(days), max(days))
    made = f"{stamp.astimezone(UTC):{_STAMP}}Z"
    for entry in entries:
        lines += _entry_lines(entry, zone, made)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in fold(line))


def escaped(text: str) -> str:
    r"""A text as a value (RFC 5545, 3.3.11): backslash, semicolon, comma and line ends escaped, controls left out.

    >>> escaped("a;b, c")
    'a\\;b\\, c'
    """
    text = _CONTROLS.sub("", _LINE_ENDS.sub("\n", text))
    text = text.encode("utf-8", "replace").decode("utf-8")
    return re.sub(r"([\\;,])", r"\\\1", text).replace("\n", r"\n")


def fold(line: str) -> Iterator[str]:
    """The line in pieces of at most 75 octets, none cutting a character; all but the first begin with a space."""
    piece, octets = "", 0
    for character in line:
        size = len(character.encode("utf-8"))
        if octets + size > _MOST_OCTETS:
            yield piece
            piece, octets = " ", 1
        piece += character
        octets += size
    yield piece


def _session_entry(session: Session, player: str, how: dict[str, str]) -> CalendarEntry:
    places = list(dict.fromkeys(block.place for block in session.blocks))
    where = ", ".join(_place_words(place) for place in places)
    start, end = _times(session.date, session.span)
    lines = [f"{clock_time(session.warm_up.start)} Warm up, {session.warm_up.minutes} min"]
    for block in session.blocks:
        balls = f", {block.balls} balls" if block.balls else ""
        lines.append(f"{clock_time(block.span.start)} {block.name}, {block.minutes} min{balls}")
        lines += [text for text in (how.get(block.drill, ""), block.note) if text]
    lines.append("Pain, injury or illness: stop, and see a doctor or physiotherapist.")
    who = f" ({player})" if player else ""
    uid = _uid(player, session.date, f"session {session.number}")
    return CalendarEntry(uid, start, end, f"Practice: {where}{who}", "\n".join(lines), where)


def _round_entries(day: PlannedDay, player: str, course: str) -> list[CalendarEntry]:
    if day.practice_round is None:
        return []
    start, end = _times(day.date, day.practice_round)
    who = f" ({player})" if player else ""
    uid = _uid(player, day.date, "practice round")
    text = "Warm up for 10 minutes. Settle the aims; the score does not count."
    return [CalendarEntry(uid, start, end, f"Practice round{who}", text, course)]


def _place_words(place: str) -> str:
    return place.replace("_", " ")


def _times(day: date, span: Span) -> tuple[datetime, datetime]:
    midnight = datetime(day.year, day.month, day.day)
    return midnight + timedelta(minutes=span.start), midnight + timedelta(minutes=span.end)


def _uid(player: str, day: date, what: str) -> str:
    key = "\x1f".join((player, day.isoformat(), what)).encode("utf-8", "replace").decode("utf-8")
    return f"{uuid.uuid5(_NAMESPACE, key)}@rangework"


def _cancelled(old: Issued) -> CalendarEntry:
    read = date.fromisoformat if len(old.start) == len("2026-09-28") else datetime.fromisoformat
    gone = CalendarEntry(old.uid, read(old.start), read(old.end), old.summary, cancelled=True)
    return replace(gone, sequence=old.sequence + (gone.fingerprint != old.fingerprint))


def _entry_lines(entry: CalendarEntry, zone: str, made: str) -> list[str]:
    lines = ["BEGIN:VEVENT", f"UID:{entry.uid}", f"DTSTAMP:{made}", f"SEQUENCE:{entry.sequence}"]
    for name, when in (("DTSTART", entry.start), ("DTEND", entry.end)):
        if isinstance(when, datetime):
            lines.append(f"{name};TZID={zone}:{when:{_STAMP}}")
        else:
            lines.append(f"{name};VALUE=DATE:{when:%Y%m%d}")
    lines.append(f"SUMMARY:{escaped(entry.summary)}")
    lines += [f"DESCRIPTION:{escaped(entry.description)}"] if entry.description else []
    lines += [f"LOCATION:{escaped(entry.location)}"] if entry.location else []
    lines += [f"STATUS:{'CANCELLED' if entry.cancelled else 'CONFIRMED'}"]
    lines += [] if isinstance(entry.start, datetime) else ["TRANSP:TRANSPARENT"]
    return [*lines, "END:VEVENT"]
