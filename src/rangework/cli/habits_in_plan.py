"""The free strokes as `rangework plan` tells them: first, and only where the player's aim is known."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rangework.cli.habits_page import HOW_TO_FIND_OUT, KIND_WORDS, free_results, free_sentence
from rangework.cli.tables import paragraph

if TYPE_CHECKING:
    from rangework.advice import Prepared
    from rangework.aim.habits.free_strokes import FreeStrokes
    from rangework.aim.habits.rules import Rule
    from rangework.aim.habits.seen import SeenHabits
    from rangework.records.shots import ShotRecords
    from rangework.units import Units

#: Free strokes under this are none to speak of.
_FEW = 0.1


def stated_habits(aims: str | None, units: Units) -> tuple[Rule, ...]:
    """The habits of ``--aims``; none without it. Raises InputError."""
    from rangework.aim.habits.habit_file import read_habits

    return read_habits(aims, units) if aims else ()


def free_strokes_first(
    prepared: Prepared, records: ShotRecords, stated: tuple[Rule, ...]
) -> tuple[str, str, dict[str, Any] | None]:
    """What to tell before the plan, what to tell after it, and the numbers; one of the texts is empty."""
    from rangework.advice import PLAYER_BASIS
    from rangework.aim.habits.advising import quick_free_strokes
    from rangework.aim.habits.seen import prepared_habits
    from rangework.course import day_basis

    seen = None
    if not stated:
        seen = prepared_habits(records, prepared.course, prepared.strategies, prepared.posterior)
    habits = stated or (seen.rules if seen else ())
    if not habits:
        return "", paragraph(HOW_TO_FIND_OUT), None
    free = quick_free_strokes(prepared, habits, basis=f"{PLAYER_BASIS}{day_basis(prepared.course)}")
    return _told(free, seen), "", free_results(free)


def _told(free: FreeStrokes, seen: SeenHabits | None) -> str:
    text = free_sentence(free)
    if free.decisions.value < _FEW:
        text = "Hardly any: " + text[0].lower() + text[1:]
    if seen is not None:
        known = [KIND_WORDS[each.kind.value] for each in seen.habits if each.rules]
        text += f" Counted for {' and '.join(known)} alone, as the logged rounds show them; `--aims` states the rest."
    text += " `rangework habits` has the rules that win them back."
    return "FREE STROKES, before any practice\n" + paragraph(text) + "\n"
