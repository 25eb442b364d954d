"""One course of those on a map: which lines of play are its holes, in order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.course.findings import Findings, nearest
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.play_lines import PlayLine
from rangework.errors import InputError

#: Two lines of one number are one hole from two tees where they end this near to one another.
SAME_GREEN_M = 30.0

_FULL = (9, 18)
_APART = "Say on the map which course each hole belongs to: golf:course:name."
_DRAW = "Draw it on the map as a line from tee to green, then download the map again."


@dataclass(frozen=True, slots=True, eq=False)
class ChosenHole:
    """A hole of the chosen course: its line of play, and lines from other tees to the same green."""

    number: int
    line: PlayLine
    others: tuple[PlayLine, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class ChosenCourse:
    """The chosen course's name, empty where nothing names it, and its holes in order."""

    name: str
    holes: tuple[ChosenHole, ...]


def choose_course(lines: Sequence[PlayLine], wanted: str | None, findings: Findings) -> ChosenCourse:
    """The course of that name, or the only one. Raises InputError where there is none, or more than one."""
    by_course: dict[str, list[PlayLine]] = defaultdict(list)
    for line in lines:
        by_course[line.course].append(line)
    if not lines:
        findings.problem("golf=hole", None, "lines of play, one for each hole", _DRAW)
        raise InputError(findings.problems)
    name = _only_name(by_course, findings) if wanted is None else wanted
    chosen = by_course[name] if wanted is None else _named(lines, wanted, findings)
    for text in (text for line in chosen for text in line.assumed):
        findings.assume(text)
    holes = _numbered(chosen, findings)
    if findings.problems:
        raise InputError(findings.problems)
    return ChosenCourse(next((line.course for line in chosen if line.course), name), tuple(holes))


def _named(lines: Sequence[PlayLine], wanted: str, findings: Findings) -> list[PlayLine]:
    chosen = [line for line in lines if wanted.casefold() in map(str.casefold, line.courses)]
    if not chosen:
        known = sorted({name for line in lines for name in line.courses})
        findings.problem("course", wanted, "a course of this map", nearest(wanted, known))
        raise InputError(findings.problems)
    return chosen


def _only_name(by_course: Mapping[str, Sequence[PlayLine]], findings: Findings) -> str:
    """The only course, or the only one with all its holes."""
    choose = f'Choose one, as with "{findings.source}#{next(filter(None, by_course), "NAME")}".'
    told = [f"{name or 'unnamed'} ({_count(lines)} holes)" for name, lines in by_course.items()]
    full = [name for name, lines in by_course.items() if _count(lines) in _FULL]
    if len(by_course) == 1:
        return next(iter(by_course))
    if len(full) == 1:
        findings.warning("golf=hole", ", ".join(told), "one course", f"{full[0] or 'unnamed'} is read.")
        return full[0]
    findings.problem("golf=hole", "; ".join(told[:10]), "one course", choose)
    raise InputError(findings.problems)


def _count(lines: Sequence[PlayLine]) -> int:
    return len({line.number for line in lines if line.number}) + sum(not line.number for line in lines)


def _numbered(lines: Sequence[PlayLine], findings: Findings) -> list[ChosenHole]:
    by_number: dict[int, list[PlayLine]] = defaultdict(list)
    for line in lines:
        by_number[line.number].append(line)
    unnumbered = by_number.pop(0, [])
    expected = _expected_numbers(set(by_number), len(unnumbered))
    missing = [number for number in expected if number not in by_number]
    if len(missing) == len(unnumbered) == 1:
        findings.assume(f"hole {missing[0]} is the only line without ref, {unnumbered[0].feature.place}")
        by_number[missing.pop()] = [unnumbered.pop()]
    for line in unnumbered:
        findings.problem(line.feature.place, None, "the hole's number as ref", "Add it on the map.")
    for number in missing:
        findings.problem(f"hole {number}", None, f"a line golf=hole with ref={number}", _DRAW)
    for number in sorted(set(by_number) - set(expected)):
        findings.problem(f"hole {number}", number, f"holes {expected[0]} to {expected[-1]}", _APART)
    if expected[0] == 10:
        findings.assume("holes 10-18 of the map are the holes 1-9 of this course")
    found = [number for number in expected if number in by_number]
    return [_hole(index, by_number[number], findings) for index, number in enumerate(found, 1)]


def _expected_numbers(given: set[int], more: int) -> range:
    if given and min(given) == 10 and len(given) + more <= 9:
        return range(10, 19)
    return range(1, 19) if max(given, default=0) > 9 or len(given) + more > 9 else range(1, 10)


def _hole(number: int, lines: Sequence[PlayLine], findings: Findings) -> ChosenHole:
    """The longest of the lines; the others must end at the same green."""
    lines = sorted(lines, key=_length_m, reverse=True)
    end = LocalPlane(*lines[0].positions[-1].tolist())
    for line in lines[1:]:
        if end.distance_m(line.positions[-1]) > SAME_GREEN_M:
            places = f"{lines[0].feature.place} and {line.feature.place}"
            findings.problem(f"hole {number}", places, "one line of play", _APART)
    return ChosenHole(number, lines[0], tuple(lines[1:]))


def _length_m(line: PlayLine) -> float:
    plane = LocalPlane(*line.positions[0].tolist())
    steps = np.diff(plane.to_plane(line.positions), axis=0)
    return float(np.hypot(*steps.T).sum())
