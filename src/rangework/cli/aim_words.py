"""The advice on where to aim, in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rangework.cli.playing import golfer_words
from rangework.cli.tables import interval, number

if TYPE_CHECKING:
    from rangework.aim import AimAdvice, Choice, Comparison, Difference
    from rangework.units import Units

SAME = "no real difference"


def advice_sentence(advice: AimAdvice, units: Units) -> str:
    """What to do, in a sentence: the best target beside the first one named, or beside the next best."""
    compared = advice.comparison
    best, rival = compared.choices[compared.best], _rival(compared)
    if rival is None:
        return f"{_told_to(best, units)}: no better target was found."
    other = compared.choices[rival]
    apart = compared.difference(rival, compared.best)
    ends = range_text(apart, compared)
    if not apart.is_real:
        one, two = (text[0].lower() + text[1:] for text in (_told_to(best, units), _told_to(other, units)))
        both = f"{one}{',' if ', ' in one else ''} or {two}"
        apart_text = f"{amount_text(apart, compared)} ({ends})"
        return f"No real difference whether you {both}: {apart_text}. Take the shot you trust."
    if advice.score is None:
        gained = f"{amount_text(apart, compared)} ({ends}) cheaper"
    else:
        gained = f"{advice.score} or better on {amount_text(apart, compared)} ({ends}) more"
    return f"{_told_to(best, units)}: {gained} than {_as_compared(other, units)}."


def _told_to(choice: Choice, units: Units) -> str:
    """A target as something to do."""
    from rangework.aim import Base

    name = target_name(choice, units)
    if choice.target.base in (Base.LAY_UP, Base.CARRY):
        return name[0].upper() + name[1:]
    return f"Play the {name}" if choice.target.base is Base.LONGEST else f"Aim {name}"


def _as_compared(choice: Choice, units: Units) -> str:
    """A target after *cheaper than*."""
    from rangework.aim import Base

    name = target_name(choice, units)
    return name if choice.target.base in (Base.PIN, Base.MIDDLE) else _as_thing(choice, units)


def _as_thing(choice: Choice, units: Units) -> str:
    """A target as a thing."""
    from rangework.aim import Base

    name = target_name(choice, units)
    before = {
        Base.LAY_UP: ("lay up", "a lay-up"),
        Base.CARRY: ("carry", "a carry of"),
        Base.LONGEST: ("longest", "the longest shot"),
    }
    if choice.target.base in before:
        word, thing = before[choice.target.base]
        return name.replace(word, thing, 1)
    return name.removeprefix("at ")


def _rival(compared: Comparison) -> int | None:
    """The choice that the best is set beside: the first named, or the next best where that one is the best."""
    others = [index for index in range(len(compared.choices)) if index != compared.best]
    if not others or compared.best != 0:
        return 0 if others else None
    return min(others, key=lambda index: float(compared.values.means[index]))


def amount_text(apart: Difference, compared: Comparison) -> str:
    """How much a difference is, with its unit."""
    if compared.unit == "strokes":
        return f"{number(apart.amount.value, 2)} strokes"
    return f"{number(100 * apart.amount.value)} holes in 100"


def range_text(apart: Difference, compared: Comparison) -> str:
    """The 90 % range of a difference, without its unit."""
    if compared.unit == "strokes":
        return interval(apart.amount.low, apart.amount.high, 2)
    return interval(percent_of(apart.amount.low), percent_of(apart.amount.high))


def target_name(choice: Choice, units: Units) -> str:
    """A choice's target in the words of the command line."""
    from rangework.aim import target_text

    return target_text(choice.target, units)


def percent_of(share: float | None) -> float | None:
    """A share as a percentage, None where it is unknown."""
    return None if share is None else 100.0 * share


def length_text(length_m: float, units: Units) -> str:
    """A length in whole yards or metres."""
    from rangework.units import METRES_PER, shot_unit

    unit = shot_unit(units)
    return f"{length_m / METRES_PER[unit]:.0f} {unit}"


def line_sentence(advice: AimAdvice, units: Units) -> str:
    """Where a finish gains on the golfer whose break-even line was wanted."""
    from rangework.units import METRES_PER, putt_unit

    line, level = advice.line, advice.against
    assert line is not None
    assert level is not None
    golfer, unit = golfer_words(level), putt_unit(units)
    needs = f"Break-even: from here {golfer} needs {number(line.strokes, 2)} strokes."
    if not line.lines_m:
        return f"{needs} No finish around the green gains on that."
    putt = (
        ""
        if line.putt_m is None
        else f", as a putt of up to {line.putt_m / METRES_PER[unit]:.0f} {unit} does"
    )
    return f"{needs} A finish inside the break-even line gains on that{putt}; the line is in the JSON file."
