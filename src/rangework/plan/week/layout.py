"""From offers taken to sessions with times: places one after another, blocked practice before random."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rangework.plan.drills import Drill, Place
from rangework.plan.week.availability import Span
from rangework.plan.week.offers import CHANGE_MINUTES, WARM_UP_MINUTES, Offer
from rangework.plan.week.open_days import OpenDay, OpenWindow
from rangework.plan.week.week_plan import PlannedBlock, Session

#: The order of places within a session where nothing else decides it.
_PLACES: tuple[Place, ...] = ("home", "range", "short_game_area", "putting_green", "course")
_ORDERS = ("blocked", "either", "random")


@dataclass(frozen=True, slots=True)
class _Piece:
    stretch: int
    drill: Drill
    minutes: int


def sessions(
    days: Sequence[OpenDay],
    offers: Iterable[Offer],
    minutes: Mapping[int, int],
    notes: Mapping[str, str] | None = None,
) -> dict[int, tuple[Session, ...]]:
    """By number of the day, its sessions. ``notes``: what to say beside a drill."""
    pieces: dict[tuple[int, int], list[_Piece]] = {}
    for offer in offers:
        if offer.index in minutes:
            piece = _Piece(offer.stretch, offer.drill, minutes[offer.index])
            pieces.setdefault((offer.day, offer.window), []).append(piece)
    laid: dict[int, tuple[Session, ...]] = {}
    for (day, window), found in sorted(pieces.items()):
        session = _session(days[day], window, found, notes or {})
        laid[day] = (*laid.get(day, ()), session)
    return laid


def _session(day: OpenDay, window: int, pieces: Sequence[_Piece], notes: Mapping[str, str]) -> Session:
    opened = day.windows[window]
    ordered = _ordered(pieces)
    start = _start(opened, ordered)
    warm_up = Span(start, start + WARM_UP_MINUTES)
    clock, blocks = warm_up.end, []
    for number, piece in enumerate(ordered):
        clock += CHANGE_MINUTES if number else 0
        if len({each.stretch for each in ordered}) > 1:
            clock = max(clock, opened.stretches[piece.stretch].span.start)
        blocks.append(_block(piece.drill, Span(clock, clock + piece.minutes), notes))
        clock += piece.minutes
    return Session(day.date, window + 1, Span(start, clock), warm_up, tuple(blocks))


def _block(drill: Drill, span: Span, notes: Mapping[str, str]) -> PlannedBlock:
    hours = span.minutes / 60.0
    return PlannedBlock(
        drill.id, drill.name, drill.place, span,
        round(hours * drill.balls_per_hour), round(hours * drill.full_swings_per_hour),
        drill.purpose, drill.order, notes.get(drill.id, ""),
    )  # fmt: skip


def _start(opened: OpenWindow, ordered: Sequence[_Piece]) -> int:
    """The window's first minute, or so much later that the session runs on into its next stretch."""
    used = list(dict.fromkeys(piece.stretch for piece in ordered))
    first = opened.stretches[used[0]].span
    if len(used) == 1:
        places = {piece.drill.place for piece in ordered}
        before = [part for part in opened.stretches[: used[0]] if places <= set(part.places)]
        return min([part.span.start for part in before], default=first.start)
    here = [piece.minutes + CHANGE_MINUTES for piece in ordered if piece.stretch == used[0]]
    return max(first.start, first.end - WARM_UP_MINUTES - sum(here))


def _ordered(pieces: Sequence[_Piece]) -> list[_Piece]:
    """Stretch by stretch; a place used on both sides of a cut comes last before it and first after it."""
    used = sorted({piece.stretch for piece in pieces})
    places = {stretch: {p.drill.place for p in pieces if p.stretch == stretch} for stretch in used}
    ordered: list[_Piece] = []
    for number, stretch in enumerate(used):
        before = places[used[number - 1]] if number else set()
        after = places[used[number + 1]] if number + 1 < len(used) else set()
        here = [piece for piece in pieces if piece.stretch == stretch]
        here.sort(key=lambda piece: _key(piece, before, after))
        ordered += here
    return ordered


def _key(piece: _Piece, before: set[Place], after: set[Place]) -> tuple[int, int, int, str]:
    place = piece.drill.place
    side = 0 if place in before else 2 if place in after else 1
    return side, _PLACES.index(place), _ORDERS.index(piece.drill.order), piece.drill.id
