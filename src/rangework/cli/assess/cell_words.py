"""Cells, bands and pin positions of a practice test in words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rangework.units import Units

_BANDS = {
    "chip": "under 20 yd",
    "pitch": "20-50 yd",
    "bunker": "sand, under 50 yd",
    "approach_50_100": "50-100 yd",
    "approach_100_150": "100-150 yd",
    "approach_150_200": "150-200 yd",
    "approach_200_up": "200 yd and more",
}
_SIDES = {"none": "no short side"}


def cell_words(name: str, units: Units) -> str:
    """A cell, band or pin position by its id, such as ``approach_100_150.left``."""
    band, _, pin = name.partition(".")
    told = [_in_units(_BANDS[band], units) if band in _BANDS else ""]
    position = pin or ("" if band in _BANDS else band)
    if position == "all balls":
        return position
    if position:
        told.append(_SIDES.get(position, f"pin {position}"))
    return ", ".join(each for each in told if each)


def _in_units(words: str, units: Units) -> str:
    if units == "yards":
        return words
    from rangework.units import YARD_M

    return re.sub(r"\d+", lambda yards: f"{int(yards[0]) * YARD_M:.0f}", words).replace("yd", "m")
