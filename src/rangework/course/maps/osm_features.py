"""Nodes, ways and relations of OpenStreetMap as features: what the references mean."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rangework.course.findings import Findings
from rangework.course.maps.features import (
    DEGREES,
    DEGREES_REMEDY,
    MapFeature,
    Positions,
    fault_of,
    refuse_too_many,
)
from rangework.course.maps.rings import Nodes, joined_rings
from rangework.course.maps.tags import meaning

if TYPE_CHECKING:
    from rangework.course.maps.osm_xml import OsmElements, OsmRelation


def features_of(elements: OsmElements, findings: Findings) -> tuple[list[MapFeature], list[MapFeature]]:
    """The elements that may matter to golf, with their positions; and those of which the file lacks a part.

    A multipolygon without tags of its own has those of its outer way (an old habit); an outer way that says the
    same as its multipolygon is not counted twice. ``route=golf`` names the course of the holes in it.
    """
    geometry = _Geometry(elements)
    tags_of_way = {elements.way_ids[index]: tags for index, tags in elements.way_tags.items()}
    areas, spoken_for = _multipolygons(elements, tags_of_way)
    courses = _courses_by_way(elements)
    found = [
        *_nodes(elements),
        *_ways(tags_of_way.keys() - spoken_for, tags_of_way, geometry),
        *(_area(area, geometry) for area in areas),
    ]
    refuse_too_many(findings, 0, sum(len(each) for feature, _ in found for each in feature.positions()))
    sound = [each for each in found if _sound(each[0], findings)]
    whole = [_named(feature, courses) for feature, is_whole in sound if is_whole]
    return whole, [feature for feature, is_whole in sound if not is_whole]


class _Geometry:
    """Where nodes are and which nodes ways have."""

    def __init__(self, elements: OsmElements) -> None:
        ids = np.asarray(elements.node_ids, dtype=np.int64)
        self._order = np.argsort(ids, kind="stable")
        self._sorted = ids[self._order]
        self._positions = np.column_stack([elements.longitudes, elements.latitudes]).astype(np.float64)
        self._heights_m = _heights(elements.node_heights_m, len(ids))
        self._refs = np.asarray(elements.way_refs, dtype=np.int64)
        self._starts = elements.way_starts
        self._way = {number: index for index, number in enumerate(elements.way_ids)}

    def nodes(self, way: int) -> Nodes:
        """The nodes of a way; none where the file does not have it."""
        index = self._way.get(way)
        if index is None:
            return np.empty(0, dtype=np.int64)
        return self._refs[self._starts[index] : self._starts[index + 1]]

    def positions(self, nodes: NDArray[np.int64]) -> Positions:
        """Where nodes lie, those left out that the file lacks. The last of equal numbers counts."""
        positions: Positions = self._positions[self._places(nodes)]
        return positions

    def heights_m(self, rings: Sequence[NDArray[np.int64]]) -> NDArray[np.float64] | None:
        """The heights of the nodes that have ``positions``, in their order; None where none has one."""
        if self._heights_m is None:
            return None
        heights = np.concatenate([self._heights_m[self._places(nodes)] for nodes in rings])
        return None if np.isnan(heights).all() else heights

    def _places(self, nodes: NDArray[np.int64]) -> NDArray[np.int64]:
        """The places of nodes in the file's arrays."""
        if len(self._sorted) == 0:
            return np.empty(0, dtype=np.int64)
        found = np.searchsorted(self._sorted, nodes, side="right") - 1
        places: NDArray[np.int64] = self._order[found[self._sorted[found] == nodes]]
        return places


def _heights(known: Mapping[int, float], nodes: int) -> NDArray[np.float64] | None:
    """The heights of all nodes, nan where they have none; None where no node has one."""
    if not known:
        return None
    heights = np.full(nodes, np.nan)
    heights[list(known)] = list(known.values())
    return heights


#: A feature, and whether the file has all of it.
_Found = tuple[MapFeature, bool]


def _nodes(elements: OsmElements) -> Iterator[_Found]:
    for index, tags in elements.node_tags.items():
        position = np.array([[elements.longitudes[index], elements.latitudes[index]]])
        yield MapFeature(f"node {elements.node_ids[index]}", tags, "points", ((position,),)), True


def _ways(ways: set[int], tags_of_way: Mapping[int, dict[str, str]], geometry: _Geometry) -> Iterator[_Found]:
    for number in sorted(ways):
        nodes = geometry.nodes(number)
        positions = geometry.positions(nodes)
        whole = len(nodes) > 0 and len(positions) == len(nodes)
        tags, heights_m = tags_of_way[number], geometry.heights_m([nodes])
        yield MapFeature(f"way {number}", tags, "line", ((positions,),), heights_m), whole


def _multipolygons(
    elements: OsmElements, tags_of_way: Mapping[int, dict[str, str]]
) -> tuple[list[OsmRelation], set[int]]:
    """Relations that are areas, with the tags that count, and the ways that they speak for."""
    areas, spoken_for = [], set()
    for relation in elements.relations:
        if relation.tags.get("type") not in ("multipolygon", "boundary"):
            continue
        outer = [way for way, role in relation.ways if role != "inner" and way in tags_of_way]
        own = meaning(relation.tags)
        alike = [way for way in outer if (said := meaning(tags_of_way[way])) and said == (own or said)]
        if own:
            areas.append(relation)
        elif alike:
            areas.append(replace(relation, tags=tags_of_way[alike[0]]))
        spoken_for |= set(alike)
    return areas, spoken_for


def _area(relation: OsmRelation, geometry: _Geometry) -> _Found:
    """A relation's rings; what is known of its ways where they do not close."""
    rings: list[Positions] = []
    corners: list[Nodes] = []
    whole = True
    for inner in (False, True):
        ways = [geometry.nodes(way) for way, role in relation.ways if (role == "inner") is inner]
        joined, closed = joined_rings(ways)
        found = [geometry.positions(ring) for ring in joined]
        rings += found
        corners += joined
        whole = whole and closed and all(len(way) for way in ways)
        whole = whole and all(len(ring) == len(nodes) for ring, nodes in zip(found, joined, strict=True))
    place = f"relation {relation.number}"
    if whole and rings:
        return MapFeature(place, relation.tags, "area", (tuple(rings),), geometry.heights_m(corners)), True
    known = [geometry.positions(geometry.nodes(way)) for way, _ in relation.ways]
    return MapFeature(place, relation.tags, "points", tuple((each,) for each in known)), False


def _sound(feature: MapFeature, findings: Findings) -> bool:
    """Whether a feature has positions, all of them possible; those that are not become a problem."""
    faults = [fault for each in feature.positions() if (fault := fault_of(each))]
    if faults:
        findings.problem(feature.place, faults[0], DEGREES, DEGREES_REMEDY)
    return not faults and any(len(each) for each in feature.positions())


def _courses_by_way(elements: OsmElements) -> dict[str, str]:
    return {
        f"way {way}": relation.tags["name"]
        for relation in elements.relations
        if relation.tags.get("route", "").lower() == "golf" and "name" in relation.tags
        for way, _ in relation.ways
    }


def _named(feature: MapFeature, courses: Mapping[str, str]) -> MapFeature:
    name = courses.get(feature.place)
    if name is None or "golf:course:name" in feature.tags:
        return feature
    return replace(feature, tags={**feature.tags, "golf:course:name": name})
