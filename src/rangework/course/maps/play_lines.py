"""Lines of play on a map (golf=hole), and the courses that each may belong to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon

from rangework.course.findings import Findings
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.features import SMALLER_MAP, MapFeature, Positions
from rangework.course.maps.tags import HOLE, OUTLINE, meaning
from rangework.errors import InputError, Problem

#: Holes, and outlines of courses, that one map may hold.
MOST_LINES = 1000
#: Pieces of a line of play are taken as one where their ends are this near.
GAP_M = 5.0
#: An outline of a course reaches no farther than this.
FARTHEST_M = 20_000.0

_LINE_REMEDY = "Draw it as a line from tee to green."


@dataclass(frozen=True, slots=True, eq=False)
class PlayLine:
    """A line of play: its hole's number (0 where none is given) and the courses it may belong to, likeliest first.

    ``assumed`` tells what of this the map does not say itself.
    """

    feature: MapFeature
    positions: Positions
    number: int
    courses: tuple[str, ...]
    assumed: tuple[str, ...] = ()

    @property
    def course(self) -> str:
        """The likeliest course; empty where nothing names one."""
        return self.courses[0] if self.courses else ""


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """The outline of a course (leisure=golf_course), by its name or, without one, by its place in the file."""

    name: str
    feature: MapFeature

    def holds(self, positions: Positions) -> np.ndarray:
        """Which of the positions lie inside, as booleans."""
        inside = np.zeros(len(positions), dtype=np.bool_)
        for rings in self.feature.rings() or ():
            plane = LocalPlane(*rings[0][0].tolist())
            near = plane.distance_m(positions) < FARTHEST_M
            points = plane.to_plane(positions)
            for ring in rings:
                if len(ring) > 3 and plane.distance_m(ring).max() < FARTHEST_M:
                    outline = shapely.make_valid(Polygon(plane.to_plane(ring)))
                    inside ^= near & shapely.contains_xy(outline, points)
        return inside


def outlines_of(features: Sequence[MapFeature], findings: Findings) -> list[Outline]:
    """The outlines of courses. Raises InputError where there are more than any map of golf courses has."""
    found = [feature for feature in features if meaning(feature.tags) == OUTLINE and feature.rings()]
    _refuse_too_many("outlines leisure=golf_course", found, findings)
    names = [feature.tags.get("golf:course:name", feature.tags.get("name")) for feature in found]
    return [Outline(name or feature.place, feature) for name, feature in zip(names, found, strict=True)]


def play_lines(
    features: Sequence[MapFeature], outlines: Sequence[Outline], findings: Findings
) -> list[PlayLine]:
    """All lines of play. Raises InputError where there are more than any map of golf courses has."""
    holes = [feature for feature in features if meaning(feature.tags) == HOLE]
    _refuse_too_many("lines golf=hole", holes, findings)
    lines = [line for feature in holes if (line := _play_line(feature, findings))]
    if not lines:
        return []
    middles = np.array([line.positions[len(line.positions) // 2] for line in lines])
    inside = [(outline.name, outline.holds(middles)) for outline in outlines]
    placed = [
        replace(line, courses=(*line.courses, *(name for name, held in inside if held[index])))
        for index, line in enumerate(lines)
    ]
    return list(_with_neighbours(placed, {outline.name for outline in outlines}))


def _refuse_too_many(what: str, found: Sequence[MapFeature], findings: Findings) -> None:
    if len(found) > MOST_LINES:
        expected = f"at most {MOST_LINES} {what}"
        raise InputError(Problem(findings.source, "", str(len(found)), expected, SMALLER_MAP))


def _play_line(feature: MapFeature, findings: Findings) -> PlayLine | None:
    if feature.shape != "line":
        findings.warning(feature.place, "golf=hole", "a line of play", f"It is left out. {_LINE_REMEDY}")
        return None
    positions = _joined([part[0] for part in feature.parts])
    if positions is None:
        remedy = f"It is left out. {_LINE_REMEDY}"
        findings.warning(feature.place, "golf=hole in pieces", "one line of play", remedy)
        return None
    named = [name.strip() for name in feature.tags.get("golf:course:name", "").split(";")]
    number, assumed = _number(feature)
    return PlayLine(feature, positions, number, tuple(filter(None, named)), assumed)


def _number(feature: MapFeature) -> tuple[int, tuple[str, ...]]:
    """The hole's number by its ref, else by its name, which is assumed."""
    ref = re.search(r"[0-9]{1,2}(?![0-9])", feature.tags.get("ref", ""))
    if ref:
        return int(ref[0]), ()
    name = re.search(r"(?<![0-9])[0-9]{1,2}(?![0-9])", feature.tags.get("name", ""))
    if name:
        return int(name[0]), (f"hole {name[0]} is so numbered by its name, as it has no ref",)
    return 0, ()


def _joined(pieces: Sequence[Positions]) -> Positions | None:
    """The pieces of a line in their order as one; None where an end is far from the next beginning."""
    for before, after in pairwise(pieces):
        if LocalPlane(*before[-1].tolist()).distance_m(after[0]) > GAP_M:
            return None
    return np.concatenate(pieces)


def _with_neighbours(lines: Sequence[PlayLine], outlines: set[str]) -> Iterator[PlayLine]:
    """Lines that name no course take the only one that others in the same outline name, if it lacks their hole."""
    for line in lines:
        if line.courses and line.course not in outlines:
            yield line
            continue
        alike = [other for other in lines if line.course in other.courses or not line.courses]
        named = {other.course for other in alike if other.courses and other.course not in outlines}
        course = named.pop() if len(named) == 1 else ""
        taken = any(other.course == course and other.number == line.number for other in lines)
        if course and not taken:
            told = f"hole {line.number}" if line.number else line.feature.place
            assumed = f"{told} belongs to {course}, as its neighbours do; it names no course itself"
            yield replace(line, courses=(course, *line.courses), assumed=(*line.assumed, assumed))
        else:
            yield line
