"""A player's profile: who they are, apart from what they hit."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, cast

from rangework.errors import InputError, Problem
from rangework.units import METRES_PER

Hand = Literal["right", "left"]
Golfers = Literal["men", "women"]

#: The highest index of the World Handicap System is 54.0; no player comes near the other end.
HANDICAP_RANGE = (-10.0, 54.0)
HANDICAP_EXPECTED = "a handicap index from +10 to 54, such as 12.4 or +2.1"
AGE_RANGE = (5, 110)
SWINGS_RANGE = (0, 5000)
CARRY_RANGE_M = (5.0, 400.0)
CARRY_TABLES = {"carry_yd": METRES_PER["yd"], "carry_m": METRES_PER["m"]}

#: TOML reads ``+2`` as 2, but golf writes a player better than scratch so.
_PLUS_HANDICAP = re.compile(r"^(\s*handicap\s*=\s*)\+(?=\d)", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class PlayerProfile:
    """What a profile file says of a player; None where it says nothing.

    ``handicap`` is an index in which +2 is -2. ``reference`` says which golfers the player is compared with.
    ``clubs`` are carries in metres by the player's own names. ``swings_a_week`` are the usual full swings.
    """

    name: str = ""
    handicap: float | None = None
    age: int | None = None
    hand: Hand = "right"
    reference: Golfers = "men"
    clubs: Mapping[str, float] = field(default_factory=dict)
    swings_a_week: int | None = None


def parse_handicap(text: str) -> float:
    """A handicap index as golfers write it: ``"12.4"`` is 12.4, ``"+2"`` (better than scratch) is -2.

    Raises ValueError, with what was expected, for anything else or outside +10 ... 54.
    """
    if not re.fullmatch(r"\s*[+-]?\d{1,2}(\.\d+)?\s*", text):
        raise ValueError(f"{text!r} is not {HANDICAP_EXPECTED}")
    index = float(text.replace("+", "-"))
    if not HANDICAP_RANGE[0] <= index <= HANDICAP_RANGE[1]:
        raise ValueError(f"{text!r} is not {HANDICAP_EXPECTED}")
    return index


def read_profile(path: Path) -> PlayerProfile:
    """The profile in a TOML file.

    Keys, all optional: ``name``, ``handicap``, ``age``, ``hand`` (right, left), ``reference`` (men, women),
    ``swings_a_week``, and one table of carries by club, ``[carry_yd]`` or ``[carry_m]``.
    Raises InputError with every problem of the file.
    """
    return _ProfileReading(str(path), _load(path)).profile()


def _load(path: Path) -> dict[str, Any]:
    try:
        text = path.read_text("utf-8-sig")
        return tomllib.loads(_PLUS_HANDICAP.sub(r"\1-", text))
    except OSError as error:
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({error.strerror})")) from error
    except UnicodeDecodeError as error:
        raise InputError(Problem(str(path), f"byte {error.start}", "", "text in UTF-8")) from error
    except tomllib.TOMLDecodeError as error:
        raise InputError(Problem(str(path), "", "", f"a TOML file ({error})")) from error


class _ProfileReading:
    """Takes a profile out of a parsed file and gathers what is wrong with it."""

    def __init__(self, source: str, entries: dict[str, Any]) -> None:
        self._source = source
        self._entries = entries
        self._problems: list[Problem] = []

    def profile(self) -> PlayerProfile:
        self._unknown_keys()
        profile = PlayerProfile(
            name=self._text("name"),
            handicap=self._handicap(),
            age=self._whole("age", AGE_RANGE, "years"),
            hand=cast(Hand, self._choice("hand", ("right", "left"))),
            reference=cast(Golfers, self._choice("reference", ("men", "women"))),
            clubs=self._clubs(),
            swings_a_week=self._whole("swings_a_week", SWINGS_RANGE, "full swings"),
        )
        if self._problems:
            raise InputError(self._problems)
        return profile

    def _problem(self, place: str, value: object, expected: str, remedy: str = "") -> None:
        self._problems.append(Problem(self._source, place, str(value), expected, remedy))

    def _unknown_keys(self) -> None:
        known = [*(name for name in PlayerProfile.__dataclass_fields__ if name != "clubs"), *CARRY_TABLES]
        for key in self._entries.keys() - set(known):
            near = difflib.get_close_matches(key, known, n=1)
            remedy = f"Did you mean {near[0]!r}?" if near else ""
            self._problem(key, "", "one of " + ", ".join(known), remedy)

    def _text(self, key: str) -> str:
        value = self._entries.get(key, "")
        if isinstance(value, str):
            return value.strip()
        self._problem(key, value, "text in quotes")
        return ""

    def _choice(self, key: str, choices: tuple[str, ...]) -> str:
        value = self._entries.get(key, choices[0])
        if value not in choices:
            self._problem(key, value, " or ".join(f'"{choice}"' for choice in choices))
        return str(value)

    def _handicap(self) -> float | None:
        value = self._entries.get("handicap")
        if value is None:
            return None
        try:
            return parse_handicap(str(value))
        except ValueError:
            low, high = HANDICAP_RANGE
            self._problem(
                "handicap", value, f"a handicap index from +{-low:g} to {high:g}, such as 12.4 or +2.1"
            )
            return None

    def _whole(self, key: str, within: tuple[int, int], unit: str) -> int | None:
        value = self._entries.get(key)
        if value is None:
            return None
        if isinstance(value, int) and not isinstance(value, bool) and within[0] <= value <= within[1]:
            return value
        self._problem(key, value, f"a whole number of {unit} from {within[0]} to {within[1]}")
        return None

    def _clubs(self) -> dict[str, float]:
        given = [name for name in CARRY_TABLES if name in self._entries]
        if len(given) > 1:
            self._problem("carry_m", "", "one table of carries", "Keep either [carry_yd] or [carry_m].")
        return {club: carry_m for name in given for club, carry_m in self._carries(name)}

    def _carries(self, name: str) -> list[tuple[str, float]]:
        table = self._entries[name]
        if not isinstance(table, dict):
            self._problem(name, table, f"a table [{name}] with a line for each club")
            return []
        carries = []
        for club, carry in table.items():
            # compared before it is multiplied: TOML knows whole numbers that no float holds
            least, most = (end / CARRY_TABLES[name] for end in CARRY_RANGE_M)
            if type(carry) in (int, float) and least <= carry <= most:
                carries.append((club, carry * CARRY_TABLES[name]))
            else:
                low, high = (round(end / CARRY_TABLES[name]) for end in CARRY_RANGE_M)
                self._problem(f"{name}.{club}", carry, f"a carry from {low} to {high} ({name.split('_')[1]})")
        return carries
