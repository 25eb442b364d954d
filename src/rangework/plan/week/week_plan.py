"""A plan by day as a result: sessions with their blocks, what it saves, and what was kept to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rangework.estimate import Estimate
from rangework.plan.drills import Place
from rangework.plan.week.availability import Span
from rangework.plan.week.open_days import Heat, Phase


@dataclass(frozen=True, slots=True)
class PlannedBlock:
    """A drill at its time; ``span`` in minutes after midnight by the local clock."""

    drill: str
    name: str
    place: Place
    span: Span
    balls: int
    full_swings: int
    purpose: str
    order: str
    note: str = ""

    @property
    def minutes(self) -> int:
        """How long it is."""
        return self.span.minutes


@dataclass(frozen=True, slots=True)
class Session:
    """What is done in one window, warm-up first. ``number`` counts the windows of the day from 1."""

    date: date
    number: int
    span: Span
    warm_up: Span
    blocks: tuple[PlannedBlock, ...]
    done: bool = False


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """A day of the plan. ``minutes`` and ``full_swings`` are of practice, without the practice round."""

    date: date
    days_left: int | None
    phase: Phase
    sessions: tuple[Session, ...]
    practice_round: Span | None
    travel: tuple[Span, ...]
    heat: Heat
    note: str
    missed: bool = False

    @property
    def minutes(self) -> int:
        """Minutes of blocks."""
        return sum(block.minutes for session in self.sessions for block in session.blocks)

    @property
    def full_swings(self) -> int:
        """Full swings of blocks."""
        return sum(block.full_swings for session in self.sessions for block in session.blocks)


@dataclass(frozen=True, slots=True)
class WeekVolume:
    """A week's volume beside the player's usual one, None where that is not known.

    ``full_swings`` count the practice rounds'.
    """

    first: date
    last: date
    phase: Phase
    minutes: int
    full_swings: int
    usual_minutes: float | None
    usual_swings: float | None


@dataclass(frozen=True, slots=True)
class WeekPlan:
    """A plan by day.

    ``strokes_saved``: strokes a round at the event against the same days without practice (without an event: after
    eight weeks like this one). ``saved_by`` says by which effect. ``bound``: no plan of the same offers saves
    more; ``relaxed`` the bound of the program without whole blocks; ``gap`` the share that may be missing.
    """

    first_round: date | None
    days: tuple[PlannedDay, ...]
    weeks: tuple[WeekVolume, ...]
    strokes_saved: Estimate
    saved_by: Mapping[str, float]
    bound: float
    relaxed: float
    gap: float

    @property
    def sessions(self) -> tuple[Session, ...]:
        """All sessions in order."""
        return tuple(session for day in self.days for session in day.sessions)
