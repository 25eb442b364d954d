"""Targets in words: `8 yd right of the pin`, `lay up to 90 yd`, read and written."""

from __future__ import annotations

import re
import string
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from rangework.aim.targets import Base, Target
from rangework.errors import InputError, Problem
from rangework.units import METRES_PER, Units, shot_unit

#: Phrases for a base, longest first, and the word that stands for them while reading.
_PHRASES = (
    (r"\b(?:the )?(?:middle|centre|center)(?: of the green)?\b", Base.MIDDLE),
    (r"\b(?:straight )?(?:at )?(?:the )?pin\b", Base.PIN),
    (r"\b(?:the )?longest(?: shot)?\b", Base.LONGEST),
    (r"\blay ?up(?: to)?\b", Base.LAY_UP),
    (r"\bcarry\b", Base.CARRY),
)
_BASE_WORDS = {base.name: base for base in Base}
_UNITS = {
    "yd": ("yd", "yds", "yard", "yards"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "ft": ("ft", "foot", "feet"),
}
_UNIT_OF = {word: unit for unit, words in _UNITS.items() for word in words}
_SIDES = {"right": (1.0, 0.0), "left": (-1.0, 0.0), "long": (0.0, 1.0), "short": (0.0, -1.0)}
HEIGHTS = ("low", "standard", "high")
_FILLERS = {"of", "and", "the", "at", "by"}
_KNOWN = ["pin", "middle", "longest", "lay up to", "carry", *_SIDES, *HEIGHTS, "yd", "m", "ft"]
_TOKEN = re.compile(r"[0-9]+(?:\.[0-9]+)?|[A-Za-z_]+|[^\s,]")
EXPECTED = (
    "pin, middle, longest, lay up to 90, carry 180, or a length left, right, short or long of one of them"
)


def parse_targets(texts: Sequence[str], units: Units) -> list[Target]:
    """Every target of the command line. Raises InputError with the faults of all."""
    problems: list[Problem] = []
    targets = []
    for text in texts:
        reading = _Reading(text, units)
        targets.append(reading.target())
        problems += reading.problems
    if problems:
        raise InputError(problems)
    return targets


def target_text(target: Target, units: Units) -> str:
    """A target in the words that ``parse_targets`` reads."""
    if target.base in (Base.PIN, Base.MIDDLE):
        moved = _moved_text(target, units, " and ")
        name = "the pin" if target.base is Base.PIN else "the middle of the green"
        text = f"{moved} of {name}" if moved else f"at {name}"
    else:
        length = "" if target.length_m is None else f" {_length_text(target.length_m, units)}"
        text = ", ".join(filter(None, [f"{target.base.value}{length}", _moved_text(target, units, ", ")]))
    return text if target.height is None else f"{text}, {HEIGHTS[target.height]}"


def _moved_text(target: Target, units: Units, between: str) -> str:
    moves = ((target.right_m, "right", "left"), (target.long_m, "long", "short"))
    return between.join(
        f"{_length_text(abs(move), units)} {more if move > 0 else less}" for move, more, less in moves if move
    )


def _length_text(length_m: float, units: Units) -> str:
    unit = shot_unit(units)
    return f"{round(length_m / METRES_PER[unit], 1):g} {unit}"


@dataclass
class _Reading:
    """One target's words taken in from left to right, and what is wrong with them."""

    text: str
    units: Units
    problems: list[Problem] = field(default_factory=list)
    bases: list[Base] = field(default_factory=list)
    heights: list[int] = field(default_factory=list)
    moves: dict[str, float] = field(default_factory=dict)
    base_length_m: float | None = None
    length: tuple[str, float] | None = None  #: as written, and its number of units, until a word claims it
    unit_m: float = 1.0

    def target(self) -> Target:
        """The target; of no use where ``problems`` were found."""
        for word in _TOKEN.findall(_with_base_words(self.text)):
            self._take(word)
        self._finish()
        long = self.moves.get("long", 0.0) - self.moves.get("short", 0.0)
        right = self.moves.get("right", 0.0) - self.moves.get("left", 0.0)
        base = self.bases[0] if self.bases else Base.PIN
        return Target(base, self.base_length_m, right, long, self.heights[0] if self.heights else None)

    def _take(self, word: str) -> None:
        lower = word.lower()
        if word in _BASE_WORDS:
            self._settle()
            self.bases.append(_BASE_WORDS[word])
        elif word[0] in string.digits:
            self._settle()
            self.length, self.unit_m = (word, float(word)), METRES_PER[shot_unit(self.units)]
        elif lower in _UNIT_OF:
            self._take_unit(lower)
        elif lower in _SIDES:
            self._take_side(lower)
        elif lower in HEIGHTS:
            self._settle()
            self.heights.append(HEIGHTS.index(lower))
        elif lower not in _FILLERS:
            self._fault(word, "a word of a target", _meant(lower))

    def _take_unit(self, word: str) -> None:
        if self.length is None:
            self._fault(word, "a number before the unit", "Say how much, such as 8 yd.")
        else:
            self.unit_m = METRES_PER[_UNIT_OF[word]]

    def _take_side(self, side: str) -> None:
        if self._wants_length():
            self._settle()
        if self.length is None:
            self._fault(side, "a length before it", f"Say how much, such as 5 {side}.")
        elif side in self.moves or _OPPOSITE[side] in self.moves:
            self._fault(side, "one length to the side and one short or long", "Leave one out.")
        else:
            self.moves[side] = self.length[1] * self.unit_m
        self.length = None

    def _wants_length(self) -> bool:
        """Whether the last base still lacks its length."""
        return bool(self.bases and self.bases[-1] in (Base.LAY_UP, Base.CARRY) and self.base_length_m is None)

    def _settle(self) -> None:
        """Give a length that no side claimed to the base that wants one."""
        if self.length is None:
            return
        if self._wants_length():
            self.base_length_m = self.length[1] * self.unit_m
        else:
            told = "Say right, left, short or long after it."
            self._fault(self.length[0], "a side after the length", told)
        self.length = None

    def _finish(self) -> None:
        self._settle()
        if self._wants_length() or self.base_length_m == 0.0:
            name = self.bases[-1].value
            self._fault(name, "a length above 0 after it", f"Say how far, such as {name} 90.")
        if len(self.bases) > 1:
            told = " and ".join(base.value for base in self.bases)
            self._fault(told, "one thing to count from", "Give --target once for each target.")
        if len(self.heights) > 1:
            self._fault(" and ".join(HEIGHTS[h] for h in self.heights), "one height", "Leave one out.")
        if not (self.bases or self.moves or self.problems):
            self._fault("", EXPECTED, "")

    def _fault(self, value: str, expected: str, remedy: str) -> None:
        place = self.text if value else "the target"
        self.problems.append(Problem("--target", place, value or self.text, expected, remedy))


_OPPOSITE = {"right": "left", "left": "right", "long": "short", "short": "long"}


def _with_base_words(text: str) -> str:
    """The text with a word in capitals in place of every phrase for a base."""
    text = " ".join(re.sub(r"(?<=[a-z])-(?=[a-z])", " ", text.lower()).split())
    for phrase, base in _PHRASES:
        text = re.sub(phrase, f" {base.name} ", text)
    return text


def _meant(word: str) -> str:
    if word in ("-", "+"):
        return "Say left or short in place of a sign."
    near = get_close_matches(word, _KNOWN, n=1)
    return f"Did you mean {near[0]}?" if near else f"A target is {EXPECTED}."
