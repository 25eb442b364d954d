"""What a map leaves out and a hole cannot do without: par, green, fringe and fairway, each put down as assumed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import shapely
from shapely.geometry import Polygon

from rangework.course.course_checks import PAR_YARDS
from rangework.course.drawn_green import DrawnGreen, arrival_rad
from rangework.course.fairway_toml import usual_fairway
from rangework.course.findings import Findings
from rangework.course.geometry import Point
from rangework.course.hole_frame import HoleFrame
from rangework.course.hole_plane import plane_of
from rangework.course.hole_toml import USUAL_FRINGE_YD, USUAL_GREEN_YD
from rangework.course.line_of_play import line_through
from rangework.course.maps.hole_sketch import HoleSketch
from rangework.course.maps.mapped_areas import MappedArea
from rangework.course.maps.tags import FAIRWAY, FRINGE, GREEN, Tag
from rangework.course.outlines import oval, pieces, ring
from rangework.lie import Ground
from rangework.units import YARD_M

#: A hole has a fairway of its own where this much of its line of play runs over one.
FAIRWAY_RUN_M = 20.0
#: A green has a fringe of its own where this much of its edge has one beside it.
FRINGE_RUN_M = 1.0


def with_usual_greens(sketches: Sequence[HoleSketch], findings: Findings) -> list[HoleSketch]:
    """The sketches, a usual green being put where the line of play ends on none."""
    return [sketch if sketch.green else _with_usual_green(sketch, findings) for sketch in sketches]


def _with_usual_green(sketch: HoleSketch, findings: Findings) -> HoleSketch:
    wide, deep = USUAL_GREEN_YD
    text = (
        f"green {wide:g} yd wide and {deep:g} yd deep where the line of play ends, as no golf=green is there"
    )
    findings.assume(text, sketch.number)
    middle, heading_rad = (sketch.end.x, sketch.end.y), arrival_rad(sketch.line)
    return replace(sketch, green=oval(middle, heading_rad, wide * YARD_M, deep * YARD_M))


def par_of(sketch: HoleSketch, length_m: float, findings: Findings) -> int:
    """The par as tagged, for all or for most of the tees; else by the length."""
    tags = sketch.feature.tags
    given = [tags["par"]] if "par" in tags else [tags[key] for key in tags if key.startswith("par:")]
    pars = Counter(text for text in given if text in ("3", "4", "5", "6"))
    if pars:
        return int(pars.most_common(1)[0][0])
    if given:
        findings.warning(f"{sketch.place} par", given[0], "3, 4, 5 or 6", "It is set aside.")
    findings.assume("par by the longest tee's length, as none is mapped", sketch.number)
    return 3 + sum(length_m / YARD_M > between for between in _yards_between_pars())


def _yards_between_pars() -> list[float]:
    """The middle of where two pars overlap (Rules of Handicapping, Appendix F, men)."""
    ranges = [PAR_YARDS["men"][par] for par in (3, 4, 5, 6)]
    return [(shorter[1] + longer[0]) / 2 for shorter, longer in pairwise(ranges)]


def assumed_areas(
    sketch: HoleSketch, tees: Mapping[str, Point], par: int, areas: Sequence[MappedArea], findings: Findings
) -> list[MappedArea]:
    """A usual fairway and fringe, on the course's plane, where the map has none for this hole; and a usual green."""
    assert sketch.green is not None
    own = plane_of(sketch.line)
    line = line_through(own.to_hole(sketch.line))
    green = DrawnGreen(shapely.transform(sketch.green, own.to_hole), line.heading_rad(line.length_m))
    forward_m = max(line.length_m - min(map(sketch.length_from, tees.values())), 0.0)
    frame = HoleFrame(sketch.number, par, line, green, forward_m, findings)
    mown = [shapely.transform(polygon, own.to_drawn) for polygon in _fairway(sketch, frame, areas)]
    fringe = _fringe(sketch.green, frame, areas)
    drawn = any(area.polygon is sketch.green for area in areas)
    return [
        MappedArea(tag, ground, polygon, sketch.feature)
        for tag, ground, polygons in (
            (FAIRWAY, Ground.FAIRWAY, mown),
            (FRINGE, Ground.FRINGE, fringe),
            (GREEN, Ground.GREEN, [] if drawn else [sketch.green]),
        )
        for polygon in polygons
    ]


def _fairway(sketch: HoleSketch, frame: HoleFrame, areas: Sequence[MappedArea]) -> list[Polygon]:
    """A usual fairway on the hole's plane; none where the map has one, or on a par 3."""
    path = sketch.path
    if path.intersection(shapely.union_all(_tagged(areas, FAIRWAY))).length >= FAIRWAY_RUN_M:
        return []
    if frame.par == 3:
        frame.assume("no fairway on a par 3, as no golf=fairway is mapped there")
        return []
    frame.assume("a fairway along the line of play, as no golf=fairway is mapped there")
    return [area.polygon for area in usual_fairway(frame)]


def _fringe(green: Polygon, frame: HoleFrame, areas: Sequence[MappedArea]) -> list[Polygon]:
    """A usual fringe on the course's plane; none where the map has one."""
    mapped = shapely.union_all(_tagged(areas, FRINGE)).buffer(0.1)
    if mapped.intersection(green.boundary).length > FRINGE_RUN_M:
        return []
    frame.assume(f"fringe {USUAL_FRINGE_YD:g} yd wide round the green, as no golf=fringe is mapped")
    return pieces(ring(green, 0.0, USUAL_FRINGE_YD * YARD_M))


def _tagged(areas: Sequence[MappedArea], tag: Tag) -> list[Polygon]:
    return [area.polygon for area in areas if area.tag == tag]
