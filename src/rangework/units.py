"""Lengths and angles at the door: inside the package everything is metres and radians."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

LengthUnit = Literal["yd", "m", "ft"]
Units = Literal["yards", "metres"]

#: International yard and foot (exact, 1959 agreement).
METRES_PER = {"m": 1.0, "yd": 0.9144, "ft": 0.3048}
YARD_M = METRES_PER["yd"]
FOOT_M = METRES_PER["ft"]
DEGREE_RAD = math.pi / 180.0


def to_metres(length: ArrayLike, unit: LengthUnit) -> NDArray[np.float64]:
    """Lengths in ``unit`` as metres."""
    import numpy as np  # late, because the command line knows units before it needs numbers

    return np.asarray(length, dtype=np.float64) * METRES_PER[unit]


def from_metres(length_m: ArrayLike, unit: LengthUnit) -> NDArray[np.float64]:
    """Lengths in metres as ``unit``."""
    import numpy as np

    return np.asarray(length_m, dtype=np.float64) / METRES_PER[unit]


def shot_unit(units: Units) -> LengthUnit:
    """The unit full shots are shown in."""
    return "yd" if units == "yards" else "m"


def putt_unit(units: Units) -> LengthUnit:
    """The unit putts are shown in: feet beside yards, metres beside metres."""
    return "ft" if units == "yards" else "m"
