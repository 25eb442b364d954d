"""A plane that touches the Earth at one point: degrees in, metres out, and back.

Points of the WGS 84 ellipsoid are seen from straight above the point of contact (orthographic projection),
so neither the antimeridian nor a pole is anything special. A length at a distance d from the contact shrinks
by at most (d / R)^2 / 2: eight parts in a hundred million at 2.5 km.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.units import DEGREE_RAD

Values = NDArray[np.float64]

#: WGS 84, the datum of GeoJSON (RFC 7946, section 4): semi-major axis and flattening (from memory: NIMA TR8350.2).
SEMI_MAJOR_M = 6_378_137.0
FLATTENING = 1 / 298.257223563
_SEMI_MINOR_M = SEMI_MAJOR_M * (1 - FLATTENING)
_ECCENTRICITY_2 = FLATTENING * (2 - FLATTENING)


@dataclass(frozen=True, slots=True)
class LocalPlane:
    """The plane that touches the ellipsoid at this longitude and latitude; +x is east there, +y north."""

    longitude_deg: float
    latitude_deg: float

    def to_plane(self, positions_deg: ArrayLike) -> Values:
        """Longitudes and latitudes (..., 2) as metres east and north (..., 2)."""
        return self._seen(positions_deg)[..., :2]

    def distance_m(self, positions_deg: ArrayLike) -> Values:
        """Straight distance of every position from the point of contact, true however far away it lies."""
        distance: Values = np.linalg.norm(self._seen(positions_deg), axis=-1)
        return distance

    def to_earth(self, points_m: ArrayLike) -> Values:
        """Metres east and north (..., 2) as longitudes and latitudes (..., 2)."""
        points = np.asarray(points_m, dtype=np.float64)
        axes, contact = self._axes(), _geocentric(self.longitude_deg, self.latitude_deg)
        on_plane = contact + points @ axes[:2]
        # the point of the ellipsoid below: |(on_plane + drop * up) / half axes| = 1, the root near 0
        half_axes = np.array([SEMI_MAJOR_M, SEMI_MAJOR_M, _SEMI_MINOR_M])
        start, up = on_plane / half_axes, axes[2] / half_axes
        along, beyond = start @ up, (start * start).sum(axis=-1) - 1.0
        drop = -beyond / (along + np.sqrt(np.maximum(along**2 - (up @ up) * beyond, 0.0)))
        x, y, z = np.moveaxis(on_plane + drop[..., None] * axes[2], -1, 0)
        longitude = np.arctan2(y, x)
        latitude = np.arctan2(z, (1 - _ECCENTRICITY_2) * np.hypot(x, y))
        return np.stack([longitude, latitude], axis=-1) / DEGREE_RAD

    def _seen(self, positions_deg: ArrayLike) -> Values:
        """East, north and up of positions, as seen from the point of contact."""
        positions = np.asarray(positions_deg, dtype=np.float64)
        there = _geocentric(positions[..., 0], positions[..., 1])
        seen: Values = (there - _geocentric(self.longitude_deg, self.latitude_deg)) @ self._axes().T
        return seen

    def _axes(self) -> Values:
        """East, north and up as geocentric unit vectors, one a row."""
        longitude, latitude = self.longitude_deg * DEGREE_RAD, self.latitude_deg * DEGREE_RAD
        (sin_lon, cos_lon), (sin_lat, cos_lat) = (
            (math.sin(angle), math.cos(angle)) for angle in (longitude, latitude)
        )
        return np.array(
            [
                [-sin_lon, cos_lon, 0.0],
                [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
                [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat],
            ]
        )


def plane_amid(positions_deg: ArrayLike) -> LocalPlane:
    """The plane that touches the Earth in the middle of positions (n, 2) that lie near one another."""
    positions = np.asarray(positions_deg, dtype=np.float64)
    first = LocalPlane(*positions[0].tolist())
    seen = first.to_plane(positions)
    middle = first.to_earth((seen.min(axis=0) + seen.max(axis=0)) / 2)
    return LocalPlane(*middle.tolist())


@dataclass(frozen=True, slots=True)
class Placement:
    """Where on Earth a hole's plane lies: its origin, and the bearing of its +y, clockwise from north."""

    longitude_deg: float
    latitude_deg: float
    bearing_rad: float

    def to_earth(self, points_m: ArrayLike) -> Values:
        """Points (..., 2) of the hole's plane as longitudes and latitudes."""
        return self._plane().to_earth(turned(np.asarray(points_m, dtype=np.float64), -self.bearing_rad))

    def from_earth(self, positions_deg: ArrayLike) -> Values:
        """Longitudes and latitudes (..., 2) as points of the hole's plane."""
        return turned(self._plane().to_plane(positions_deg), self.bearing_rad)

    def distance_m(self, positions_deg: ArrayLike) -> Values:
        """Straight distance of positions from the hole's origin."""
        return self._plane().distance_m(positions_deg)

    def _plane(self) -> LocalPlane:
        return LocalPlane(self.longitude_deg, self.latitude_deg)


def placement_on(plane: LocalPlane, origin_m: tuple[float, float], turn_rad: float) -> Placement:
    """The placement of a hole whose origin and turn (clockwise from +y) are known on a course's plane.

    North at the hole differs a little from +y of the plane, as meridians meet at the poles.
    """
    longitude_deg, latitude_deg = plane.to_earth(origin_m).tolist()
    ahead_m = np.asarray(origin_m) + 100.0 * np.array([math.sin(turn_rad), math.cos(turn_rad)])
    east, north = LocalPlane(longitude_deg, latitude_deg).to_plane(plane.to_earth(ahead_m)).tolist()
    return Placement(longitude_deg, latitude_deg, math.atan2(east, north))


def turned(points_m: Values, turn_rad: float) -> Values:
    """Points (..., 2) on axes turned clockwise by ``turn_rad``."""
    cos, sin = math.cos(turn_rad), math.sin(turn_rad)
    x, y = points_m[..., 0], points_m[..., 1]
    return np.stack([x * cos - y * sin, x * sin + y * cos], axis=-1)


def _geocentric(longitude_deg: ArrayLike, latitude_deg: ArrayLike) -> Values:
    """Points of the ellipsoid as metres from the Earth's centre (..., 3)."""
    longitude = np.asarray(longitude_deg, dtype=np.float64) * DEGREE_RAD
    latitude = np.asarray(latitude_deg, dtype=np.float64) * DEGREE_RAD
    normal_m = SEMI_MAJOR_M / np.sqrt(1 - _ECCENTRICITY_2 * np.sin(latitude) ** 2)
    across = normal_m * np.cos(latitude)
    up = normal_m * (1 - _ECCENTRICITY_2) * np.sin(latitude)
    return np.stack(np.broadcast_arrays(across * np.cos(longitude), across * np.sin(longitude), up), axis=-1)
