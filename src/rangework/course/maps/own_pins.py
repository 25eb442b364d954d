"""Which pins are whose."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.ops import nearest_points

from rangework.course.findings import Findings
from rangework.course.local_plane import LocalPlane
from rangework.course.maps.features import MapFeature
from rangework.course.maps.hole_sketch import HoleSketch
from rangework.course.maps.tags import PIN, meaning

#: A pin may be drawn this far off the edge of its green; it is then taken to be on it.
OFF_GREEN_M = 2.0
#: What a pin without a name is called.
MAPPED = "mapped"


@dataclass(frozen=True, slots=True, eq=False)
class PinMark:
    """A pin on the map."""

    spot: ShapelyPoint
    name: str
    ref: str
    place: str


def pin_marks(features: Sequence[MapFeature], plane: LocalPlane) -> Iterator[PinMark]:
    """All pins, by the name they have, if any."""
    for feature in features:
        if feature.shape == "points" and meaning(feature.tags) == PIN:
            tags = feature.tags
            for point in plane.to_plane(feature.parts[0][0]):
                yield PinMark(
                    ShapelyPoint(point), tags.get("name", MAPPED), tags.get("ref", ""), feature.place
                )


def with_pins(
    sketches: Sequence[HoleSketch],
    marks: Sequence[PinMark],
    greens: Sequence[Polygon],
    findings: Findings,
) -> list[HoleSketch]:
    """The sketches with the pins that lie on their greens; on a double green, nearest to their line's end.

    Pins on no green at all are told; those on other greens, of a practice ground or another course, are not.
    """
    pins: list[dict[str, tuple[float, float]]] = [{} for _ in sketches]
    for mark in marks:
        on = [
            index
            for index, sketch in enumerate(sketches)
            if sketch.green and sketch.green.distance(mark.spot) <= OFF_GREEN_M
        ]
        named = [index for index in on if mark.ref == str(sketches[index].number)]
        if not on:
            if all(green.distance(mark.spot) > OFF_GREEN_M for green in greens):
                findings.warning(mark.place, "golf=pin", "a pin on a green", "It is left out.")
            continue
        index = min(named or on, key=lambda index: sketches[index].end.distance(mark.spot))
        own, spot = pins[index], _on_green(mark.spot, sketches[index].green)
        number = sum(name == mark.name or name.startswith(f"{mark.name} ") for name in own) + 1
        own[mark.name if number == 1 else f"{mark.name} {number}"] = (spot.x, spot.y)
    return [replace(sketch, pins=own) for sketch, own in zip(sketches, pins, strict=True)]


def _on_green(spot: ShapelyPoint, green: Polygon | None) -> ShapelyPoint:
    """The pin, or, where that is drawn off the edge, the nearest place well on the green."""
    inner = green.buffer(-OFF_GREEN_M / 4) if green else Polygon()
    return spot if inner.is_empty or inner.contains(spot) else nearest_points(inner, spot)[0]
