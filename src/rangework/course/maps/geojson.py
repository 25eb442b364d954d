"""A map as GeoJSON (RFC 7946), its properties being tags of OpenStreetMap."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Literal, NoReturn

import numpy as np
from numpy.typing import NDArray

from rangework.course.findings import Findings, shown
from rangework.course.maps.features import (
    DEGREES,
    DEGREES_REMEDY,
    CourseMap,
    MapFeature,
    fault_of,
    file_bytes,
    refuse_too_many,
)
from rangework.course.maps.tags import may_matter, text_tags
from rangework.course.maps.written_heights import height_m
from rangework.errors import InputError, Problem

#: Python needs up to twenty times the size of a JSON text to hold it.
MOST_BYTES = 20_000_000

_SHAPES: dict[str, Literal["points", "line", "area"]] = {
    "Point": "points",
    "MultiPoint": "points",
    "LineString": "line",
    "MultiLineString": "line",
    "Polygon": "area",
    "MultiPolygon": "area",
}
_REMEDY = "docs/reference/course.md says what a map must hold."


def read_geojson(path: Path, findings: Findings) -> CourseMap:
    """The features of a GeoJSON file that may matter to golf.

    Faults of single features become problems. Raises InputError where the file as a whole cannot be used.
    """
    data = _loaded(path)
    _refuse_other_datum(data, findings)
    features: list[MapFeature] = []
    count = 0
    for place, feature in _golfing(data, findings):
        for each in _read_feature(feature, place, findings):
            features.append(each)
            count += sum(map(len, each.positions()))
            refuse_too_many(findings, len(features), count)
    said = [data.get(key) for key in ("attribution", "copyright", "license", "licence")]
    attribution = "; ".join(dict.fromkeys(shown_text for each in said if (shown_text := _text(each))))
    tees, assumed = data.get("tees"), data.get("assumed")
    return CourseMap(
        features,
        (),
        attribution,
        _text(data.get("name")),
        tees if isinstance(tees, Mapping) else {},
        [text for each in assumed if (text := _text(each))] if isinstance(assumed, list) else (),
    )


def _loaded(path: Path) -> dict[str, Any]:
    try:
        text = file_bytes(path, MOST_BYTES).decode("utf-8-sig")
        data = json.loads(text, parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        problem = Problem(str(path), f"byte {error.start + 1}", "", "text in UTF-8", "Save it as UTF-8.")
    except RecursionError:
        problem = Problem(str(path), "", "", "brackets that are not nested this deep", _REMEDY)
    except ValueError as error:
        problem = Problem(str(path), "", "", f"valid JSON ({error})", "Save or download it again.")
    else:
        if isinstance(data, dict) and data.get("type") in ("FeatureCollection", "Feature"):
            return data
        found = _brief(data.get("type") if isinstance(data, dict) else data)
        problem = Problem(str(path), "type", found, "a GeoJSON FeatureCollection", _REMEDY)
    raise InputError(problem)


def _no_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number in JSON")


def _refuse_other_datum(data: Mapping[str, Any], findings: Findings) -> None:
    """Old files may name another system of coordinates; RFC 7946 knows one."""
    crs = data.get("crs")
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if isinstance(name, str) and not any(system in name for system in ("CRS84", "4326", "WGS84", "WGS 84")):
        findings.problem("crs", name, DEGREES, DEGREES_REMEDY)
        raise InputError(findings.problems)


def _golfing(data: Mapping[str, Any], findings: Findings) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Features with a key that matters, each with its place in the file."""
    features = data.get("features") if data["type"] == "FeatureCollection" else [data]
    if not isinstance(features, list):
        findings.problem("features", _brief(features), "a list of features")
        return
    for number, feature in enumerate(features, 1):
        properties = feature.get("properties") if isinstance(feature, dict) else None
        if isinstance(properties, dict) and may_matter(text_tags(properties)):
            yield f"features[{number}]", feature


def _read_feature(feature: Mapping[str, Any], place: str, findings: Findings) -> Iterator[MapFeature]:
    """The feature; several where its geometry is a collection."""
    tags = text_tags(feature["properties"])
    geometry = feature.get("geometry")
    if geometry is None:
        findings.warning(place, None, "a geometry", "It is left out.")
        return
    collected = geometry.get("geometries") if isinstance(geometry, dict) else None
    for each in collected if isinstance(collected, list) else [geometry]:
        kind = each.get("type") if isinstance(each, dict) else None
        if not isinstance(kind, str) or kind not in _SHAPES:
            findings.problem(f"{place}.geometry", _brief(kind), "one of " + ", ".join(_SHAPES))
            continue
        try:
            parts = _parts(kind, each.get("coordinates"))
        except _CoordinateError as error:
            findings.problem(f"{place}.geometry", str(error), DEGREES, DEGREES_REMEDY)
            continue
        yield _feature(place, tags, kind, parts)


def _feature(
    place: str, tags: Mapping[str, str], kind: str, parts: tuple[tuple[NDArray[np.float64], ...], ...]
) -> MapFeature:
    """The feature of positions with heights (n, 3)."""
    heights_m = np.concatenate([each[:, 2] for part in parts for each in part])
    known = None if np.isnan(heights_m).all() else heights_m
    flat = tuple(tuple(np.ascontiguousarray(each[:, :2]) for each in part) for part in parts)
    return MapFeature(place, tags, _SHAPES[kind], flat, known)


class _CoordinateError(Exception):
    """Coordinates that are none; the text shows the first of them."""


def _parts(kind: str, coordinates: Any) -> tuple[tuple[NDArray[np.float64], ...], ...]:
    """The parts of a geometry, as ``MapFeature`` has them, each position with its height."""
    match kind:
        case "Point":
            return ((_positions([coordinates]),),)
        case "MultiLineString":
            return tuple((_positions(line),) for line in _listed(coordinates))
        case "Polygon":
            return (tuple(map(_positions, _listed(coordinates))),)
        case "MultiPolygon":
            return tuple(tuple(map(_positions, _listed(polygon))) for polygon in _listed(coordinates))
        case _:
            return ((_positions(coordinates),),)


def _positions(line: Any) -> NDArray[np.float64]:
    """Longitude and latitude in degrees, and the height in metres as ``height_m`` tells it, one position a row."""
    rows = []
    for position in _listed(line):
        pair = position[:2] if isinstance(position, list) else []
        if len(pair) < 2 or not all(type(each) in (int, float) for each in pair):
            raise _CoordinateError(_brief(position))
        rows.append((*pair, height_m(position[2]) if len(position) > 2 else math.nan))
    try:
        positions = np.array(rows, dtype=np.float64)
    except OverflowError as error:
        raise _CoordinateError("a whole number beyond any coordinate") from error
    if fault := fault_of(positions[:, :2]):
        raise _CoordinateError(fault)
    return positions


def _listed(value: Any) -> list[Any]:
    if not isinstance(value, list) or not value:
        raise _CoordinateError(_brief(value))
    return value


def _brief(value: Any) -> str:
    """A value as a message shows it; what holds others is only named, as it may be deep or long."""
    if isinstance(value, list | dict):
        return ("an empty " if not value else "a ") + ("list" if isinstance(value, list) else "table")
    return shown(value) or "nothing"


def _text(value: Any) -> str:
    return value.strip()[:2000] if isinstance(value, str) else ""
