"""What the command line asks of a practice test, read with all its faults at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rangework.assessment.ball_draw import ASSESSED_LIES, SHORTEST_M, DistanceWish
from rangework.assessment.design import MOST_BALLS, SECONDS_A_BALL
from rangework.assessment.number_words import NumberWords
from rangework.course.pin_words import PIN_WORDS
from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.units import METRES_PER, YARD_M, Units, shot_unit

USUAL_BALLS = 20
#: Farther pins are played to by nobody's choice.
_FARTHEST_M = 260.0 * YARD_M
_LIE_WORDS = {lie.name.lower(): lie for lie in ASSESSED_LIES} | {"bunker": Lie.SAND}
_LONGEST_NAME = 60
_UNSEEN = re.compile(r"[\x00-\x1f\x7f]")


@dataclass(frozen=True, slots=True)
class DesignWish:
    """A test as it was asked for: balls, what they are drawn from, pins, margin in strokes, name and ISO date.

    ``reference``: the level of the golfer it is scored from, None for the player's own.
    """

    balls: int
    distances: DistanceWish
    pins: tuple[str, ...]
    margin: float
    name: str
    date: str
    units: Units = "yards"
    reference: float | str | None = None
    measured: str = "finish"
    measured_by: str = "device"


def read_design_wish(
    units: Units,
    *,
    balls: str | None = None,
    minutes: str | None = None,
    seconds_a_ball: str | None = None,
    low: str | None = None,
    high: str | None = None,
    available: str | None = None,
    lies: str | None = None,
    place: str | None = None,
    pins: str | None = None,
    margin: str | None = None,
    name: str | None = None,
    day: str | None = None,
    reference: float | str | None = None,
    measured: str = "finish",
    measured_by: str = "device",
    seed: int = 0,
) -> DesignWish:
    """The wish behind the texts of the options; lengths in yards or metres. Raises InputError with every fault."""
    words = NumberWords()
    count = _balls(words, balls, minutes, seconds_a_ball)
    distances = _distances(words, shot_unit(units), low, high, available)
    chosen_lies = _lies(words, lies)
    strokes = words.number("--margin", margin, -1.0, 2.0, "strokes from -1 to 2, such as 0.1")
    on = _day(words, day)
    called = name if name is not None else f"test {on} {seed}"
    if not called.strip() or len(called) > _LONGEST_NAME or _UNSEEN.search(called):
        expected = f"a name of 1 to {_LONGEST_NAME} characters, on one line"
        words.problems.append(Problem("--name", "", called[:_LONGEST_NAME], expected))
    if words.problems:
        raise InputError(words.problems)
    low_m, high_m, available_m = distances
    wish = DistanceWish(low_m, high_m, available_m, chosen_lies, place)
    return DesignWish(
        count, wish, _listed(pins) or PIN_WORDS, strokes or 0.0, called.strip(), on, units, reference, measured,
        measured_by,
    )  # fmt: skip


def _listed(text: str | None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part.strip() for part in (text or "").split(",") if part.strip()))


def _balls(words: NumberWords, balls: str | None, minutes: str | None, seconds: str | None) -> int:
    expected = f"a whole number of balls from 1 to {MOST_BALLS}"
    count = words.number("--balls", balls, 1, MOST_BALLS, expected, whole=True)
    time = words.number("--minutes", minutes, 1.0, 180.0, "minutes from 1 to 180")
    pace = words.number("--seconds-per-ball", seconds, 5.0, 600.0, "seconds from 5 to 600")
    if balls is not None and minutes is not None:
        words.problems.append(Problem("--balls", "", balls, "balls or --minutes, not both"))
    if time is not None:
        return max(min(int(time * 60.0 / (pace or SECONDS_A_BALL)), MOST_BALLS), 1)
    return int(count) if count is not None else USUAL_BALLS


def _distances(
    words: NumberWords, unit: str, low: str | None, high: str | None, available: str | None
) -> tuple[float | None, float | None, tuple[float, ...]]:
    unit_m = METRES_PER["m" if unit == "m" else "yd"]
    least, most = SHORTEST_M / unit_m, _FARTHEST_M / unit_m
    expected = f"a distance from {least:.0f} to {most:.0f} {unit}"
    near = words.number("--from", low, least - 0.5, most + 0.5, expected)
    far = words.number("--to", high, least - 0.5, most + 0.5, expected)
    targets = [
        words.number("--available", text, least - 0.5, most + 0.5, expected) for text in _listed(available)
    ]
    if (low is None) != (high is None):
        option = "--to" if high is None else "--from"
        words.problems.append(Problem(option, "", "", "both ends of the range: --from and --to"))
    if near is not None and far is not None and near >= far:
        words.problems.append(Problem("--to", "", str(high), f"more than --from, {low}"))
    if available is not None and (low is not None or high is not None):
        words.problems.append(Problem("--available", "", available, "targets or a range, not both"))
    if available is not None and not targets:
        words.problems.append(Problem("--available", "", available, f"{expected}, or several with commas"))
    known = tuple(float(target) * unit_m for target in targets if target is not None)
    return (
        None if near is None else near * unit_m,
        None if far is None else far * unit_m,
        known,
    )


def _lies(words: NumberWords, lies: str | None) -> tuple[Lie, ...]:
    named: Sequence[str] = _listed(lies)
    for word in named:
        if word not in _LIE_WORDS:
            words.problems.append(Problem("--lies", "", word, f"one of {', '.join(_LIE_WORDS)}"))
    return tuple(dict.fromkeys(_LIE_WORDS[word] for word in named if word in _LIE_WORDS)) or ASSESSED_LIES


def _day(words: NumberWords, day: str | None) -> str:
    try:
        return (date.today() if day is None else date.fromisoformat(day)).isoformat()
    except ValueError:
        words.problems.append(Problem("--date", "", str(day), "a date written YYYY-MM-DD"))
        return ""
