"""Conditions from a TOML file and from options, every fault told at once."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, cast

from rangework.conditions.day import RUN, Conditions, Ground, Wind
from rangework.conditions.words import (
    WIND_EXPECTED,
    parse_altitude,
    parse_green_speed,
    parse_temperature,
    parse_wind,
)
from rangework.errors import InputError, Problem

_GROUNDS = "soft, normal or firm"


def _parse_ground(text: str) -> Ground:
    if text.strip().lower() not in RUN:
        raise ValueError(_GROUNDS)
    return cast(Ground, text.strip().lower())


#: Words of the file and of the options, the field of ``Conditions`` each stands for, and its reader.
WORDS: Mapping[str, tuple[str, Callable[[str], Any]]] = {
    "wind": ("wind", parse_wind),
    "temperature": ("temperature_c", parse_temperature),
    "altitude": ("altitude_m", parse_altitude),
    "ground": ("ground", _parse_ground),
    "green_speed": ("green_speed_ft", parse_green_speed),
}
_BY_HOLE = "wind_by_hole"


def conditions_from(file: Path | None = None, **options: str | None) -> Conditions:
    """The conditions of a TOML file, replaced by what ``options`` say (``wind``, ``temperature``, ...: see ``WORDS``).

    The file has the same words, each with a text (or a number) , and a table ``[wind_by_hole]``: hole number
    and wind. Raises InputError with every fault of both.
    """
    problems: list[Problem] = []
    entries = _load(file, problems) if file else {}
    fields = _fields(str(file), entries, problems)
    given = {word: text for word, text in options.items() if text is not None}
    fields.update(_fields("", given, problems))
    if problems:
        raise InputError(problems)
    return Conditions(**fields)


def _load(file: Path, problems: list[Problem]) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8-sig"))
    except OSError as error:
        expected = f"a file that can be read ({error.strerror})"
    except UnicodeDecodeError as error:
        expected = f"text in UTF-8 (byte {error.start + 1} is none)"
    except RecursionError:
        expected = "brackets that are not nested this deep"
    except ValueError as error:
        expected = f"a TOML file ({error})"
    problems.append(Problem(str(file), "", "", expected, "See docs/reference/conditions.md."))
    return {}


def _fields(source: str, entries: Mapping[str, Any], problems: list[Problem]) -> dict[str, Any]:
    """The fields of ``Conditions`` that the entries give; ``source`` is empty for options."""
    fields: dict[str, Any] = {}
    for word, value in entries.items():
        where = (source, word) if source else (f"--{word.replace('_', '-')}", "")
        if word == _BY_HOLE:
            fields[_BY_HOLE] = _winds_by_hole(source, value, problems)
        elif word not in WORDS:
            known = [*WORDS, _BY_HOLE]
            near = difflib.get_close_matches(word, known, n=1)
            remedy = f"Did you mean {near[0]!r}?" if near else ""
            problems.append(Problem(source, word, "", "one of " + ", ".join(known), remedy))
        else:
            name, parse = WORDS[word]
            try:
                fields[name] = parse(_as_text(value))
            except ValueError as error:
                problems.append(Problem(*where, str(value), str(error)))
    return fields


def _as_text(value: Any) -> str:
    return "" if isinstance(value, dict | list | bool) else str(value)


def _winds_by_hole(source: str, value: Any, problems: list[Problem]) -> dict[int, Wind]:
    if not isinstance(value, dict):
        expected = "a table of hole numbers, each with a wind"
        problems.append(Problem(source, _BY_HOLE, str(value), expected))
        return {}
    winds = {}
    for hole, text in value.items():
        if not (hole.isascii() and hole.isdigit() and 1 <= int(hole[:3]) <= 18):
            problems.append(Problem(source, f"{_BY_HOLE}.{hole}", "", "the number of a hole, 1 to 18"))
            continue
        try:
            winds[int(hole)] = parse_wind(_as_text(text))
        except ValueError:
            problems.append(Problem(source, f"{_BY_HOLE}.{hole}", str(text), WIND_EXPECTED))
    return winds
