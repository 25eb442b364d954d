"""Places round the hole at a known distance from it where a missed putt can have come to rest."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rangework.skill.putting import READING_RATIO_PER_M, capture_past_m
from rangework.skill.putting_kernels import HOLE_RADIUS_M
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

#: A wide line error, that the places must cover.
_WIDE_LINE_RAD = 4.5 * DEGREE_RAD
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_BISECTIONS = 30


def places_round_the_hole(length: FloatArray, left: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Distance rolled, angle and weight ``[putt, place]`` of places at the distance left, both sides together.

    The density of a distance is that of the place times the arc, which is ``left d theta``. The arc behind the
    hole from which no ball comes, for the hole would have taken it, is left out; it depends on no skill.
    """
    wide = 4.0 * _WIDE_LINE_RAD * np.hypot(1.0, READING_RATIO_PER_M * length) / np.maximum(left, 1e-3)
    taken = _taken_to(length, left)
    farthest = np.minimum(wide * (length + left), 0.5 * np.pi)
    beyond = (taken, np.maximum(farthest, np.minimum(taken + 0.5 * farthest, 0.5 * np.pi)))
    before = (np.maximum(np.pi - np.minimum(wide * length, 0.5 * np.pi), taken), np.full(length.size, np.pi))
    theta, arc = [], []
    for low, high in (beyond, before):
        half = 0.5 * np.maximum(high - low, 0.0)[:, None]
        theta.append(low[:, None] + half * (_NODES + 1.0))
        arc.append(half * _WEIGHTS)
    angles, arcs = np.concatenate(theta, axis=1), np.concatenate(arc, axis=1)
    along = length[:, None] + left[:, None] * np.cos(angles)
    aside = left[:, None] * np.sin(angles)
    rolled = np.maximum(np.hypot(along, aside), 1e-3)
    return rolled, np.arctan2(aside, along), 2.0 * arcs * left[:, None] / rolled


def _taken_to(length: FloatArray, left: FloatArray) -> FloatArray:
    """Half the angle of the arc behind the hole, at the distance left, that the hole would have taken."""
    low, high = np.zeros(length.size), np.full(length.size, np.pi)
    reached = left <= capture_past_m()
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        inside = reached & _taken(length, left, middle)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return low


def _taken(length: FloatArray, left: FloatArray, theta: FloatArray) -> BoolArray:
    """Whether balls at these places round the hole would have been taken on the way."""
    along, aside = length + left * np.cos(theta), left * np.sin(theta)
    past = np.hypot(along, aside) - length
    speed = np.sqrt(np.clip(past / capture_past_m(), 0.0, 1.0))
    offset = length * aside / np.maximum(np.hypot(along, aside), 1e-9)
    return np.asarray((past >= 0.0) & (along > 0.0) & (offset < HOLE_RADIUS_M * np.sqrt(1.0 - speed)))
