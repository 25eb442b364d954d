"""Conditions in golfers' words: read and told."""

from __future__ import annotations

import math
import re

from rangework.conditions.day import MPH_M_S, NEUTRAL_C, NEUTRAL_GREEN_FT, Conditions, Wind
from rangework.units import FOOT_M, Units

COMPASS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
_POINTS = ("north", "east", "south", "west")
_M_S = {"mph": MPH_M_S, "km/h": 1.0 / 3.6, "kmh": 1.0 / 3.6, "m/s": 1.0, "kn": 1852.0 / 3600.0}
_SIDES = {"ahead": 12.0, "right": 3.0, "the right": 3.0, "behind": 6.0, "left": 9.0, "the left": 9.0}
_WIND = re.compile(r"\s*(\d+(?:\.\d+)?)\s*(mph|km/h|kmh|m/s|kn)\s+from\s+(.+?)\s*", re.IGNORECASE)
_CLOCK = re.compile(r"(\d{1,2})(?::([0-5]\d))?\s*o'?clock", re.IGNORECASE)
_DEGREES = re.compile(r"(\d{1,3}(?:\.\d+)?)\s*(?:deg|°)?", re.IGNORECASE)
_QUANTITY = re.compile(r"\s*([+-]?\d+(?:\.\d+)?)\s*°?\s*([a-z]*)\s*", re.IGNORECASE)

WIND_EXPECTED = (
    "a speed up to 40 mph and where it comes from, such as `10 mph from SW`, `4 m/s from 225` (degrees from north) "
    "or, seen along each hole, `10 mph from 2 o'clock`"
)
FASTEST_MPH = 40.0
TEMPERATURE_EXPECTED = "a temperature from -10 to 50 C, such as 10C or 50F"
ALTITUDE_EXPECTED = "an altitude from -400 to 4500 m, such as 1200m or 4000ft"
GREEN_SPEED_EXPECTED = "a stimpmeter reading from 4 to 16 feet, such as 9.5"


def parse_wind(text: str) -> Wind:
    """A wind such as ``10 mph from SW``. Raises ValueError."""
    found = _WIND.fullmatch(text)
    if not found:
        raise ValueError(WIND_EXPECTED)
    speed = float(found[1]) * _M_S[found[2].lower()]
    if speed > FASTEST_MPH * MPH_M_S + 1e-6:
        raise ValueError(WIND_EXPECTED)
    degrees, compass = _direction(found[3])
    return Wind(speed, math.radians(degrees), compass)


def _direction(text: str) -> tuple[float, bool]:
    """Degrees clockwise, and whether they count from north; else from the line of the hole."""
    clock = _CLOCK.fullmatch(text)
    if clock and 1 <= int(clock[1]) <= 12:
        return (30.0 * (int(clock[1]) + int(clock[2] or 0) / 60.0)) % 360.0, False
    if text.lower() in _SIDES:
        return 30.0 * _SIDES[text.lower()] % 360.0, False
    point = text.upper().removeprefix("THE ").replace("-", " ")
    for word in _POINTS:
        point = point.replace(word.upper(), word[0].upper())
    if point.replace(" ", "") in COMPASS:
        return 22.5 * COMPASS.index(point.replace(" ", "")), True
    degrees = _DEGREES.fullmatch(text)
    if degrees and float(degrees[1]) <= 360.0:
        return float(degrees[1]) % 360.0, True
    raise ValueError(WIND_EXPECTED)


def parse_temperature(text: str) -> float:
    """Degrees Celsius of a temperature such as ``10C`` or ``50F``. Raises ValueError."""
    value, unit = _quantity(text, ("c", "f"), TEMPERATURE_EXPECTED)
    celsius = (value - 32.0) / 1.8 if unit == "f" else value
    return _within(celsius, -10.0, 50.0, TEMPERATURE_EXPECTED)


def parse_altitude(text: str) -> float:
    """Metres of an altitude such as ``1200m`` or ``4000ft``. Raises ValueError."""
    value, unit = _quantity(text, ("m", "ft"), ALTITUDE_EXPECTED)
    return _within(value * FOOT_M if unit == "ft" else value, -400.0, 4600.0, ALTITUDE_EXPECTED)


def parse_green_speed(text: str) -> float:
    """Feet of a stimpmeter reading such as ``9.5``. Raises ValueError."""
    value, _ = _quantity(text, ("", "ft"), GREEN_SPEED_EXPECTED)
    return _within(value, 4.0, 16.0, GREEN_SPEED_EXPECTED)


def _quantity(text: str, units: tuple[str, ...], expected: str) -> tuple[float, str]:
    found = _QUANTITY.fullmatch(text)
    if not found or found[2].lower() not in units:
        raise ValueError(expected)
    return float(found[1]), found[2].lower()


def _within(value: float, low: float, high: float, expected: str) -> float:
    if not low <= value <= high:
        raise ValueError(expected)
    return value


def told(conditions: Conditions, units: Units) -> str:
    """What is other than neutral, in one line; empty where nothing is."""
    parts = []
    if conditions.wind:
        parts.append(f"wind {_wind_told(conditions.wind, units)}")
    for hole, wind in sorted(conditions.wind_by_hole.items()):
        parts.append(f"on hole {hole} {_wind_told(wind, units)}")
    celsius, metres = conditions.temperature_c, conditions.altitude_m
    if celsius != NEUTRAL_C:
        parts.append(f"{celsius * 1.8 + 32.0:.0f} °F" if units == "yards" else f"{celsius:.0f} °C")
    if metres:
        parts.append(f"{metres / FOOT_M:,.0f} ft up" if units == "yards" else f"{metres:,.0f} m up")
    if conditions.ground != "normal":
        parts.append(f"{conditions.ground} ground")
    if (speed := conditions.green_speed_ft) != NEUTRAL_GREEN_FT:
        shown = f"{speed:g} ft" if units == "yards" else f"{speed * FOOT_M:.1f} m"
        parts.append(f"green speed {shown}")
    return ", ".join(parts)


def _wind_told(wind: Wind, units: Units) -> str:
    speed = f"{wind.speed_m_s / MPH_M_S:.0f} mph" if units == "yards" else f"{wind.speed_m_s:.1f} m/s"
    degrees = math.degrees(wind.from_rad) % 360.0
    if not wind.compass:
        minutes = round(degrees * 2.0) % 720
        hour, rest = minutes // 60 or 12, minutes % 60
        return f"{speed} from {hour}{f':{rest:02d}' if rest else ''} o'clock"
    point = round(degrees / 22.5)
    exact = abs(degrees - 22.5 * point) < 0.05
    return f"{speed} from {COMPASS[point % 16] if exact else f'{degrees:.0f}°'}"
