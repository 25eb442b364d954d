"""Whatever a map file holds, reading it gives a course or an InputError."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plain_maps import plain_nine

from rangework.course import Course, read_course
from rangework.errors import InputError

MANY = settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
PLAIN = plain_nine()
TREE = json.loads(PLAIN.geojson())
OSM = PLAIN.osm().encode()

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
POSITION = st.tuples(st.floats(-200, 200), st.floats(-100, 100)).map(list)
NEAR = st.tuples(st.floats(-30.02, -29.98), st.floats(-40.01, -39.99)).map(list)
SHAPES = st.one_of(
    st.builds(lambda c: {"type": "Point", "coordinates": c}, POSITION | NEAR | JSON),
    st.builds(lambda c: {"type": "LineString", "coordinates": c}, st.lists(NEAR, max_size=8) | JSON),
    st.builds(lambda c: {"type": "LineString", "coordinates": [*c, *c[:1]]}, st.lists(NEAR, max_size=8)),
    st.builds(
        lambda c: {"type": "Polygon", "coordinates": [[*ring, *ring[:1]] for ring in c]},
        st.lists(st.lists(NEAR, max_size=7), max_size=3),
    ),
    st.builds(lambda c: {"type": "MultiPolygon", "coordinates": [[c]]}, st.lists(POSITION, max_size=5)),
    st.builds(lambda g: {"type": "GeometryCollection", "geometries": g}, st.lists(JSON, max_size=3)),
    JSON,
)
WORDS = [
    "hole",
    "green",
    "tee",
    "pin",
    "fairway",
    "bunker",
    "out_of_bounds",
    "water_hazard",
    "rough",
    "Fringe",
]
TAGS = st.one_of(
    st.builds(lambda word, ref: {"golf": word, "ref": ref}, st.sampled_from(WORDS), st.sampled_from("123x")),
    st.sampled_from(
        [
            {"natural": "water"},
            {"natural": "coastline"},
            {"natural": "tree", "diameter_crown": "1e9"},
            {"waterway": "stream", "width": "-3"},
            {"leisure": "golf_course", "name": "x"},
            {"golf": "hole", "ref": "4", "par": "seven", "handicap": "-1", "dist": "0", "dist:red": "1e99"},
            {"golf": "tee", "tee": ";;,"},
        ]
    ),
    JSON,
)


def paths(tree: object, path: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    entries = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    return [path, *(deeper for key, value in entries for deeper in paths(value, (*path, key)))]


def replaced(tree: object, path: tuple[object, ...], value: object) -> object:
    if not path:
        return value
    copy = dict(tree) if isinstance(tree, dict) else list(tree)  # type: ignore[call-overload]
    copy[path[0]] = replaced(copy[path[0]], path[1:], value)
    return copy


PATHS = paths(TREE)
ODD_VALUES = JSON | POSITION | NEAR | SHAPES | TAGS | st.sampled_from([1e308, -1e308, math.inf, math.nan])


@pytest.fixture
def read(tmp_path: Path) -> Callable[[str, bytes], None]:
    def reads_or_tells(name: str, content: bytes) -> None:
        (tmp_path / name).write_bytes(content)
        try:
            course = read_course(tmp_path / name)
        except InputError:
            return
        assert isinstance(course, Course)

    return reads_or_tells


@MANY
@given(value=JSON)
def test_any_json(read: Callable[[str, bytes], None], value: object) -> None:
    read("map.geojson", json.dumps(value).encode())


@MANY
@given(changes=st.lists(st.tuples(st.sampled_from(PATHS), ODD_VALUES), min_size=1, max_size=3))
def test_odd_values_in_a_map(
    read: Callable[[str, bytes], None], changes: list[tuple[tuple[object, ...], object]]
) -> None:
    tree: object = TREE
    for path, value in changes:
        try:
            tree = replaced(tree, path, value)
        except (KeyError, IndexError, TypeError):
            continue
    read("map.geojson", json.dumps(tree).encode())


@MANY
@given(features=st.lists(st.tuples(TAGS, SHAPES), min_size=1, max_size=6))
def test_odd_features_on_a_map(
    read: Callable[[str, bytes], None], features: list[tuple[object, object]]
) -> None:
    odd = [{"type": "Feature", "properties": tags, "geometry": shape} for tags, shape in features]
    read("map.geojson", json.dumps({**TREE, "features": [*TREE["features"], *odd]}).encode())


@MANY
@given(content=st.binary(max_size=60), suffix=st.sampled_from(["geojson", "json", "osm", "xml"]))
def test_any_bytes(read: Callable[[str, bytes], None], content: bytes, suffix: str) -> None:
    read(f"map.{suffix}", content)


@MANY
@given(start=st.integers(0, len(OSM)), cut=st.integers(0, 30), put=st.binary(max_size=6))
def test_damaged_xml(read: Callable[[str, bytes], None], start: int, cut: int, put: bytes) -> None:
    read("map.osm", OSM[:start] + put + OSM[start + cut :])


@MANY
@given(
    found=st.sampled_from(['lat="', 'lon="', 'ref="', 'id="', 'v="', 'k="', "<nd", "<way", "<tag", "<node"]),
    at=st.integers(0, 400),
    put=st.text("0123456789.-einaf<>&\"'/ ", max_size=5),
)
def test_damaged_words_of_xml(read: Callable[[str, bytes], None], found: str, at: int, put: str) -> None:
    parts = OSM.decode().split(found)
    at %= len(parts)
    text = found.join(parts[: at + 1]) + found + put + found.join(parts[at + 1 :])
    read("map.osm", text.encode())
