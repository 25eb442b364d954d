"""Putts a round from the usual first putts, for many golfers at once.

The first putts are those of a reference golfer of handicap 15 on the standard holes (`usual_worths`), eighteen lengths
that are equally likely; other levels hardly differ (sources.toml ``assumption.usual_first_putts``). Everybody putts
from the same places, so that the count is the putter's alone.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from rangework.skill import coordinates as c
from rangework.skill.putting import (
    READING_RATIO_PER_M,
    PuttingSkill,
    expected_putts,
    putt_tables,
    reference_putting,
)
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]

#: One first putt a hole, metres.
FIRST_PUTTS_M: FloatArray = np.array(
    [0.7, 1.4, 2.0, 2.6, 3.1, 3.6, 4.2, 4.7, 5.3, 5.9, 6.6, 7.3, 8.2, 9.1, 10.3, 11.8, 13.8, 17.1]
)
#: Line (radians), pace and aim past the hole (metres) between which putts are told apart; golfers beyond count as
#: those at the edge.
LINE_RAD = (0.5 * DEGREE_RAD, 10.0 * DEGREE_RAD)
PACE = (0.04, 0.40)
PAST_M = (0.015, 1.2)

_LEAST, _MOST = np.log([LINE_RAD, PACE, PAST_M]).T
#: Golfers are seen through a polynomial with so many points in the logarithms of line, pace and aim, over their range.
_POINTS = (8, 8, 5)
_LEAST_RANGE = 0.02
_REFERENCE_STEP = 0.5
_LONGEST_M, _STEP_M = 30.0, 0.25


def putts_a_round(coordinates: FloatArray) -> FloatArray:
    """Expected putts ``[golfer]`` from the usual first putts, for golfers of ``coordinates``.

    Many golfers are seen through a polynomial: within 0.03 putts a round of their own tables, far less where
    they are alike.
    """
    place = np.clip(coordinates[:, [c.LN_LINE, c.LN_PACE, c.LN_AIM_PAST]], _LEAST, _MOST)
    if len(place) <= math.prod(_POINTS):
        return _putts(place)
    middle = (place.max(axis=0) + place.min(axis=0)) / 2.0
    half = np.maximum(np.ptp(place, axis=0), _LEAST_RANGE) / 2.0
    nodes = [chebyshev.chebpts1(points) for points in _POINTS]
    grid = np.stack(np.meshgrid(*nodes, indexing="ij"), axis=-1)
    coefficients = _putts((middle + half * grid).reshape(-1, 3)).reshape(_POINTS)
    basis = []
    for axis, points in enumerate(_POINTS):
        to_coefficients = np.linalg.inv(chebyshev.chebvander(nodes[axis], points - 1))
        coefficients = np.moveaxis(np.tensordot(to_coefficients, coefficients, axes=(1, axis)), 0, axis)
        basis.append(chebyshev.chebvander((place[:, axis] - middle[axis]) / half[axis], points - 1))
    return np.asarray(np.einsum("ni,nj,nk,ijk->n", *basis, coefficients, optimize=True))


def _putts(place: FloatArray) -> FloatArray:
    """The same of each ``[golfer, (ln line, ln pace, ln past)]``, from its own tables."""
    rows = np.exp(place).tolist()
    return np.array([putts_of(PuttingSkill(a, READING_RATIO_PER_M * a, b, past)) for a, b, past in rows])


def putts_of(skill: PuttingSkill) -> float:
    """Expected putts of one golfer from the usual first putts."""
    tables = putt_tables(skill, longest_m=_LONGEST_M, step_m=_STEP_M)
    return float(expected_putts(FIRST_PUTTS_M, tables).sum())


@lru_cache(maxsize=1)
def reference_putts(lowest: float, highest: float) -> tuple[FloatArray, FloatArray]:
    """Handicap indices in steps of a half, and the expected putts of their reference golfers."""
    handicaps = np.arange(lowest, highest + 0.5 * _REFERENCE_STEP, _REFERENCE_STEP)
    return handicaps, np.array([putts_of(reference_putting(float(handicap))) for handicap in handicaps])
