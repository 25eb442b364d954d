"""Strokes gained by the published families: driving, approach, short game, putting."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from published.levels import FAMILIES

from rangework.play.rounds import GROUPS

FloatArray = NDArray[np.float64]
#: The published short game is everything within 100 yd but putts, so the nearest approaches are in it.
FAMILY_OF = {
    "tee": "driving",
    "approach_50_100": "short game",
    "approach_100_150": "approach",
    "approach_150_200": "approach",
    "approach_200_up": "approach",
    "chip": "short game",
    "pitch": "short game",
    "bunker": "short game",
    "putting": "putting",
}


def by_family(gained: FloatArray) -> FloatArray:
    """Strokes gained by family from those by group, along the last axis."""
    of = np.array([[FAMILY_OF[group] == family for group in GROUPS] for family in FAMILIES], dtype=np.float64)
    return np.asarray(gained @ of.T)


def shares(strokes: FloatArray) -> FloatArray:
    """Per cent of the sum."""
    return np.asarray(100.0 * strokes / strokes.sum())
