"""Reading how a player aims now: a word for all of it, or a TOML file of habits."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from rangework.aim.habits.rules import Rule, usual_habits
from rangework.aim.habits.shots import LIE_SETS, Kind, PinPlace, Shots
from rangework.aim.target_words import parse_targets
from rangework.aim.targets import Base, Target
from rangework.course.findings import Findings, Table
from rangework.errors import InputError, Problem
from rangework.records.toml_tables import is_number
from rangework.units import METRES_PER, Units

#: Words that stand for a whole set of habits.
WORDS = {"pin": Base.PIN, "middle": Base.MIDDLE, "centre": Base.MIDDLE}
BEST = "best"
_HALFWAY = re.compile(r"\bhalfway\b", re.IGNORECASE)
_GREEN_AIMS = "pin, middle, halfway, such a place with lengths left, right, short or long of it, or best"
_FAR_AIMS = "longest, carry 180, lay up to 90, such a place with lengths left or right of it, or best"
_MOST_YD = 700.0


def read_habits(aims: str | Path, units: Units) -> tuple[Rule, ...]:
    """The habits that ``--aims`` names: ``pin``, ``middle`` (or ``centre``), or a TOML file.

    Targets in the file are read in ``units`` where they name none. Raises InputError with every problem.
    """
    if str(aims).lower() in WORDS:
        return usual_habits(WORDS[str(aims).lower()])
    path = Path(aims)
    try:
        entries = tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        remedy = f"--aims is {', '.join(WORDS)}, or a file of habits."
        raise InputError(
            Problem(str(path), "", "", f"a file that can be read ({error.strerror})", remedy)
        ) from error
    except UnicodeDecodeError as error:
        raise InputError(Problem(str(path), f"byte {error.start + 1}", "", "text in UTF-8")) from error
    except (ValueError, RecursionError) as error:
        raise InputError(Problem(str(path), "", "", f"a TOML file ({error})")) from error
    return parse_habits(entries, str(path), units)


def parse_habits(entries: dict[str, Any], source: str, units: Units) -> tuple[Rule, ...]:
    """The habits of a parsed file; the first that fits a shot holds. Raises InputError with every problem."""
    findings = Findings(source)
    whole = Table(entries, "", findings)
    tables = whole.tables("habit")
    if "habit" not in entries:
        whole.missing("habit", "a [[habit]] table for each habit")
    rules = [_rule(table, findings, units) for table in tables]
    whole.close()
    if findings.problems:
        raise InputError(findings.problems)
    return tuple(rules)


def _rule(table: Table, findings: Findings, units: Units) -> Rule:
    kind = Kind(table.choice("shots", [each.value for each in Kind], Kind.APPROACH.value, required=True))
    low_m, high_m = _distances(table, findings)
    lie, pin = (
        _optional(table, "lie", list(LIE_SETS)),
        _optional(table, "pin", [each.value for each in PinPlace]),
    )
    shots = Shots(
        kind,
        holes=_numbers(table, findings, "holes", 36),
        pars=_numbers(table, findings, "par", 6),
        lie=lie,
        from_m=low_m,
        to_m=high_m,
        pin=PinPlace(pin) if pin else None,
    )
    target, inward = _target(table, findings, kind, units)
    table.close()
    return Rule(shots, target, inward)


def _optional(table: Table, key: str, choices: Sequence[str]) -> str | None:
    return table.choice(key, choices, choices[0]) if key in table else None


def _distances(table: Table, findings: Findings) -> tuple[float, float]:
    found = table.length_key("distance")
    if found is None:
        return 0.0, math.inf
    key, unit_m = found
    value, most = table.value(key), _MOST_YD * METRES_PER["yd"] / unit_m
    pair: list[Any] = value if isinstance(value, list) and len(value) == 2 else [None, None]
    if not all(is_number(each) and 0.0 <= each <= most for each in pair) or pair[0] >= pair[1]:
        findings.problem(table.at(key), value, f"two rising numbers from 0 to {most:.0f}, [60, 130]")
        return 0.0, math.inf
    return pair[0] * unit_m, pair[1] * unit_m


def _numbers(table: Table, findings: Findings, key: str, most: int) -> tuple[int, ...]:
    value = table.value(key)
    listed = value if isinstance(value, list) else [] if value is None else [value]
    if all(isinstance(each, int) and not isinstance(each, bool) and 1 <= each <= most for each in listed):
        return tuple(listed)
    findings.problem(table.at(key), value, f"a whole number from 1 to {most}, or a list of them")
    return ()


def _target(table: Table, findings: Findings, kind: Kind, units: Units) -> tuple[Target | None, float]:
    text = table.text("aim", BEST, required=True)
    try:
        return parse_aim(text, kind, units)
    except InputError as error:
        for problem in error.problems:
            findings.problem(table.at("aim"), text, problem.expected, problem.remedy)
        return None, 0.0


def parse_aim(text: str, kind: Kind, units: Units) -> tuple[Target | None, float]:
    """A target for a kind of shot in words, and the share of the way inward; None for the best. Raises InputError."""
    if text.lower() == BEST:
        return None, 0.0
    (target,) = parse_targets([_HALFWAY.sub("pin", text)], units)
    at_green = target.base in (Base.PIN, Base.MIDDLE)
    if at_green != (kind is Kind.APPROACH) or target.height is not None:
        raise InputError(Problem("aim", "", text, _GREEN_AIMS if kind is Kind.APPROACH else _FAR_AIMS))
    return target, 0.5 if _HALFWAY.search(text) else 0.0
