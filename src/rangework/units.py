"""Lengths and angles at the door: inside the package everything is metres and radians."""

from __future__ import annotations

import math
from typing import Literal

LengthUnit = Literal["yd", "m", "ft"]
Units = Literal["yards", "metres"]

#: International yard and foot (exact, 1959 agreement).
METRES_PER = {"m": 1.0, "yd": 0.9144, "ft": 0.3048}
YARD_M = METRES_PER["yd"]
FOOT_M = METRES_PER["ft"]
DEGREE_RAD = math.pi / 180.0


def shot_unit(units: Units) -> LengthUnit:
    """The unit full shots are shown in."""
    return "yd" if units == "yards" else "m"


def putt_unit(units: Units) -> LengthUnit:
    """The unit putts are shown in: feet beside yards, metres beside metres."""
    return "ft" if units == "yards" else "m"
