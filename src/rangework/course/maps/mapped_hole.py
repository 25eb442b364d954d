"""A hole of a map as a Hole on its own plane."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import GeometryCollection, MultiPoint
from shapely.geometry import Point as ShapelyPoint

from rangework.course.drawn_green import DrawnGreen, arrival_rad
from rangework.course.findings import Findings
from rangework.course.geometry import Area, Hole, Point
from rangework.course.ground_grid import shown_region
from rangework.course.hole_plane import HolePlane, plane_of
from rangework.course.local_plane import LocalPlane, placement_on
from rangework.course.maps.hole_ground import MappedGround, ground_of, outside_outline
from rangework.course.maps.hole_sketch import HoleSketch
from rangework.course.outlines import pieces
from rangework.course.pin_words import PIN_WORDS, USUAL_PINS, pin_by_word
from rangework.lie import Ground

#: The usual pins first, so that they are met first where pins take turns.
_PINS = (*USUAL_PINS, *(word for word in PIN_WORDS if word not in USUAL_PINS))


def finish_hole(
    sketch: HoleSketch,
    tees: Mapping[str, Point],
    par: int,
    mapped: MappedGround,
    plane: LocalPlane,
    findings: Findings,
) -> Hole:
    """The hole, with all that its grids can show.

    The sketch must have its green, and a line of play that starts at the longest of the tees.
    """
    assert sketch.green is not None
    own = plane_of(sketch.line)
    green = Area(Ground.GREEN, shapely.transform(sketch.green, own.to_hole))
    hole = Hole(
        number=sketch.number,
        par=par,
        stroke_index=stroke_index_of(sketch),
        tees={name: own.point(place) for name, place in tees.items()},
        pins=_pins(sketch, own, findings),
        line=own.to_hole(sketch.line),
        areas=(green,),
        placement=placement_on(plane, own.origin, own.turn_rad),
    )
    hole = replace(hole, areas=(green, *_around(hole, sketch, own, mapped, findings)))
    _tell_covered_places(hole, sketch, findings)
    return hole


def stroke_index_of(sketch: HoleSketch) -> int:
    """The stroke index as tagged (handicap, or that of one of the tees), 0 where there is none."""
    tags = sketch.feature.tags
    given = [tags[key] for key in ("handicap", *sorted(tags)) if key in tags and key.startswith("handicap")]
    numbers = [int(text) for text in given if text.isascii() and text.isdigit() and len(text) < 3]
    return next((number for number in numbers if 1 <= number <= 18), 0)


def _pins(sketch: HoleSketch, own: HolePlane, findings: Findings) -> dict[str, Point]:
    if sketch.pins:
        return {name: own.point(place) for name, place in sketch.pins.items()}
    text = "pins at the middle and near the eight sides of the green, as no golf=pin is mapped"
    findings.assume(text, sketch.number)
    ground = shapely.transform(sketch.pin_ground or sketch.green, own.to_hole)
    green = DrawnGreen(ground, arrival_rad(own.to_hole(sketch.line)))
    return {word: pin_by_word(green, word) for word in _PINS}


def _around(
    hole: Hole, sketch: HoleSketch, own: HolePlane, mapped: MappedGround, findings: Findings
) -> list[Area]:
    """Everything but the green, on the hole's plane."""
    region = shapely.transform(shown_region(hole), own.to_drawn)
    path = sketch.path
    found = list(ground_of(mapped, region, path, sketch.green, sketch.number, findings))
    tees = MultiPoint(own.to_drawn(np.array(list(hole.tees.values()))))
    played = GeometryCollection([path, tees, sketch.green])
    out = outside_outline(mapped, region, played, sketch.number, findings)
    found += [Area(Ground.OUT, piece) for piece in pieces(out)]
    return [Area(area.ground, shapely.transform(area.polygon, own.to_hole)) for area in found]


def _tell_covered_places(hole: Hole, sketch: HoleSketch, findings: Findings) -> None:
    """Warn of tees in water or out of bounds, and of pins out of bounds."""
    for kind, places, wrong in (
        ("tee", hole.tees, (Ground.WATER, Ground.OUT)),
        ("pin", hole.pins, (Ground.OUT,)),
    ):
        for name, place in places.items():
            spot = ShapelyPoint(place)
            covers = [
                area.ground for area in hole.areas if area.ground in wrong and area.polygon.contains(spot)
            ]
            if covers:
                what = "water" if covers[0] is Ground.WATER else "out of bounds"
                remedy = "It is used as it is; look at the outlines there."
                findings.warning(f"{sketch.place}, {name} {kind}", what, f"a {kind} on open ground", remedy)
