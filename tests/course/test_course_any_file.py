"""Whatever a course file holds, reading it gives a course or an InputError."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangework.course import Course, read_course
from rangework.errors import InputError

NINE = Path(__file__).parents[2] / "examples" / "nine-holes.toml"


def _paths(tree: object, path: tuple[object, ...] = ()) -> list[tuple[object, ...]]:
    entries = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    return [path, *(deeper for key, value in entries for deeper in _paths(value, (*path, key)))]


def _replaced(tree: object, path: tuple[object, ...], value: object) -> object:
    if not path:
        return value
    copy = dict(tree) if isinstance(tree, dict) else list(tree)  # type: ignore[call-overload]
    copy[path[0]] = _replaced(copy[path[0]], path[1:], value)
    return copy


def _toml(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}" = {_toml(each)}' for key, each in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else repr(value)


TREE = tomllib.loads(NINE.read_text("utf-8"))
PATHS = [path for path in _paths(TREE) if path]
#: A course whose first hole is given by points.
POINTS = {
    **TREE,
    "holes": [
        {
            "par": 4,
            "stroke_index": 5,
            "position": {"longitude": 1.0, "latitude": 2.0, "bearing_deg": 3.0},
            "line_m": [[0, 0], [0, 200], [20, 300]],
            "tees_m": {"long": [0, 0], "short": [2, 40]},
            "green": {"outline_m": [[5, 285], [35, 285], [35, 315], [5, 315]], "fringe_m": 2},
            "fairway": [{"outline_m": [[-15, 100], [15, 100], [30, 280], [0, 280]]}],
            "water": [
                {"outline_m": [[30, 50], [60, 50], [60, 90]], "without_m": [[[40, 55], [50, 55], [50, 60]]]}
            ],
            "pins": {"one": {"point_m": [20, 300]}},
        },
        *TREE["holes"][1:],
    ],
}
POINT_PATHS = [path for path in _paths(POINTS) if len(path) > 2 and path[:2] == ("holes", 0)]
ODD_VALUES = st.one_of(
    st.integers(-(10**30), 10**30),
    st.floats(-1000, 1000),
    st.sampled_from([0, -1, 1, 3, 1e308, math.inf, math.nan, "", "left", "middle", True, False]),
    st.sampled_from([[], {}, [1], [[]], [{}], {"at": 1}, {"at": "left"}, {"front_yd": 300}, {"left_yd": 0}]),
    st.sampled_from(
        [[0, 0], [[0, 0], [0, 0]], [[0, 0], [1, 1], [1, 0], [0, 1]], [[math.nan, 1]], {"a": [1, 2]}]
    ),
)
MANY = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@MANY
@given(st.lists(st.tuples(st.sampled_from(PATHS), ODD_VALUES), min_size=1, max_size=3))
def test_odd_values_give_a_course_or_an_input_error(
    course_file: Path, changes: list[tuple[tuple[object, ...], object]]
) -> None:
    _reads_or_tells(course_file, _changed(TREE, changes))


@MANY
@given(st.lists(st.tuples(st.sampled_from(POINT_PATHS), ODD_VALUES), min_size=1, max_size=3))
def test_odd_points_give_a_course_or_an_input_error(
    course_file: Path, changes: list[tuple[tuple[object, ...], object]]
) -> None:
    _reads_or_tells(course_file, _changed(POINTS, changes))


def _changed(tree: object, changes: list[tuple[tuple[object, ...], object]]) -> bytes:
    for path, value in changes:
        try:
            tree = _replaced(tree, path, value)
        except (KeyError, IndexError, TypeError):
            continue
    assert isinstance(tree, dict)
    return "\n".join(f'"{key}" = {_toml(value)}' for key, value in tree.items()).encode()


@MANY
@given(st.integers(0, 4000), st.integers(0, 12), st.binary(max_size=6))
def test_damaged_bytes_give_a_course_or_an_input_error(
    course_file: Path, start: int, cut: int, put: bytes
) -> None:
    content = NINE.read_bytes()
    _reads_or_tells(course_file, content[:start] + put + content[start + cut :])


def _reads_or_tells(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    try:
        course = read_course(path)
    except InputError:
        return
    assert isinstance(course, Course)
