"""A map drawn in metres around a place on Earth, written as GeoJSON and as OSM XML."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal
from xml.sax.saxutils import quoteattr

import numpy as np

from rangework.course.local_plane import LocalPlane

Points = Sequence[tuple[float, float]]
Tags = Mapping[str, str]


@dataclass(frozen=True)
class Drawn:
    """One feature: tags, and lists of (east, north) in metres. The first of an area's rings is its outline.

    ``heights`` are those of its first places, in metres, written as they are.
    """

    tags: Tags
    kind: Literal["Point", "LineString", "Polygon"]
    rings: Sequence[Points]
    heights: Sequence[object] = ()


@dataclass
class MapSheet:
    """A sheet around a longitude and latitude; features are kept in the order they are drawn in."""

    longitude_deg: float
    latitude_deg: float
    attribution: str = ""
    features: list[Drawn] = field(default_factory=list)

    def point(self, tags: Tags, place: tuple[float, float]) -> None:
        """A single place."""
        self.features.append(Drawn(tags, "Point", [[place]]))

    def line(self, tags: Tags, places: Points, heights: Sequence[object] = ()) -> None:
        """A line from the first place to the last, where wanted with a height at every place."""
        self.features.append(Drawn(tags, "LineString", [places], heights))

    def area(self, tags: Tags, outline: Points, *holes: Points) -> None:
        """The ground inside an outline, without that inside its holes; rings are closed here."""
        rings = [[*ring, ring[0]] for ring in (outline, *holes)]
        self.features.append(Drawn(tags, "Polygon", rings))

    def geojson(self) -> str:
        """The sheet as GeoJSON (RFC 7946)."""
        lines = [json.dumps(self._feature(each), separators=(",", ":")) for each in self.features]
        head = f'{{"type":"FeatureCollection","attribution":{json.dumps(self.attribution)},"features":[\n'
        return head + ",\n".join(lines) + "\n]}\n"

    def osm(self) -> str:
        """The sheet as OSM XML: areas as closed ways, those with holes as multipolygons of three ways or more."""
        nodes: list[str] = []
        ways: list[str] = []
        relations: list[str] = []
        for each in self.features:
            rings = [self._nodes(ring, nodes, each) for ring in each.rings]
            if each.kind == "Point":
                continue
            if len(rings) == 1:
                ways.append(_way(len(ways) + 1, rings[0], each.tags))
            else:
                relations.append(_multipolygon(len(relations) + 1, rings, ways, each.tags))
        said = f" attribution={quoteattr(self.attribution)}" if self.attribution else ""
        head = f'<?xml version="1.0" encoding="UTF-8"?>\n<osm version="0.6"{said}>\n'
        return head + "\n".join([*nodes, *ways, *relations]) + "\n</osm>\n"

    def _positions(self, places: Points) -> list[list[float]]:
        plane = LocalPlane(self.longitude_deg, self.latitude_deg)
        return np.round(plane.to_earth(np.array(places, dtype=np.float64)), 7).tolist()

    def _feature(self, drawn: Drawn) -> dict[str, object]:
        rings: list[list[list[object]]] = [[*self._positions(ring)] for ring in drawn.rings]  # type: ignore[list-item]
        for position, height in zip(rings[0], drawn.heights, strict=False):
            position.append(height)
        coordinates = {"Point": rings[0][0], "LineString": rings[0], "Polygon": rings}[drawn.kind]
        geometry = {"type": drawn.kind, "coordinates": coordinates}
        return {"type": "Feature", "properties": dict(drawn.tags), "geometry": geometry}

    def _nodes(self, ring: Points, nodes: list[str], drawn: Drawn) -> list[int]:
        """The numbers of a ring's nodes, written to ``nodes``; a closed ring ends where it began."""
        closed = drawn.kind == "Polygon" or (len(ring) > 2 and ring[0] == ring[-1])
        positions = self._positions(ring[:-1] if closed else ring)
        numbers = list(range(len(nodes) + 1, len(nodes) + len(positions) + 1))
        own = _tags(drawn.tags) if drawn.kind == "Point" else ""
        heights = [_tags({"ele": str(height)}) for height in drawn.heights] if ring is drawn.rings[0] else []
        tagged = [*heights, *([own] * (len(numbers) - len(heights)))]
        for number, (longitude, latitude), tags in zip(numbers, positions, tagged, strict=True):
            place = f'<node id="{number}" lat="{latitude:.7f}" lon="{longitude:.7f}"'
            nodes.append(f"{place}>{tags}</node>" if tags else f"{place}/>")
        return [*numbers, numbers[0]] if closed else numbers


def _tags(tags: Tags) -> str:
    return "".join(f"<tag k={quoteattr(key)} v={quoteattr(value)}/>" for key, value in tags.items())


def _way(number: int, nodes: Sequence[int], tags: Tags) -> str:
    references = "".join(f'<nd ref="{node}"/>' for node in nodes)
    return f'<way id="{number}">{references}{_tags(tags)}</way>'


def _multipolygon(number: int, rings: Sequence[Sequence[int]], ways: list[str], tags: Tags) -> str:
    """A relation whose outline is drawn as two ways, as long outlines are."""
    outline, *holes = rings
    half = len(outline) // 2
    members = []
    for nodes, role in [
        (outline[: half + 1], "outer"),
        (outline[half:], "outer"),
        *((hole, "inner") for hole in holes),
    ]:
        ways.append(_way(len(ways) + 1, nodes, {}))
        members.append(f'<member type="way" ref="{len(ways)}" role="{role}"/>')
    return f'<relation id="{number}">{"".join(members)}{_tags({"type": "multipolygon", **tags})}</relation>'
