"""Areas of a map as polygons on a plane, each with the ground it covers."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import LineString, MultiPoint, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from rangework.course.findings import Findings
from rangework.course.ground_grid import PAINTING_ORDER
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.features import MapFeature, Positions
from rangework.course.maps.tags import COVERINGS, OUT_OF_BOUNDS, TEE, Tag, likely_meant, meaning
from rangework.course.outlines import SMALL_LOOP, mended, pieces
from rangework.lie import Ground
from rangework.units import FOOT_M

#: A feature that reaches farther than this from the course is drawn too coarsely to be used.
FARTHEST_M = 100_000.0
#: Loops of a smaller share are mended without a word.
UNSEEN_LOOP = 0.001

#: Parts of a feature whose edges are this near to one another touch.
SNAP_M = 0.001
#: Drawn as lines even where they close.
_LINES = ("waterway", "tree_row")
_RANK = {ground: rank for rank, ground in enumerate((Ground.ROUGH, *PAINTING_ORDER))}
_METRES = {"": 1.0, "m": 1.0, "ft": FOOT_M, "'": FOOT_M}


@dataclass(frozen=True, slots=True, eq=False)
class MappedArea:
    """One polygon of a feature on the course's plane, metres, the tag that counts and the ground it covers."""

    tag: Tag
    ground: Ground
    polygon: Polygon
    feature: MapFeature


def features_near(
    features: Sequence[MapFeature], plane: LocalPlane, around: BaseGeometry
) -> list[MapFeature]:
    """The features whose extent on the plane meets that of ``around``; none that reach beyond ``FARTHEST_M``."""
    arrays = [np.concatenate(list(feature.positions())) for feature in features]
    if not arrays:
        return []
    starts = np.cumsum([0, *(len(array) for array in arrays[:-1])])
    positions = np.concatenate(arrays)
    points = plane.to_plane(positions)
    left, low, right, high = around.bounds
    meets = (
        (np.minimum.reduceat(points[:, 0], starts) <= right)
        & (np.maximum.reduceat(points[:, 0], starts) >= left)
        & (np.minimum.reduceat(points[:, 1], starts) <= high)
        & (np.maximum.reduceat(points[:, 1], starts) >= low)
        & (np.maximum.reduceat(plane.distance_m(positions), starts) <= FARTHEST_M)
    )
    return [feature for feature, met in zip(features, meets.tolist(), strict=True) if met]


def mapped_areas(features: Sequence[MapFeature], plane: LocalPlane, findings: Findings) -> list[MappedArea]:
    """Every polygon that covers ground, equal ones once, and what lies on a larger area cut out of it.

    A feature that cannot be an area becomes a warning, one that crosses itself a problem.
    """
    found: dict[tuple[Ground, bytes], MappedArea] = {}
    for feature in features:
        tag = meaning(feature.tags)
        if tag is None and (word := likely_meant(feature.tags)):
            remedy = f"Did you mean {word}? It is left out."
            findings.warning(feature.place, feature.tags["golf"], "a known value of golf=*", remedy)
        if tag is None or tag not in COVERINGS:
            continue
        for polygon in _polygons(feature, tag, plane, findings):
            area = MappedArea(tag, COVERINGS[tag].ground, polygon, feature)
            found.setdefault((area.ground, shapely.to_wkb(polygon.normalize())), area)
    return _with_tops_shown(list(found.values()))


def _polygons(feature: MapFeature, tag: Tag, plane: LocalPlane, findings: Findings) -> list[Polygon]:
    covering = COVERINGS[tag]
    rings = feature.rings()
    if _LINES[0] in tag or _LINES[1] in tag:
        rings = feature.parts if feature.shape == "area" else None
    if rings is not None:
        parts = [_area(part, feature, plane, findings) for part in rings]
        # what RFC 7946 has split at the antimeridian is one area
        return pieces(shapely.union_all(parts, grid_size=SNAP_M) if len(parts) > 1 else parts[0])
    if feature.shape == "line" and covering.line_m:
        width_m = _size(feature, "width", covering.line_m, findings)
        lines = [LineString(_two_or_more(plane.to_plane(part[0]))) for part in feature.parts]
        return [piece for line in lines for piece in pieces(line.buffer(width_m / 2))]
    if feature.shape == "points" and covering.point_m:
        width_m = _size(feature, "diameter_crown", covering.point_m, findings)
        points = MultiPoint(plane.to_plane(feature.parts[0][0]))
        return pieces(points.buffer(width_m / 2, quad_segs=4))
    if (feature.shape, tag) not in (("points", TEE), ("line", OUT_OF_BOUNDS)):
        remedy = "It is left out. Draw its outline as a line that ends where it begins."
        findings.warning(feature.place, "=".join(tag), "an outline", remedy)
    return []


def _size(feature: MapFeature, key: str, usual_m: float, findings: Findings) -> float:
    """A width as tagged (metres unless it says feet), or the usual one."""
    given = re.match(r"(\d+(?:[.,]\d+)?) ?(m|ft|'|)$", feature.tags.get(key, ""))
    if given and 0 < (size_m := float(given[1].replace(",", ".")) * _METRES[given[2]]) <= 200:
        return size_m
    kind = "=".join(meaning(feature.tags) or ())
    findings.assume(f"{kind} {usual_m:g} m wide where the map gives no {key}")
    return usual_m


def _two_or_more(points: NDArray[np.float64]) -> NDArray[np.float64]:
    return points if len(points) > 1 else np.repeat(points, 2, axis=0)


def _area(
    rings: Sequence[Positions], feature: MapFeature, plane: LocalPlane, findings: Findings
) -> BaseGeometry:
    """The ground between rings: inside an odd number of them."""
    shapes = [shape for ring in rings if (shape := _inside(plane.to_plane(ring), feature, findings)).area > 0]
    by_depth: dict[int, list[BaseGeometry]] = defaultdict(list)
    tree = STRtree(shapes)
    for index, shape in enumerate(shapes):
        around = tree.query(shape.representative_point(), predicate="within").tolist()
        deeper = sum((shapes[other].area, other) > (shape.area, index) for other in around if other != index)
        by_depth[deeper].append(shape)
    area: BaseGeometry = Polygon()
    for depth in sorted(by_depth):
        level = shapely.union_all(by_depth[depth])
        area = area.difference(level) if depth % 2 else area.union(level)
    return area


def _inside(ring: NDArray[np.float64], feature: MapFeature, findings: Findings) -> BaseGeometry:
    """The ground inside a ring; one that crosses itself badly is a problem, and is nothing."""
    if len(ring) < 4:
        findings.warning(feature.place, f"{len(ring)} points", "an outline of three corners or more")
        return Polygon()
    sound, loop = mended(Polygon(ring))
    if loop > SMALL_LOOP:
        what = feature.tags.get("golf") or "=".join(meaning(feature.tags) or ())
        remedy = "Redraw it on the map, or take it out of the file."
        findings.problem(feature.place, what, "an outline that does not cross itself", remedy)
        return Polygon()
    if loop > UNSEEN_LOOP:
        remedy = "It is used without its small loops."
        findings.warning(
            feature.place, f"{loop:.1%} crossed", "an outline that does not cross itself", remedy
        )
    return MultiPolygon(sound)


def _with_tops_shown(areas: Sequence[MappedArea]) -> list[MappedArea]:
    """Areas with what lies wholly on them cut out, where painting would hide it: trees on a fairway, an island."""
    tree = STRtree([area.polygon for area in areas])
    return [
        replace(larger, polygon=piece)
        for larger in areas
        for piece in pieces(_without_tops(larger, areas, tree))
    ]


def _without_tops(larger: MappedArea, areas: Sequence[MappedArea], tree: STRtree) -> BaseGeometry:
    if larger.ground is Ground.OUT:
        return larger.polygon
    covered = [areas[index] for index in tree.query(larger.polygon, predicate="covers").tolist()]
    tops = [
        smaller.polygon
        for smaller in covered
        if _shows_on(smaller, larger) and smaller.polygon.area < 0.99 * larger.polygon.area
    ]
    return larger.polygon.difference(shapely.union_all(tops)) if tops else larger.polygon


def _shows_on(smaller: MappedArea, larger: MappedArea) -> bool:
    """Whether the smaller is painted first but lies on top: a penalty area takes in its trees and its rough."""
    penalty_area = larger.ground is Ground.WATER and larger.tag[0] == "golf"
    if penalty_area and smaller.ground not in (Ground.FAIRWAY, Ground.SAND):
        return False
    return _RANK[smaller.ground] < _RANK[larger.ground]
