"""The ground that a hole's grid can show: what the map has there, seen from this hole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from rangework.course.findings import Findings
from rangework.course.geometry import Area
from rangework.course.maps.boundaries import beyond
from rangework.course.maps.mapped_areas import MappedArea
from rangework.course.maps.tags import GREEN, OUT_OF_BOUNDS
from rangework.course.outlines import pieces
from rangework.lie import Ground

#: How far tees, line of play and green may stick out of a course's outline that is taken for its boundary.
OUTSIDE_M = 5.0
#: A fringe this near to a green belongs to it.
TOUCHING_M = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class MappedGround:
    """What covers the course and what bounds it, on its plane.

    ``outline`` is the ground inside the course's outlines, None where none is drawn round it.
    """

    areas: Sequence[MappedArea]
    boundaries: Sequence[NDArray[np.float64]]
    outline: BaseGeometry | None
    tree: STRtree

    @property
    def bounds_are_mapped(self) -> bool:
        """Whether the map shows anything out of bounds."""
        return bool(self.boundaries) or any(area.tag == OUT_OF_BOUNDS for area in self.areas)


def _round_another_green(area: MappedArea, green: Polygon | None) -> bool:
    """Whether an area is a green other than the hole's own, or the fringe of one."""
    if area.ground is not Ground.FRINGE:
        return area.tag == GREEN
    return green is None or float(area.polygon.distance(green)) > TOUCHING_M


def ground_of(
    mapped: MappedGround,
    region: Polygon,
    path: LineString,
    green: Polygon | None,
    number: int,
    findings: Findings,
) -> Iterator[Area]:
    """Areas on the course's plane, cut to a region; all but the hole's own green.

    Other greens and their fringes are fairway to this hole: a ball must be dropped off the green (Rules of Golf 13.1f,
    from memory), and nobody putts from there.
    """
    shapely.prepare(region)
    for index in sorted(mapped.tree.query(region, predicate="intersects").tolist()):
        area = mapped.areas[index]
        if area.ground is Ground.ROUGH or area.polygon is green or not _counts(area, number):
            continue
        shape = area.polygon if region.covers(area.polygon) else area.polygon.intersection(region)
        if area.tag == OUT_OF_BOUNDS and _encloses(area.polygon, path):
            shape = region.difference(area.polygon)
        ground = Ground.FAIRWAY if _round_another_green(area, green) else area.ground
        for piece in pieces(shape):
            yield Area(ground, piece)
    for piece in pieces(_beyond_boundaries(mapped, region, path, number, findings)):
        yield Area(Ground.OUT, piece)


def _counts(area: MappedArea, number: int) -> bool:
    """Out of bounds with a hole's number as its ref counts for that hole only."""
    return area.tag != OUT_OF_BOUNDS or area.feature.tags.get("ref", str(number)) == str(number)


def _encloses(bounds: Polygon, path: LineString) -> bool:
    """Whether an area out of bounds is drawn round the hole, so that what lies outside is meant."""
    return bool(path.intersection(bounds).length > path.length / 2)


def _beyond_boundaries(
    mapped: MappedGround, region: Polygon, path: LineString, number: int, findings: Findings
) -> BaseGeometry:
    out: list[BaseGeometry] = []
    for line in mapped.boundaries:
        near = MultiLineString([LineString(line)]).intersection(region)
        if near.is_empty or near.length == 0:
            continue
        if near.intersects(path):
            remedy = "It does not count on this hole."
            findings.warning(
                f"hole {number}", "golf=out_of_bounds", "a boundary beside the line of play", remedy
            )
            continue
        out.append(beyond(near, path).intersection(region))
    return shapely.union_all(out) if out else Polygon()


def outside_outline(
    mapped: MappedGround, region: Polygon, played: BaseGeometry, number: int, findings: Findings
) -> BaseGeometry:
    """The ground outside the course's outline, taken to be out of bounds where the map shows no bounds.

    ``played`` holds tees, line of play and green: a hole that leaves the outline has nothing out of bounds.
    """
    if mapped.bounds_are_mapped:
        return Polygon()
    if mapped.outline is None:
        findings.assume(
            "nothing out of bounds, as neither golf=out_of_bounds nor an outline is mapped", number
        )
        return Polygon()
    if not mapped.outline.buffer(OUTSIDE_M).covers(played):
        findings.assume(
            "nothing out of bounds, as golf=out_of_bounds is not mapped and the hole leaves the course's outline",
            number,
        )
        return Polygon()
    findings.assume(
        "outside the course's outline is out of bounds, as golf=out_of_bounds is not mapped", number
    )
    return region.difference(mapped.outline)
