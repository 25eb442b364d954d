"""Places at a known distance from the hole where a logged shot can have come to rest.

A log holds the distance left and not the place, so that its density is an integral round the hole. Where the shot
lies, seen from where it was struck, hangs on the record alone: distances, angles and weights are found once.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.skill.kernel_arrays import PLACES, DrivePlaces, PoorPlaces

FloatArray = NDArray[np.float64]

#: Drives are looked for as far from the tee as this many driver lengths, or so many beyond the shortest that they can
#: have been; and turned by less than this angle.
_FARTHEST_DRIVE, _LONGER_DRIVE, _MOST_TURNED_RAD = 1.7, 0.4, 1.55
#: Places are even in the angle round the hole, or denser near the line where that is so many driver lengths away.
_NEAREST_DRIVE = 0.05
_LEAST_ARC_RAD = 0.05
#: From here on an arc goes on to the point behind the hole.
_HALF_CIRCLE_FROM_RAD = 2.5
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(PLACES)


def poor_places(target_m: FloatArray, left_m: FloatArray) -> PoorPlaces:
    """Places all round the hole, for poor strikes at it, by Gauss and Legendre's rule on the half circle."""
    around = (_NODES + 1.0) * math.pi / 2.0
    along = target_m[:, None] + left_m[:, None] * np.cos(around)
    across = left_m[:, None] * np.sin(around)
    squared = along**2 + across**2
    # close to where it was struck no ball has a place that sharp: so few points would miss it or hit it by chance
    lever = np.maximum(squared, 0.09 * target_m[:, None] ** 2)
    # the angle's square by the series of arcsin(s)^2
    sine = across**2 / (squared + 1e-9)
    arc = squared * sine * (1.0 + sine * (1.0 / 3.0 + sine * (8.0 / 45.0 + sine * 4.0 / 35.0)))
    weight = 0.5 * left_m[:, None] * _WEIGHTS
    return PoorPlaces(np.copysign(np.sqrt(squared), along), lever, arc, weight)


def drive_places(to_hole_m: FloatArray, left_m: FloatArray, driver_m: float) -> DrivePlaces:
    """Places of drives on both sides of the line to the hole, for drivers of about ``driver_m``.

    The midpoint rule on an arc outside of which no such drive comes; it converges fast, for densities fade toward the
    end of the arc and are even across the line.
    """
    advance = to_hole_m - left_m
    arc = _arc_of_drives(to_hole_m, left_m, driver_m)
    scale = np.maximum(np.abs(advance), _NEAREST_DRIVE * driver_m) / left_m
    step = np.arcsinh(arc / scale) / PLACES
    even = step[:, None] * (np.arange(PLACES) + 0.5)
    around = scale[:, None] * np.sinh(even)
    along = to_hole_m[:, None] - left_m[:, None] * np.cos(around)
    aside = left_m[:, None] * np.sin(around)
    distance = np.maximum(np.hypot(along, aside), 1e-3)
    widths = (step * scale)[:, None] * np.cosh(even)
    weight = math.sqrt(2.0 / math.pi) * left_m[:, None] * widths / distance
    return DrivePlaces(distance, np.arctan2(aside, along) ** 2, weight)


def _arc_of_drives(to_hole: FloatArray, left: FloatArray, driver: float) -> FloatArray:
    """Angle round the hole, from the line to the tee, up to which drives that left so much can lie."""
    advance = to_hole - left
    farthest = np.maximum(_FARTHEST_DRIVE * driver, advance + _LONGER_DRIVE * driver)
    square = (farthest**2 - advance**2) / (4.0 * to_hole * left)
    arc = 2.0 * np.arcsin(np.sqrt(np.clip(square, 0.0, 1.0)))
    # the law of sines, for drives that ended farther from the hole than they began
    sine = np.minimum(to_hole * math.sin(_MOST_TURNED_RAD) / left, 1.0)
    turned = np.where(left > to_hole, math.pi - _MOST_TURNED_RAD - np.arcsin(sine), math.pi)
    arc = np.maximum(np.minimum(arc, turned), _LEAST_ARC_RAD)
    return np.asarray(np.where(arc > _HALF_CIRCLE_FROM_RAD, math.pi, arc))
