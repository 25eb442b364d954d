"""Which green a hole ends on, and how a line of play comes to start at its tee and end on its green."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint

from rangework.course.drawn_green import DrawnGreen
from rangework.course.findings import Findings
from rangework.course.geometry import Point
from rangework.course.maps.hole_sketch import SMOOTH_M, HoleSketch, cut_at
from rangework.course.maps.mapped_areas import MappedArea
from rangework.course.outlines import pieces

#: A line of play may end this far from its green; farther only where no other hole ends there.
NEAR_M, FAR_M = 25.0, 40.0
#: Two lines of play that end nearer than this to one another aim at one and the same part of a green.
SAME_END_M = 8.0
#: Beyond any green.
_WIDE_M = 500.0


def facing_greens(
    sketches: Sequence[HoleSketch], greens: Sequence[Polygon], findings: Findings
) -> list[HoleSketch]:
    """The sketches, lines drawn from green to tee turned round."""
    return [_facing_green(sketch, greens, findings) for sketch in sketches]


def _facing_green(sketch: HoleSketch, greens: Sequence[Polygon], findings: Findings) -> HoleSketch:
    start = ShapelyPoint(sketch.line[0])
    from_start = min((green.distance(start) for green in greens), default=math.inf)
    from_end = min((green.distance(sketch.end) for green in greens), default=math.inf)
    if from_start > 1.0 or from_end < NEAR_M:
        return sketch
    findings.assume("line of play turned round, as it is drawn from the green to the tee", sketch.number)
    return replace(sketch, line=sketch.line[::-1])


def with_greens(
    sketches: Sequence[HoleSketch], greens: Sequence[MappedArea], findings: Findings
) -> list[HoleSketch]:
    """The sketches with their greens, and lines of play that end in the middle of their part of them."""
    own = [_named_or_near(sketch, greens) for sketch in sketches]
    taken = {id(green) for green in own if green}
    own = [
        green or _far(sketch, greens, taken, findings) for green, sketch in zip(own, sketches, strict=True)
    ]
    return [
        _ending_on(sketch, green.polygon, _rivals(index, green, own, sketches), findings) if green else sketch
        for index, (sketch, green) in enumerate(zip(sketches, own, strict=True))
    ]


def _named_or_near(sketch: HoleSketch, greens: Sequence[MappedArea]) -> MappedArea | None:
    """The green with the hole's number as its ref, or the one where the line ends."""
    near = [green for green in greens if green.polygon.distance(sketch.end) <= FAR_M]
    named = [green for green in near if green.feature.tags.get("ref", "") == str(sketch.number)]
    chosen = min(named or near, key=lambda green: green.polygon.distance(sketch.end), default=None)
    return chosen if chosen and (named or chosen.polygon.distance(sketch.end) <= NEAR_M) else None


def _far(
    sketch: HoleSketch, greens: Sequence[MappedArea], taken: set[int], findings: Findings
) -> MappedArea | None:
    """The nearest green on which no other hole ends, if it is not too far."""
    left = [green for green in greens if id(green) not in taken]
    nearest = min(left, key=lambda green: green.polygon.distance(sketch.end), default=None)
    if nearest is None or (apart_m := nearest.polygon.distance(sketch.end)) > FAR_M:
        return None
    findings.assume(f"line of play carried on to the green {apart_m:.0f} m from its end", sketch.number)
    return nearest


def _rivals(
    index: int, green: MappedArea, own: Sequence[MappedArea | None], sketches: Sequence[HoleSketch]
) -> list[ShapelyPoint]:
    """Where the lines of other holes end on the same green."""
    ends = [
        sketch.end
        for other, sketch in enumerate(sketches)
        if own[other] is not None and own[other] is green and other != index
    ]
    return [end for end in ends if end.distance(sketches[index].end) > SAME_END_M]


def _ending_on(
    sketch: HoleSketch, green: Polygon, rivals: Sequence[ShapelyPoint], findings: Findings
) -> HoleSketch:
    part = green
    for rival in rivals:
        nearer = pieces(part.intersection(_half_plane(sketch.end, rival)))
        part = max(nearer, key=lambda piece: piece.area, default=part)
    if rivals:
        findings.assume("pins on the half of a double green that is nearer to the line's end", sketch.number)
    kept = cut_at(sketch.line, green)
    kept = kept if len(kept) else sketch.line[:1]
    middle = DrawnGreen(part, 0.0).middle
    return replace(sketch, line=np.vstack([kept, middle]), green=green, pin_ground=part)


def _half_plane(own: ShapelyPoint, rival: ShapelyPoint) -> Polygon:
    """What lies nearer to ``own`` than to ``rival``, as far as a green reaches."""
    toward = np.array([own.x - rival.x, own.y - rival.y])
    toward /= np.hypot(*toward)
    middle = np.array([own.x + rival.x, own.y + rival.y]) / 2
    border = LineString(
        [middle - _WIDE_M * toward[::-1] * (1, -1), middle + _WIDE_M * toward[::-1] * (1, -1)]
    )
    corners = np.array(border.coords)
    return Polygon([*corners, *(corners + _WIDE_M * toward)[::-1]])


def starting_at(sketch: HoleSketch, tee: Point) -> HoleSketch:
    """The sketch with a line of play from a tee near its beginning, on to the corners ahead."""
    path, place = sketch.path, np.asarray(tee)
    passed_m = path.project(ShapelyPoint(tee)) + 1.0
    ahead = [
        corner
        for corner in sketch.line[1:-1]
        if path.project(ShapelyPoint(corner)) > passed_m and np.hypot(*(corner - place)) > 10.0
    ]
    line = LineString(np.vstack([place, *ahead, sketch.line[-1]])).simplify(SMOOTH_M)
    return replace(sketch, line=np.array(line.coords))
