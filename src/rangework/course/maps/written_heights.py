"""Heights as maps write them: a third coordinate of GeoJSON (RFC 7946, section 3.1.1), or the tag ``ele``, in metres.

A height that is none is infinite, so that it can be told where it would be used; nan is no height at all.
"""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rangework.course.maps.features import MapFeature
from rangework.units import FOOT_M

#: No land lies lower or higher (the shore of the Dead Sea, the top of Mount Everest; from memory, rounded outwards).
LOWEST_M, HIGHEST_M = -450.0, 9000.0

_TEXT = re.compile(r"([+-]?\d{1,6}(?:[.,]\d{1,9})?) ?(m|ft|'|)")


def height_m(value: Any) -> float:
    """Metres of a third coordinate, or of the text of an ``ele`` tag (metres unless it says feet)."""
    if value is None:
        return math.nan
    if isinstance(value, str):
        given = _TEXT.fullmatch(value.strip())
        unit_m = FOOT_M if given and given[2] in ("ft", "'") else 1.0
        return float(given[1].replace(",", ".")) * unit_m if given else math.inf
    if type(value) not in (int, float) or abs(value) > 1e30:
        return math.inf
    return float(value)


def given_heights(feature: MapFeature) -> NDArray[np.float64]:
    """The heights of a feature's positions; those of its ``ele`` tag where no position has one."""
    if feature.heights_m is not None:
        return feature.heights_m
    return np.full(sum(map(len, feature.positions())), height_m(feature.tags.get("ele")))


def mean_height_m(feature: MapFeature) -> float:
    """The mean of the heights of a feature, nan where it has none."""
    heights = sound_heights(given_heights(feature))
    known = heights[np.isfinite(heights)]
    return float(known.mean()) if len(known) else math.nan


def sound_heights(heights_m: ArrayLike) -> NDArray[np.float64]:
    """The heights, nan in place of what no land can have."""
    given = np.asarray(heights_m, dtype=np.float64)
    return np.where((given >= LOWEST_M) & (given <= HIGHEST_M), given, math.nan)
