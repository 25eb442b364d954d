"""Heights on a map, and what they make of its holes: how far each climbs from tee to green."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from rangework.course.findings import Findings
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.features import MapFeature
from rangework.course.maps.hole_sketch import HoleSketch
from rangework.course.maps.own_greens import FAR_M
from rangework.course.maps.own_pins import OFF_GREEN_M
from rangework.course.maps.tags import GREEN, HOLE, PIN, TEE, Tag, meaning
from rangework.course.maps.written_heights import HIGHEST_M, LOWEST_M, given_heights, sound_heights
from rangework.units import YARD_M

#: A hole climbs no more than this, as for courses written by hand.
STEEPEST_M = 200.0 * YARD_M
#: The key of our own GeoJSON files that states the climb of a line of play, in metres.
CLIMB_KEY = "climb_m"
#: Corners of a green lie this near to its outline.
_ON_OUTLINE_M = 1.0

_LEVEL = "level, as the map gives no height (ele) of its {}"
_ALL_LEVEL = "level holes, as the map gives no heights (ele) of tees and greens"
_ALL_ZERO = "level holes, as every height on the map is 0"
_FOUND = "an even climb from tee to green, by their heights on the map"

#: Places on the course's plane and their heights, metres: (n, 3).
Spots = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class MappedHeights:
    """Heights near a course: ``spots`` of greens and pins, ``lines`` those of each line of play by its feature.

    ``known`` is whether they tell anything: False where there are none, or nothing but zeros.
    """

    spots: Mapping[Tag, Spots]
    lines: Mapping[str, Spots]
    known: bool

    def green_m(self, sketch: HoleSketch) -> float:
        """The height of a hole's green: of its outline, else of its pins, else of the line's end; nan if unknown."""
        ground = sketch.pin_ground or sketch.green
        near = [_near(self.spots[GREEN], ground, _ON_OUTLINE_M), _near(self.spots[PIN], ground, OFF_GREEN_M)]
        return _first_mean((*near, _near(self._line(sketch), sketch.end, FAR_M)))

    def tees_m(self, sketch: HoleSketch) -> float:
        """The mean height of a hole's tees, else that of the line's beginning; nan if unknown."""
        told = sound_heights([tee.height_m for tee in sketch.tees])
        start = _near(self._line(sketch), shapely.Point(sketch.line[0]), FAR_M)
        return _first_mean((told[np.isfinite(told)], start))

    def _line(self, sketch: HoleSketch) -> Spots:
        return self.lines.get(sketch.feature.place, np.empty((0, 3)))


def mapped_heights(features: Iterable[MapFeature], plane: LocalPlane, findings: Findings) -> MappedHeights:
    """The heights of tees, greens, pins and lines of play; what is no height is told once and left out."""
    spots: dict[Tag, list[Spots]] = {GREEN: [], PIN: [], HOLE: [], TEE: []}
    lines: dict[str, Spots] = {}
    odd: list[tuple[str, str]] = []
    for feature in features:
        tag = meaning(feature.tags)
        if tag not in spots:
            continue
        heights, wrong = _heights(feature)
        odd += [(feature.place, text) for text in wrong]
        places = plane.to_plane(np.concatenate(list(feature.positions())))
        told = np.column_stack([places, heights])[np.isfinite(heights)]
        spots[tag].append(told)
        if tag == HOLE:
            lines[feature.place] = told
    _tell_odd(odd, findings)
    every = {tag: np.concatenate(each) if each else np.empty((0, 3)) for tag, each in spots.items()}
    values = np.concatenate([each[:, 2] for each in every.values()])
    if len(values) and not values.any():
        findings.assume(_ALL_ZERO)
    return MappedHeights(every, lines, bool(values.any()))


def climbs_m(sketches: Sequence[HoleSketch], heights: MappedHeights, findings: Findings) -> list[float]:
    """How much higher than the tees each green lies: as our own files state, else by the heights; 0 where unknown."""
    stated = [_stated_m(sketch, findings) for sketch in sketches]
    if all(climb is None for climb in stated) and not heights.known:
        if _ALL_ZERO not in findings.assumed:
            findings.assume(_ALL_LEVEL)
        return [0.0] * len(sketches)
    return [
        _climb_m(sketch, heights, findings) if climb is None else climb
        for sketch, climb in zip(sketches, stated, strict=True)
    ]


def _stated_m(sketch: HoleSketch, findings: Findings) -> float | None:
    text = sketch.feature.tags.get(CLIMB_KEY)
    if text is None:
        return None
    given = re.fullmatch(r"-?\d{1,3}(?:\.\d{1,3})?", text)
    if given and abs(float(text)) <= STEEPEST_M:
        return float(text)
    expected = f"a climb from -{STEEPEST_M:.0f} to {STEEPEST_M:.0f} m"
    findings.warning(f"{sketch.place} {CLIMB_KEY}", text, expected, "It is left out.")
    return None


def _climb_m(sketch: HoleSketch, heights: MappedHeights, findings: Findings) -> float:
    tees_m, green_m = heights.tees_m(sketch), heights.green_m(sketch)
    missing = [name for name, height in (("tee", tees_m), ("green", green_m)) if math.isnan(height)]
    if missing:
        findings.assume(_LEVEL.format(" and ".join(missing)), sketch.number)
        return 0.0
    climb_m = green_m - tees_m
    if abs(climb_m) > STEEPEST_M:
        expected = f"a climb of at most {STEEPEST_M:.0f} m"
        remedy = "It is taken as level: look at ele of its tee and green."
        findings.warning(sketch.place, f"{climb_m:.0f} m", expected, remedy)
        return 0.0
    findings.assume(_FOUND, sketch.number)
    return round(climb_m, 1) + 0.0


def _heights(feature: MapFeature) -> tuple[NDArray[np.float64], list[str]]:
    """Heights of a feature's positions, nan where unknown, those of the ``ele`` tag where none has one; odd ones."""
    given = given_heights(feature)
    return sound_heights(given), list(_odd(given, feature))


def _odd(given: NDArray[np.float64], feature: MapFeature) -> Iterator[str]:
    wrong = ~np.isnan(given) & np.isnan(sound_heights(given))
    if wrong.any():
        value = float(given[int(np.argmax(wrong))])
        yield f"{value:g}" if math.isfinite(value) else feature.tags.get("ele", "no number")


def _tell_odd(odd: Sequence[tuple[str, str]], findings: Findings) -> None:
    if odd:
        place, value = odd[0]
        more = f", as are those of {len(odd) - 1} more features" if len(odd) > 1 else ""
        expected = f"a height of {LOWEST_M:.0f} to {HIGHEST_M:.0f} metres"
        findings.warning(f"{place} ele", value, expected, f"It is left out{more}.")


def _near(spots: Spots, shape: BaseGeometry | None, within_m: float) -> NDArray[np.float64]:
    """The heights of the spots that lie on a shape or so near to it."""
    if shape is None or not len(spots):
        return np.empty(0)
    found: NDArray[np.float64] = spots[shapely.distance(shapely.points(spots[:, :2]), shape) <= within_m, 2]
    return found


def _first_mean(groups: Iterable[NDArray[np.float64]]) -> float:
    return next((float(group.mean()) for group in groups if len(group)), math.nan)
