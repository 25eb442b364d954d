"""The columns of shot records: what each means, its unit, and the values it may take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal, get_args

from rangework.lie import Lie
from rangework.units import FOOT_M, YARD_M, LengthUnit

#: aimed balls, practice putts, strokes of a course log without an aim
Kind = Literal["aimed", "putts", "log"]
Sort = Literal["date", "text", "choice", "flag", "count", "length"]

LENGTH_UNITS: tuple[LengthUnit, ...] = get_args(LengthUnit)
#: How a lie that is not known (after a ball picked up) stands in an int8 column.
NO_LIE = -1
#: Longest text that a cell may hold: names and notes, not documents.
LONGEST_TEXT = 200
#: A stroke logged from 0 away was rounded: it is played from here.
SHORTEST_STROKE_M = 0.01


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a records file.

    ``choices`` maps what may be written, aliases included, to what is kept. ``low`` and ``high`` bound a
    count.
    """

    name: str
    sort: Sort
    meaning: str
    choices: Mapping[str, int | str] = field(default_factory=dict, hash=False)
    low: int = 0
    high: int = 0

    @property
    def expected(self) -> str:
        """What a cell of this column should hold, for messages."""
        if self.sort == "choice":
            return "one of " + ", ".join(self.choices)
        return {
            "date": "a date written YYYY-MM-DD",
            "flag": "0 or 1",
            "count": f"a whole number from {self.low} to {self.high}",
            "length": "a number such as 12.5",
            "text": f"at most {LONGEST_TEXT} characters",
        }[self.sort]

    def written(self, unit: str = "") -> str:
        """The column's name as it stands in a file: a length carries its unit."""
        return f"{self.name}_{unit or 'yd'}" if self.sort == "length" else self.name


_PLACES = ("range", "short_game_area", "putting_green", "course", "home")
_LIES = {lie.name.lower(): int(lie) for lie in Lie if lie is not Lie.HOLED}
_LIE_ALIASES = {"bunker": int(Lie.SAND), "trees": int(Lie.RECOVERY)}


def _same(*words: str) -> dict[str, int | str]:
    return {word: word for word in words}


_ALL = (
    Column("date", "date", "day of the shot (ISO 8601)"),
    Column("session", "text", "name of the practice session; empty: the date and the place"),
    Column("place", "choice", "where the ball was hit", _same(*_PLACES) | {"green": "putting_green"}),
    Column("lie", "choice", "what the ball was played from", {**_LIES, **_LIE_ALIASES}),
    Column("club", "text", "club, in the player's own words"),
    Column("target", "length", "distance aimed at; of a putt, its length"),
    Column("long", "length", "where the ball landed or finished, beyond the target; short is negative"),
    Column(
        "right", "length", "where the ball landed or finished, right of the target line; left is negative"
    ),
    Column(
        "measured",
        "choice",
        "whether long and right say where the ball landed (carry) or stopped (finish); "
        "empty: carry on the range, finish elsewhere",
        _same("carry", "finish"),
    ),
    Column("misread", "flag", "1: a ball was hit, and the device gave no usable figures"),
    Column("holed", "flag", "1: the ball was holed"),
    Column("pin", "text", "name of the pin played to"),
    Column("ball", "text", "number of the ball within its session, to know it again in another file"),
    Column("surface", "choice", "what the player stood on", _same("mat", "grass")),
    Column("purpose", "choice", "what the ball was hit for", _same("warm_up", "drill", "test")),
    Column("wind", "text", "wind, in the player's own words"),
    Column("round", "text", "name of the round"),
    Column("hole", "count", "number of the hole", low=1, high=36),
    Column("stroke", "count", "number of the stroke on the hole, penalty strokes counted", low=1, high=60),
    Column("to_hole", "length", "distance to the hole before the stroke"),
    Column(
        "next_lie",
        "choice",
        "lie of the next stroke, after any relief, or holed",
        {**_LIES, **_LIE_ALIASES, "holed": int(Lie.HOLED)},
    ),
    Column("left_to_hole", "length", "distance to the hole after the stroke and any relief"),
    Column("penalty", "count", "penalty strokes that the stroke cost", low=0, high=10),
    Column(
        "picked_up",
        "flag",
        "1: the ball was picked up and the hole not finished: after this stroke, or instead of it when "
        "next_lie is empty",
    ),
    Column("aim", "text", "what the stroke was aimed at: pin, middle, 5 left of the pin"),
    Column("conceded", "flag", "1: this putt was conceded: it counts as a stroke and as no putt made"),
)

#: Every column by name, in the order in which files are written.
COLUMNS: Mapping[str, Column] = MappingProxyType({column.name: column for column in _ALL})

#: Names that make a row a stroke of a course log, and names that make it an aimed ball or a putt.
LOG_ONLY = ("to_hole", "next_lie", "left_to_hole")
SHOT_ONLY = ("target", "long", "right")

#: What a row of each kind must hold. Defaults (docs/reference/records.md) are filled in before this is asked.
REQUIRED: Mapping[Kind, tuple[str, ...]] = MappingProxyType(
    {
        "aimed": ("date", "place", "lie", "target", "long", "right"),
        "putts": ("date", "place", "target", "holed"),
        "log": ("date", "round", "hole", "stroke", "lie", "to_hole", "next_lie", "left_to_hole"),
    }
)


@dataclass(frozen=True, slots=True)
class Limits:
    """The range of a length, in metres; ``above`` excludes the lower end."""

    low_m: float
    high_m: float
    above: bool = False


#: Wider than anything golf produces, so that only slips of the pen and wrong units fall outside
#: (common practice, no source).
LIMITS: Mapping[Kind, Mapping[str, Limits]] = MappingProxyType(
    {
        "aimed": {
            "target": Limits(0.0, 400 * YARD_M, above=True),
            "long": Limits(-450 * YARD_M, 250 * YARD_M),
            "right": Limits(-250 * YARD_M, 250 * YARD_M),
        },
        "putts": {
            "target": Limits(0.0, 150 * FOOT_M, above=True),
            "long": Limits(-150 * FOOT_M, 150 * FOOT_M),
            "right": Limits(-100 * FOOT_M, 100 * FOOT_M),
        },
        "log": {
            "to_hole": Limits(0.0, 1100 * YARD_M),
            "left_to_hole": Limits(0.0, 1100 * YARD_M),
        },
    }
)


def lie_name(code: int) -> str:
    """A lie as it is written in a file; empty for ``NO_LIE``."""
    return "" if code == NO_LIE else Lie(code).name.lower()
