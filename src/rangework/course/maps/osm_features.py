"""Nodes, ways and relations of OpenStreetMap as features: what the references mean."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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

_WHOLE = "Download the area again, with all members and points."


def features_of(elements: OsmElements, findings: Findings) -> list[MapFeature]:
    """The elements that may matter to golf, with their positions.

    A multipolygon without tags of its own has those of its outer way (an old habit); an outer way that says the
    same as its multipolygon is not counted twice. ``route=golf`` names the course of the holes in it.
    """
    geometry = _Geometry(elements)
    tags_of_way = {elements.way_ids[index]: tags for index, tags in elements.way_tags.items()}
    areas, spoken_for = _multipolygons(elements, tags_of_way)
    courses = _courses_by_way(elements)
    features = [
        *_nodes(elements, findings),
        *_ways(tags_of_way.keys() - spoken_for, tags_of_way, geometry, findings),
        *(feature for area in areas if (feature := _area(area, geometry, findings))),
    ]
    refuse_too_many(findings, 0, sum(len(each) for feature in features for each in feature.positions()))
    return [_named(feature, courses) for feature in features]


class _Geometry:
    """Where nodes are and which nodes ways have."""

    def __init__(self, elements: OsmElements) -> None:
        ids = np.asarray(elements.node_ids, dtype=np.int64)
        self._order = np.argsort(ids, kind="stable")
        self._sorted = ids[self._order]
        self._positions = np.column_stack([elements.longitudes, elements.latitudes]).astype(np.float64)
        self._refs = np.asarray(elements.way_refs, dtype=np.int64)
        self._starts = elements.way_starts
        self._way = {number: index for index, number in enumerate(elements.way_ids)}

    def nodes(self, way: int) -> Nodes | None:
        """The nodes of a way; None where the file does not have it."""
        index = self._way.get(way)
        return None if index is None else self._refs[self._starts[index] : self._starts[index + 1]]

    def positions(self, nodes: NDArray[np.int64]) -> Positions | None:
        """Where nodes lie; None where the file lacks one of them. The last of equal numbers counts."""
        found = np.searchsorted(self._sorted, nodes, side="right") - 1
        if len(nodes) == 0 or len(self._sorted) == 0 or (self._sorted[found] != nodes).any():
            return None
        return self._positions[self._order[found]]


def _nodes(elements: OsmElements, findings: Findings) -> Iterator[MapFeature]:
    for index, tags in elements.node_tags.items():
        place = f"node {elements.node_ids[index]}"
        position = np.array([[elements.longitudes[index], elements.latitudes[index]]])
        if _sound(position, place, findings):
            yield MapFeature(place, tags, "points", ((position,),))


def _ways(
    ways: set[int], tags_of_way: Mapping[int, dict[str, str]], geometry: _Geometry, findings: Findings
) -> Iterator[MapFeature]:
    for number in sorted(ways):
        nodes = geometry.nodes(number)
        positions = geometry.positions(nodes) if nodes is not None else None
        if positions is None:
            findings.warning(f"way {number}", None, "all its points in the file", f"It is left out. {_WHOLE}")
        elif _sound(positions, f"way {number}", findings):
            yield MapFeature(f"way {number}", tags_of_way[number], "line", ((positions,),))


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


def _area(relation: OsmRelation, geometry: _Geometry, findings: Findings) -> MapFeature | None:
    place = f"relation {relation.number}"
    rings: list[Positions] = []
    for inner in (False, True):
        ways = [geometry.nodes(way) for way, role in relation.ways if (role == "inner") is inner]
        joined, whole = joined_rings([way for way in ways if way is not None])
        found = [geometry.positions(ring) for ring in joined]
        rings += [ring for ring in found if ring is not None]
        if not whole or any(each is None for each in (*found, *ways)):
            findings.warning(place, None, "rings that close", f"It is left out. {_WHOLE}")
            return None
    if not rings or not all(_sound(ring, place, findings) for ring in rings):
        return None
    return MapFeature(place, relation.tags, "area", (tuple(rings),))


def _sound(positions: Positions, place: str, findings: Findings) -> bool:
    fault = fault_of(positions)
    if fault:
        findings.problem(place, fault, DEGREES, DEGREES_REMEDY)
    return not fault


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
