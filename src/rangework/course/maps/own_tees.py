"""Which tees are whose, what they are called, and the sets they make."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from rangework.course.findings import Findings
from rangework.course.geometry import Point
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.features import MapFeature
from rangework.course.maps.hole_sketch import HoleSketch, TeePlace
from rangework.course.maps.mapped_areas import MappedArea
from rangework.course.maps.own_greens import NEAR_M
from rangework.course.maps.tags import TEE, meaning, tee_names
from rangework.course.maps.written_heights import mean_height_m

#: A tee belongs to the hole whose line begins this near to it; else to the hole whose early line passes nearest.
AT_START_M, ASIDE_M, BY_REF_M = 10.0, 30.0, 80.0
#: How far tees may lie behind the beginning of the line, and how far ahead as a share of its length.
BEHIND_M, EARLY_SHARE = 120.0, 0.45


@dataclass(frozen=True, slots=True, eq=False)
class TeeMark:
    """A tee on the map; its height is nan where the map gives none."""

    shape: BaseGeometry
    names: tuple[str, ...]
    ref: str
    height_m: float = math.nan

    @property
    def place(self) -> Point:
        """Its middle."""
        middle = self.shape.centroid
        inside = middle if self.shape.covers(middle) else self.shape.representative_point()
        return (float(inside.x), float(inside.y))


def tee_marks(
    features: Sequence[MapFeature], areas: Sequence[MappedArea], plane: LocalPlane
) -> list[TeeMark]:
    """Tees drawn as areas and as points."""
    marks = [
        TeeMark(
            area.polygon,
            tee_names(area.feature.tags),
            area.feature.tags.get("ref", ""),
            mean_height_m(area.feature),
        )
        for area in areas
        if area.tag == TEE
    ]
    for feature in features:
        if feature.shape == "points" and meaning(feature.tags) == TEE:
            points = plane.to_plane(feature.parts[0][0])
            names, ref = tee_names(feature.tags), feature.tags.get("ref", "")
            height_m = mean_height_m(feature)
            marks += [TeeMark(ShapelyPoint(point), names, ref, height_m) for point in points]
    return marks


def with_tees(
    sketches: Sequence[HoleSketch], marks: Sequence[TeeMark], findings: Findings
) -> list[HoleSketch]:
    """The sketches with their tees; one where the line begins, if none is mapped there."""
    starts = [ShapelyPoint(sketch.line[0]) for sketch in sketches]
    early = [_early_line(sketch) for sketch in sketches]
    own: list[list[TeeMark]] = [[] for _ in sketches]
    for mark in marks:
        for index in _holes_of(mark, sketches, starts, early):
            own[index].append(mark)
    return [
        replace(sketch, tees=tuple(_places(sketch, start, tees, findings)))
        for sketch, start, tees in zip(sketches, starts, own, strict=True)
    ]


def _early_line(sketch: HoleSketch) -> LineString:
    """Where tees may lie along a hole."""
    first, second = sketch.line[0], sketch.line[1]
    back = first - BEHIND_M * (second - first) / max(float(np.hypot(*(second - first))), 1e-9)
    path = sketch.path
    ahead = substring(path, 0.0, EARLY_SHARE * path.length)
    return LineString([back, *ahead.coords])


def _holes_of(
    mark: TeeMark,
    sketches: Sequence[HoleSketch],
    starts: Sequence[ShapelyPoint],
    early: Sequence[LineString],
) -> list[int]:
    aside_m = [mark.shape.distance(line) for line in early]
    named = [
        index
        for index, sketch in enumerate(sketches)
        if mark.ref == str(sketch.number) and aside_m[index] <= BY_REF_M
    ]
    if named:
        return named
    begun = [index for index, start in enumerate(starts) if mark.shape.distance(start) <= AT_START_M]
    if begun:
        return begun
    nearest = int(np.argmin(aside_m))
    return [nearest] if aside_m[nearest] <= ASIDE_M else []


def _places(
    sketch: HoleSketch, start: ShapelyPoint, marks: Sequence[TeeMark], findings: Findings
) -> Iterator[TeePlace]:
    """The tees of a hole. The line begins where its tee is played from; without a tee there, one is assumed."""
    at_start = (float(start.x), float(start.y))
    yield from sketch.starts
    for mark in marks:
        begins_here = mark.shape.area > 0 and mark.shape.distance(start) <= 1.0
        yield TeePlace(mark.names, at_start if begins_here else mark.place, mark.height_m)
    if not any(mark.shape.distance(start) <= NEAR_M for mark in marks):
        only = "all tees" if not marks and not sketch.starts else "a tee"
        findings.assume(
            f"{only} where the line of play begins, as no golf=tee is mapped there", sketch.number
        )
        yield TeePlace(tee_names(sketch.feature.tags), at_start)
