"""The local plane against an independent library of geodesy, anywhere on Earth."""

from __future__ import annotations

import math

import numpy as np
import pyproj
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.course.local_plane import LocalPlane, Placement, placement_on, plane_amid

#: Geodesics on the WGS 84 ellipsoid (pyproj, a wrapper of PROJ).
GEODESICS = pyproj.Geod(ellps="WGS84")

LONGITUDES, LATITUDES = st.floats(-180, 180), st.floats(-89.9, 89.9)


@given(LONGITUDES, LATITUDES, st.lists(st.tuples(st.floats(0, 360), st.floats(0, 2500)), min_size=2))
def test_lengths_over_five_kilometres_are_those_of_geodesics(
    longitude: float, latitude: float, spots: list[tuple[float, float]]
) -> None:
    # the requirement is 0.1 %; the projection keeps a thousandth of that
    east, north, _ = GEODESICS.fwd(
        *([value] * len(spots) for value in (longitude, latitude)), *zip(*spots, strict=True)
    )
    points = LocalPlane(longitude, latitude).to_plane(np.column_stack([east, north]))
    _, _, geodesic_m = GEODESICS.inv(east[:-1], north[:-1], east[1:], north[1:])
    on_plane_m = np.hypot(*np.diff(points, axis=0).T)
    assert on_plane_m == pytest.approx(np.array(geodesic_m), rel=1e-6, abs=1e-6)


@given(LONGITUDES, LATITUDES, st.floats(0, 360), st.floats(1, 2500))
def test_bearings_are_those_of_geodesics(
    longitude: float, latitude: float, bearing: float, distance: float
) -> None:
    there = GEODESICS.fwd(longitude, latitude, bearing, distance)[:2]
    east, north = LocalPlane(longitude, latitude).to_plane(there)
    assert (east, north) == pytest.approx(
        (distance * math.sin(math.radians(bearing)), distance * math.cos(math.radians(bearing))), abs=2e-3
    )


@given(LONGITUDES, LATITUDES, st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000)))
def test_there_and_back_is_less_than_a_millimetre(
    longitude: float, latitude: float, point: tuple[float, float]
) -> None:
    plane = LocalPlane(longitude, latitude)
    assert plane.to_plane(plane.to_earth(point)) == pytest.approx(np.array(point), abs=1e-3)


@pytest.mark.parametrize(("longitude", "latitude"), [(180.0, 10.0), (0.0, 90.0), (45.0, -90.0)])
def test_antimeridian_and_poles_are_nothing_special(longitude: float, latitude: float) -> None:
    plane = LocalPlane(longitude, latitude)
    corners = np.array([[-900.0, -900.0], [900.0, -900.0], [900.0, 900.0], [-900.0, 900.0]])
    positions = plane.to_earth(corners)
    _, _, sides_m = GEODESICS.inv(*positions.T, *np.roll(positions, -1, axis=0).T)
    assert np.array(sides_m) == pytest.approx(1800.0, rel=1e-6)
    assert plane.to_plane(positions) == pytest.approx(corners, abs=1e-3)
    amid = plane_amid(positions)
    assert plane.distance_m([amid.longitude_deg, amid.latitude_deg]) < 1.0


def test_distance_is_true_on_the_far_side_of_the_earth() -> None:
    plane = LocalPlane(10.0, 0.0)
    assert plane.distance_m([-170.0, 0.0]) == pytest.approx(2 * 6_378_137.0)
    assert plane.to_plane([-170.0, 0.0]) == pytest.approx([0.0, 0.0], abs=1e-6)


@given(
    LONGITUDES, st.floats(-80, 80), st.floats(-3, 3), st.tuples(st.floats(-3e3, 3e3), st.floats(-3e3, 3e3))
)
def test_a_hole_keeps_its_place_on_earth(
    longitude: float, latitude: float, turn_rad: float, origin: tuple[float, float]
) -> None:
    plane = LocalPlane(longitude, latitude)
    placement = placement_on(plane, origin, turn_rad)
    on_hole = np.array([[0.0, 0.0], [0.0, 400.0], [60.0, 200.0]])
    positions = placement.to_earth(on_hole)
    assert placement.from_earth(positions) == pytest.approx(on_hole, abs=1e-3)
    cos, sin = math.cos(turn_rad), math.sin(turn_rad)
    on_course = np.array(origin) + on_hole @ np.array([[cos, -sin], [sin, cos]])
    assert plane.to_plane(positions) == pytest.approx(on_course, abs=5e-3)


def test_bearing_is_clockwise_from_north() -> None:
    east = Placement(20.0, 50.0, math.pi / 2).to_earth([0.0, 500.0])
    assert GEODESICS.inv(20.0, 50.0, *east)[0] == pytest.approx(90.0, abs=1e-3)
