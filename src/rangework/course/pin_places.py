"""A pin as a person says it: a name of the hole's own, a place on any green, paces, or coordinates.

``tucked``; ``back-left``; ``12 on, 4 right`` (paces from the front edge, then from the right one at that depth);
``51.50123, -0.12345`` (latitude and longitude, of a mapped hole); ``3 yd, 371 yd`` (right of the hole's longest tee
and ahead of it along the first leg).
"""

from __future__ import annotations

import math
import re
from difflib import get_close_matches

from shapely.affinity import rotate, translate
from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint

from rangework.course.drawn_green import DrawnGreen, green_of
from rangework.course.findings import LENGTH_UNITS
from rangework.course.geometry import Course, Hole, Point
from rangework.course.line_of_play import offset_point
from rangework.course.pin_words import PIN_WORDS, pin_by_word
from rangework.errors import InputError, Problem
from rangework.units import METRES_PER, YARD_M, Units, shot_unit

_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_UNIT = r"\s*(yd|m|ft|paces?)?\s*"
_PACES = re.compile(
    rf"{_NUMBER}{_UNIT}on(?:\s*,?\s*(?:and\s+)?{_NUMBER}{_UNIT}(?:from\s+)?(?:the\s+)?(left|right))?"
)
_PAIR = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s*(yd|m)?\s*,\s*(-?[0-9]+(?:\.[0-9]+)?)\s*(yd|m)?")
#: Coordinates this near to a hole's longest tee are latitude and longitude.
_NEAR_M = 3000.0
#: A place this little off the green is on its edge: rounding of what was typed.
_EDGE_M = 0.05


def pin_place(hole: Hole, pin: str) -> Point:
    """Where a pin is on the hole's plane. Raises InputError where the hole has no such pin."""
    if pin in hole.pins:
        return hole.pins[pin]
    green, words = green_of(hole), " ".join(pin.lower().split())
    if words in PIN_WORDS:
        return pin_by_word(green, words)
    place = _by_paces(green, words) or _by_pair(hole, words)
    if place is None:
        raise InputError(_unknown(hole, pin))
    if green.polygon.distance(ShapelyPoint(place)) > _EDGE_M:
        raise InputError(_off_green(hole, green, pin, place))
    return place


def has_pin(hole: Hole, pin: str) -> bool:
    """Whether ``pin`` is a place on the hole's green."""
    try:
        pin_place(hole, pin)
    except InputError:
        return False
    return True


def with_unit(pin: str, course: Course, units: Units) -> str:
    """The pin with its unit said where it is a pair of lengths; latitude and longitude stay as they are."""
    found = _PAIR.fullmatch(pin.strip())
    if not found:
        return pin
    one, other = _numbers(found)
    if any(_is_near(hole, one, other) or _is_near(hole, other, one) for hole in course.holes):
        return pin
    usual = shot_unit(units)
    return f"{found[1]} {found[2] or usual}, {found[3]} {found[4] or usual}"


def is_in_hole_frame(pin: str) -> bool:
    """Whether a pin is given by lengths from a hole's tee, which mean nothing on another hole."""
    found = _PAIR.fullmatch(" ".join(pin.lower().split()))
    return bool(found and (found[2] or found[4]))


def _by_paces(green: DrawnGreen, words: str) -> Point | None:
    found = _PACES.fullmatch(words)
    if not found:
        return None
    on_m = _length_m(found[1], found[2])
    moved = translate(green.polygon, -green.middle[0], -green.middle[1])
    seen = rotate(moved, math.degrees(green.arrival_rad), origin=(0.0, 0.0))
    left, front, right, _ = seen.bounds
    forward = front + on_m
    across = seen.intersection(LineString([(left - 1.0, forward), (right + 1.0, forward)]))
    from_left, _, from_right, _ = (left, 0.0, right, 0.0) if across.is_empty else across.bounds
    aside = (from_left + from_right) / 2
    if found[5]:
        in_m = _length_m(found[3], found[4])
        aside = from_left + in_m if found[5] == "left" else from_right - in_m
    return offset_point(green.middle, green.arrival_rad, aside, forward)


def _by_pair(hole: Hole, words: str) -> Point | None:
    found = _PAIR.fullmatch(words)
    if not found:
        return None
    first, second = _numbers(found)
    if found[2] or found[4]:
        unit_m = [METRES_PER[found[group] or found[6 - group] or "m"] for group in (2, 4)]
        return first * unit_m[0], second * unit_m[1]
    if hole.placement is None or not _is_near(hole, first, second):
        return None
    x, y = hole.placement.from_earth((second, first)).tolist()
    return x, y


def _is_near(hole: Hole, latitude_deg: float, longitude_deg: float) -> bool:
    if hole.placement is None or abs(latitude_deg) > 90.0 or abs(longitude_deg) > 180.0:
        return False
    place = (longitude_deg, latitude_deg)
    return bool(hole.placement.distance_m(place) <= _NEAR_M)


def _numbers(found: re.Match[str]) -> tuple[float, float]:
    return float(found[1]), float(found[3])


def _length_m(number: str, unit: str | None) -> float:
    name = "paces" if unit in (None, "pace", "paces") else unit
    return float(number) * LENGTH_UNITS[str(name)]


def _unknown(hole: Hole, pin: str) -> Problem:
    expected = (
        f"a pin of hole {hole.number} ({', '.join(hole.pins)}), a place on any green ({', '.join(PIN_WORDS)}), paces "
        "such as '12 on, 4 right', or the coordinates of a place on its green"
    )
    near = get_close_matches(pin, [*hole.pins, *PIN_WORDS], n=1)
    remedy = f"Did you mean {near[0]}?" if near else ""
    if _PAIR.fullmatch(pin.strip()):
        remedy = (
            "The hole lies elsewhere: latitude first, then longitude."
            if hole.placement
            else "The file does not say where on Earth the hole lies: give lengths from its tee, '3 yd, 371 yd'."
        )
    return Problem("--pin", "", pin, expected, remedy)


def _off_green(hole: Hole, green: DrawnGreen, pin: str, place: Point) -> Problem:
    off = green.polygon.distance(ShapelyPoint(place)) / YARD_M
    size = f"{green.width_m / YARD_M:.0f} yd wide and {green.depth_m / YARD_M:.0f} yd deep"
    x, y = (length / YARD_M for length in green.middle)
    remedy = f"This is {off:.0f} yd off it; its middle is at {x:.0f} yd, {y:.0f} yd."
    return Problem("--pin", "", pin, f"a place on the green of hole {hole.number}, {size}", remedy)
