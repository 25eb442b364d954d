"""Tee sets of a mapped course: tees of one name on every hole, the longest first."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString

from rangework.course.findings import Findings
from rangework.course.geometry import Point
from rangework.course.line_toml import ONLY_TEE
from rangework.course.maps.hole_sketch import HoleSketch
from rangework.units import METRES_PER, YARD_M

#: Names of tees that the map does not name, by how many of them the holes have.
_BY_LENGTH = {1: (ONLY_TEE,), 2: ("back", "forward"), 3: ("back", "middle", "forward")}
#: A stated length that differs from the drawn one by more than this share is told.
ODD_SHARE = 0.12


@dataclass(frozen=True, slots=True)
class Stated:
    """A length that the map states, in its unit (metres per unit), 0 where it names none."""

    value: float
    unit_m: float


def tee_sets(sketches: Sequence[HoleSketch], findings: Findings) -> dict[str, list[Point]]:
    """By name, where the tee of every hole is; the longest set first."""
    stated = [stated_lengths(sketch.feature.tags) for sketch in sketches]
    unit_m = _unit_m(sketches, stated)
    known = [_named_places(sketch, lengths, unit_m) for sketch, lengths in zip(sketches, stated, strict=True)]
    _tell_odd_lengths(sketches, stated, unit_m, findings)
    names = _kept_names(known, findings)
    if not names:
        return _by_length(sketches, findings)
    names = _sets_by_length(names, known, sketches)
    return {name: _filled(name, names, known, sketches, findings) for name in names}


def stated_lengths(tags: Mapping[str, str]) -> dict[str, Stated]:
    """Lengths that a line of play states: ``dist`` under "", ``dist:white`` under white."""
    stated = {}
    for key, value in tags.items():
        given = re.match(r"(\d{1,4}(?:[.,]\d{1,3})?)\s*(yd|y|m|ft)?", value.lower())
        if given and (key == "dist" or key.startswith("dist:")) and float(given[1].replace(",", ".")) > 0:
            name, unit = key[5:].strip(), given[2] or ""
            unit_m = YARD_M if unit == "y" else METRES_PER.get(unit, 0.0)
            stated[name] = Stated(float(given[1].replace(",", ".")), unit_m)
    return stated


def _unit_m(sketches: Sequence[HoleSketch], stated: Sequence[Mapping[str, Stated]]) -> float:
    """Yard or metre: whichever makes the longest stated lengths more like the drawn ones."""
    ratios = [
        max(each.value for each in lengths.values()) / sketch.path.length
        for sketch, lengths in zip(sketches, stated, strict=True)
        if lengths
    ]
    ratio = float(np.median(ratios)) if ratios else 1.0
    return YARD_M if abs(ratio * YARD_M - 1.0) < abs(ratio - 1.0) else 1.0


def _named_places(sketch: HoleSketch, stated: Mapping[str, Stated], unit_m: float) -> dict[str, Point]:
    """Tees by name: as mapped, else as far back along the line as the map says."""
    places = {
        name: _back_along(sketch.path, length_m)
        for name, each in stated.items()
        if name and 0.3 <= (length_m := each.value * (each.unit_m or unit_m)) / sketch.path.length <= 1.5
    }
    for tee in sorted(sketch.tees, key=lambda each: sketch.length_from(each.place)):
        places.update(dict.fromkeys(tee.names, tee.place))
    return places


def _back_along(path: LineString, length_m: float) -> Point:
    """The place so far from the end of a line, straight on behind its beginning."""
    first, second = (np.array(corner) for corner in path.coords[:2])
    ahead_m = path.length - length_m
    if ahead_m < 0:
        place = first + ahead_m * (second - first) / np.hypot(*(second - first))
    else:
        place = np.array(path.interpolate(ahead_m).coords[0])
    return (float(place[0]), float(place[1]))


def _tell_odd_lengths(
    sketches: Sequence[HoleSketch],
    stated: Sequence[Mapping[str, Stated]],
    unit_m: float,
    findings: Findings,
) -> None:
    for sketch, lengths in zip(sketches, stated, strict=True):
        if lengths:
            longest = max(each.value * (each.unit_m or unit_m) for each in lengths.values())
            drawn = max(sketch.path.length, *(sketch.length_from(tee.place) for tee in sketch.tees))
            if abs(longest / drawn - 1) > ODD_SHARE:
                expected = f"about the drawn length, {drawn:.0f} m"
                findings.warning(f"{sketch.place} dist", f"{longest:.0f} m", expected, "The line counts.")


def _kept_names(known: Sequence[Mapping[str, Point]], findings: Findings) -> list[str]:
    """Names that at least half of the holes have, in order of first sight; the others are told."""
    counts = Counter(name for places in known for name in places)
    for name, count in counts.items():
        if 2 * count < len(known):
            remedy = "They are left out. Name the tees of all holes on the map."
            findings.warning(
                f"tees {name}", f"on {count} of {len(known)} holes", "tees on every hole", remedy
            )
    return [name for name, count in counts.items() if 2 * count >= len(known)]


def _by_length(sketches: Sequence[HoleSketch], findings: Findings) -> dict[str, list[Point]]:
    """Sets by length where the map names no tees: at most three, as many as the fullest hole has."""
    ordered = [_longest_first(sketch) for sketch in sketches]
    names = _BY_LENGTH[min(3, max(map(len, ordered)))]
    if len(names) > 1:
        findings.assume(f"tees called {', '.join(names)} by their length, as the map names none")
    return {
        name: [places[_in_step(rank, len(names), len(places))] for places in ordered]
        for rank, name in enumerate(names)
    }


def _longest_first(sketch: HoleSketch) -> list[Point]:
    return sorted({tee.place for tee in sketch.tees}, key=sketch.length_from, reverse=True)


def _in_step(rank: int, of: int, places: int) -> int:
    """Which of so many places, from longest to shortest, the set of this rank plays from."""
    return round(rank * (places - 1) / max(of - 1, 1))


def _filled(
    name: str,
    names: Sequence[str],
    known: Sequence[Mapping[str, Point]],
    sketches: Sequence[HoleSketch],
    findings: Findings,
) -> list[Point]:
    """Where a set's tees are; on a hole that lacks one, the tee of the set next longer or shorter."""
    rank = names.index(name)
    nearest_first = sorted(names, key=lambda other: abs(names.index(other) - rank))
    places = []
    for sketch, there in zip(sketches, known, strict=True):
        if name not in there and len(sketch.tees) > 1:
            findings.assume(
                f"{name} tee where another tee of the hole is, as the map shows none", sketch.number
            )
        standing_in = next((other for other in nearest_first if other in there), None)
        ordered = _longest_first(sketch)
        unnamed = ordered[_in_step(rank, len(names), len(ordered))]
        places.append(there[standing_in] if standing_in else unnamed)
    return places


def _sets_by_length(
    names: Sequence[str], known: Sequence[Mapping[str, Point]], sketches: Sequence[HoleSketch]
) -> list[str]:
    """The names from the longest set to the shortest, by their lengths on the holes that have them."""
    shares: dict[str, list[float]] = {name: [] for name in names}
    for sketch, there in zip(sketches, known, strict=True):
        for name in names:
            if name in there:
                shares[name].append(sketch.length_from(there[name]) / sketch.path.length)
    return sorted(names, key=lambda name: -float(np.mean(shares[name])))
