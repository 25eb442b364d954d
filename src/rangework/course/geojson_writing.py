"""A course as GeoJSON (RFC 7946) with the public golf tags, as the reader of maps reads it back."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from rangework.course.geometry import Course, Hole
from rangework.course.ground_grid import shown_region
from rangework.course.local_plane import LocalPlane, Placement, placement_on
from rangework.course.maps.heights import CLIMB_KEY
from rangework.course.written_areas import lasting_assumptions, merged, smoothed, written_areas
from rangework.lie import Ground

#: Decimals of a degree: 7 are a centimetre (RFC 7946, section 11.2).
DECIMALS = 7

TAGS = {
    Ground.FAIRWAY: {"golf": "fairway"},
    Ground.GREEN: {"golf": "green"},
    Ground.FRINGE: {"golf": "fringe"},
    Ground.SAND: {"golf": "bunker"},
    Ground.TREES: {"natural": "wood"},
    Ground.WATER: {"golf": "lateral_water_hazard"},
    Ground.OUT: {"golf": "out_of_bounds"},
}

#: A course without a place on Earth is laid here, in the open South Pacific, so many holes to a row.
OPEN_OCEAN = LocalPlane(-121.0, -45.0)
HOLES_A_ROW = 6
APART_M = 200.0

Feature = dict[str, Any]


def geojson_text(course: Course) -> str:
    """The course as GeoJSON text. Holes without a place on Earth are laid side by side in the open ocean."""
    placed = placed_holes(course.holes)
    told = {
        "type": "FeatureCollection",
        "name": course.name,
        "attribution": course.attribution,
        "assumed": lasting_assumptions(course),
        "tees": _ratings(course),
    }
    head = ",\n".join(f"{json.dumps(key)}: {_json(value)}" for key, value in told.items() if value)
    features = ",\n".join(_json(feature) for feature in _features(course.name, placed))
    return f'{{{head},\n"features": [\n{features}\n]}}\n'


def placed_holes(holes: Sequence[Hole]) -> list[Hole]:
    """The holes, all with a place on Earth: their own, or one far from anywhere, clear of one another."""
    if all(hole.placement for hole in holes):
        return list(holes)
    boxes = [shown_region(hole).bounds for hole in holes]
    width_m = max(right - left for left, _, right, _ in boxes) + APART_M
    depth_m = max(far - near for _, near, _, far in boxes) + APART_M
    placed = []
    for index, (hole, (left, near, _, _)) in enumerate(zip(holes, boxes, strict=True)):
        row, column = divmod(index, HOLES_A_ROW)
        origin = (column * width_m - left, row * depth_m - near)
        placed.append(replace(hole, placement=placement_on(OPEN_OCEAN, origin, 0.0)))
    return placed


def _ratings(course: Course) -> dict[str, Any]:
    return {
        tee.name: {
            who: {"rating": rating.course_rating, "slope": rating.slope}
            for who, rating in (("men", tee.men), ("women", tee.women))
            if rating
        }
        for tee in course.tees
        if tee.men or tee.women
    }


def _features(name: str, holes: Sequence[Hole]) -> Iterator[Feature]:
    for hole in holes:
        yield from _marks(name, hole)
    yield from _shared_ground(holes)
    for hole in holes:
        for area in written_areas(hole):
            if area.ground is Ground.OUT:
                tags = {**TAGS[Ground.OUT], "ref": str(hole.number)}
                yield _area(tags, area.polygon, _placement(hole).to_earth)


def _marks(name: str, hole: Hole) -> Iterator[Feature]:
    """The line of play, the tees and the pins."""
    place, ref = _placement(hole), str(hole.number)
    line = {
        "golf": "hole",
        "ref": ref,
        "par": str(hole.par),
        "handicap": str(hole.stroke_index),
        "golf:course:name": name,
        CLIMB_KEY: f"{hole.climb_m:.2f}",
    }
    yield _feature(line, "LineString", _rounded(place.to_earth(hole.line)))
    for tee, spot in hole.tees.items():
        yield _feature({"golf": "tee", "ref": ref, "tee": tee}, "Point", _rounded(place.to_earth(spot)))
    for pin, spot in hole.pins.items():
        yield _feature({"golf": "pin", "ref": ref, "name": pin}, "Point", _rounded(place.to_earth(spot)))


def _shared_ground(holes: Sequence[Hole]) -> Iterator[Feature]:
    """Everything but out of bounds, which may count for one hole only; what holes share is written once."""
    first = _placement(holes[0])
    plane = LocalPlane(first.longitude_deg, first.latitude_deg)
    by_ground: dict[Ground, list[BaseGeometry]] = defaultdict(list)
    for hole in holes:
        place = _placement(hole)

        def on_plane(points: NDArray[np.float64], place: Placement = place) -> NDArray[np.float64]:
            return plane.to_plane(place.to_earth(points))

        for area in written_areas(hole):
            by_ground[area.ground].append(shapely.transform(area.polygon, on_plane))
    greens = shapely.union_all(by_ground[Ground.GREEN])
    by_ground[Ground.FRINGE] = [shape.difference(greens) for shape in by_ground[Ground.FRINGE]]
    for ground, shapes in by_ground.items():
        if ground is not Ground.OUT:
            for polygon in merged(shapes, ground):
                yield from (_area(TAGS[ground], piece, plane.to_earth) for piece in smoothed(polygon))


def _placement(hole: Hole) -> Placement:
    assert hole.placement is not None
    return hole.placement


def _area(tags: Mapping[str, str], polygon: Polygon, to_earth: Any) -> Feature:
    wound = orient(polygon)  # RFC 7946, section 3.1.6: exterior counter-clockwise, holes clockwise
    rings = [wound.exterior, *wound.interiors]
    return _feature(tags, "Polygon", [_rounded(to_earth(np.asarray(ring.coords))) for ring in rings])


def _feature(tags: Mapping[str, str], kind: str, coordinates: Any) -> Feature:
    return {
        "type": "Feature",
        "properties": {key: value for key, value in tags.items() if value},
        "geometry": {"type": kind, "coordinates": coordinates},
    }


def _rounded(positions: NDArray[np.float64]) -> Any:
    return np.round(positions, DECIMALS).tolist()


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
