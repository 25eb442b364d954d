"""What kind of file is it, and what is wrong with it: everything a coach may bring, told all at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rangework.errors import InputError, Problem


@dataclass(frozen=True, slots=True)
class Checked:
    """A file that was looked at: what it is taken for, what it holds, and what was found.

    ``problems`` keep it from being used; ``warnings`` are odd but used all the same; ``assumptions`` say what
    was taken where the file says nothing.
    """

    path: Path
    kind: str
    holds: str = ""
    problems: Sequence[Problem] = ()
    warnings: Sequence[Problem] = ()
    assumptions: Sequence[str] = ()


#: Keys at the top of a TOML file that tell its kind, one of them at least being there.
TELLING_KEYS = {
    "course": {"holes", "every_hole", "tees"},
    "availability": {"usual", "day", "time_zone", "usual_hours_a_week", "event_green_speed_ft"},
    "drills": {"drill", "response", "add_to_catalogue"},
    "player profile": {"handicap", "age", "hand", "reference", "swings_a_week", "carry_yd", "carry_m"},
    "mapping": {"file", "columns", "units", "fixed", "lie_by_club", "distance", "misread", "skip", "values"},
}


def check_file(path: Path, mappings: Sequence[Path] = ()) -> Checked:
    """Look at one file; what is wrong with it is in the answer, not raised."""
    is_map = _is_map(path)
    if path.suffix.lower() != ".toml" and not is_map:
        return _check_records(path, mappings)
    checked = Checked(path, "course" if is_map else "TOML file")
    try:
        if is_map:
            return _check_course(path)
        checked = replace(checked, kind=toml_kind(path))
        return CHECKS[checked.kind](path)
    except InputError as error:
        return replace(checked, problems=error.problems)


def toml_kind(path: Path) -> str:
    """The kind whose telling keys a TOML file has most of; InputError where it has none or is no TOML."""
    try:
        keys = tomllib.loads(path.read_bytes().decode("utf-8-sig")).keys()
    except OSError as error:
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({error.strerror})")) from error
    except (ValueError, RecursionError) as error:
        raise InputError(Problem(str(path), "", "", f"valid TOML in UTF-8 ({error})")) from error
    told = {kind: len(keys & telling) for kind, telling in TELLING_KEYS.items()}
    kind = max(told, key=lambda each: told[each])
    if not told[kind]:
        expected = "a course, an availability, drills, a player profile or a mapping"
        raise InputError(
            Problem(str(path), "", ", ".join(keys), expected, "docs/reference has the keys of each.")
        )
    return kind


def is_mapping(path: Path) -> bool:
    """Whether a file is a mapping that can be read: one with faults only tells of them."""
    try:
        return path.suffix.lower() == ".toml" and toml_kind(path) == "mapping" and bool(_check_mapping(path))
    except InputError:
        return False


def _is_map(path: Path) -> bool:
    """Whether a file, or ``FILE#NAME``, is a course as GeoJSON or OSM XML, by its suffix."""
    return re.search(r"\.(geojson|json|osm|xml)(#|$)", str(path), re.IGNORECASE) is not None


def _check_records(path: Path, mappings: Sequence[Path]) -> Checked:
    from rangework.records import check_records

    problems, warnings = check_records(path, mappings)
    return Checked(path, "records", problems=problems, warnings=warnings)


def _check_course(path: Path) -> Checked:
    from rangework.course import read_course

    course = read_course(path)
    return Checked(
        path,
        "course",
        f"{course.name}, {len(course.holes)} holes",
        warnings=course.warnings,
        assumptions=course.assumptions,
    )


def _check_drills(path: Path) -> Checked:
    from rangework.plan.drill_file import read_drills

    drills = read_drills(path)
    parts = len(drills.responses)
    responses = "responses of 1 part" if parts == 1 else f"responses of {parts} parts"
    return Checked(path, "drills", f"{len(drills.drills)} drills, {responses}")


def _check_availability(path: Path) -> Checked:
    from rangework.plan.week.availability_file import read_availability

    read = read_availability(path)
    days = f"{len(read.by_weekday)} weekdays, {len(read.by_date)} dates"
    return Checked(path, "availability", f"{read.event}, {days}" if read.event else days)


def _check_profile(path: Path) -> Checked:
    from rangework.records.profile import read_profile

    profile = read_profile(path)
    return Checked(path, "player profile", profile.name)


def _check_mapping(path: Path) -> Checked:
    from rangework.records.mapping import read_mapping

    mapping = read_mapping(path)
    holds = "our own headers" if mapping.own_names else f"{len(mapping.columns)} columns"
    return Checked(path, "mapping", holds)


CHECKS: dict[str, Callable[[Path], Checked]] = {
    "course": _check_course,
    "availability": _check_availability,
    "drills": _check_drills,
    "player profile": _check_profile,
    "mapping": _check_mapping,
}
