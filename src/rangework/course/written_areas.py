"""What of a course is worth writing to a file: the ground that grids can show, and what was assumed for good."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from rangework.course.geometry import Area, Course, Hole
from rangework.course.ground_grid import PAINTING_ORDER, shown_region
from rangework.course.outlines import pieces
from rangework.course.toml_file import UNRATED, UNRATED_TEE
from rangework.lie import Ground

#: Corners that change an outline by less than this are left out: a twentieth of a grid's cell.
SMOOTH_M = 0.05
#: Outlines are kept sound when their corners are rounded to this.
ROUNDED_M = 0.01


def written_areas(hole: Hole) -> list[Area]:
    """The hole's areas cut to what grids show, smoothed, without those that later kinds cover wholly."""
    region = shown_region(hole)
    kept: list[Area] = []
    above: BaseGeometry = Polygon()
    for ground in reversed(PAINTING_ORDER):
        shapes = [area.polygon.intersection(region) for area in hole.areas if area.ground is ground]
        seen = [shape for shape in shapes if not above.covers(shape)]
        above = shapely.union_all([above, *seen])
        kept = [Area(ground, piece) for shape in seen for piece in smoothed(shape)] + kept
    return kept


def lasting_assumptions(course: Course) -> list[str]:
    """What was assumed and is now part of the course; a rating that is missing can still be added."""
    return [text for text in course.assumptions if not text.startswith((UNRATED, UNRATED_TEE))]


def smoothed(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a shape without corners that nobody would miss."""
    return pieces(shapely.set_precision(shape.simplify(SMOOTH_M), ROUNDED_M))


def merged(shapes: Sequence[BaseGeometry], ground: Ground) -> list[Polygon]:
    """Shapes of one kind of ground from several holes as few polygons; greens are kept as they are, once each."""
    if ground is Ground.GREEN:
        kept: list[Polygon] = []
        for polygon in (piece for shape in shapes for piece in pieces(shape)):
            if not any(polygon.symmetric_difference(other).area < 0.02 * polygon.area for other in kept):
                kept.append(polygon)
        return kept
    return pieces(shapely.union_all(list(shapes)))
