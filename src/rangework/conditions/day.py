"""The conditions of a day, and what they do to a shot; every figure has its entry in ``sources.toml``."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rangework.units import FOOT_M, METRES_PER

Ground = Literal["soft", "normal", "firm"]

MPH_M_S = 1609.344 / 3600.0
#: The driver length of the golfer that the published figures of wind are about, slightly above the average man
#: (sources.toml: assumption.conditions.wind).
_DRIVER_M = 230.0 * METRES_PER["yd"]
_YARD_A_MPH = METRES_PER["yd"] / (MPH_M_S * _DRIVER_M)
#: What wind does to a shot of half a driver or more, in driver lengths a m/s: a head wind of h takes
#: ``HEAD h + HEAD_SQUARED h^2``, a tail wind gives ``TAIL``, a cross wind carries off by ``CROSS``. Fitted to the
#: published yards of a driver and a 6 iron in 10 and 15 mph (published.conditions.wind); cross: common practice, no
#: source.
HEAD, HEAD_SQUARED, TAIL = 0.933 * _YARD_A_MPH, 0.0267 * _YARD_A_MPH / MPH_M_S, 0.824 * _YARD_A_MPH
CROSS = 1.1 * _YARD_A_MPH
#: Shorter shots are moved less: as the target over this share of the driver, to the power of 1.5.
FULL_SHARE = 0.5
#: Share of what the wind does that a player does not foresee (standard deviation).
UNSURE = 0.25

NEUTRAL_C, NEUTRAL_GREEN_FT = 20.0, 11.0
_SHARE_A_C, _SHARE_A_M = 0.00075 * 1.8, 0.01 / (1000.0 * FOOT_M)
#: Share of the usual run of full shots, and of chips and pitches.
RUN: Mapping[Ground, float] = {"soft": 0.3, "normal": 1.0, "firm": 1.4}
SHORT_RUN: Mapping[Ground, float] = {"soft": 0.8, "normal": 1.0, "firm": 1.15}


@dataclass(frozen=True, slots=True)
class Wind:
    """A steady wind.

    ``from_rad`` is where it comes from, clockwise: from north if ``compass``, else from the line from tee to pin.
    """

    speed_m_s: float
    from_rad: float
    compass: bool

    def toward(self, bearing_rad: float | None) -> tuple[float, float]:
        """The wind (m/s) to the right and ahead, on a hole whose pin lies at that bearing from the tee.

        Raises ValueError for a wind by the compass on a hole of unknown bearing.
        """
        if self.compass and bearing_rad is None:
            raise ValueError("a wind by the compass needs the bearing of the hole")
        from_rad = self.from_rad - (bearing_rad or 0.0) if self.compass else self.from_rad
        return -self.speed_m_s * math.sin(from_rad), -self.speed_m_s * math.cos(from_rad)


@dataclass(frozen=True, slots=True)
class Conditions:
    """The day that a round is played on; as it stands, the neutral one that records are taken to be from.

    ``wind_by_hole`` replaces ``wind`` on some holes; ``green_speed_ft`` is a stimpmeter reading.
    """

    wind: Wind | None = None
    wind_by_hole: Mapping[int, Wind] = field(default_factory=dict)
    temperature_c: float = NEUTRAL_C
    altitude_m: float = 0.0
    ground: Ground = "normal"
    green_speed_ft: float = NEUTRAL_GREEN_FT

    def wind_on(self, hole: int) -> Wind | None:
        """The wind on the hole of that number."""
        return self.wind_by_hole.get(hole, self.wind)

    @property
    def stretch(self) -> float:
        """What temperature and altitude make of every distance, as a factor."""
        warm = 1.0 + _SHARE_A_C * (self.temperature_c - NEUTRAL_C)
        return warm * (1.0 + _SHARE_A_M * self.altitude_m)

    @property
    def run(self) -> float:
        """Run of full shots, as a share of the usual."""
        return RUN[self.ground]

    @property
    def short_run(self) -> float:
        """Run of chips and pitches, as a share of the usual on the same green."""
        return SHORT_RUN[self.ground]

    @property
    def green_speed_share(self) -> float:
        """Green speed over the neutral one: how much farther a ball rolls on the green and how much more it breaks."""
        return self.green_speed_ft / NEUTRAL_GREEN_FT

    @property
    def basis(self) -> str:
        """What numbers of such a day rest on beside those of a neutral one: ids of ``sources.toml``, each after +."""
        ids = {
            "+published.conditions.wind+assumption.conditions.wind": bool(self.wind or self.wind_by_hole),
            "+published.conditions.air": self.stretch != 1.0,
            "+assumption.conditions.ground": self.ground != "normal",
            "+published.conditions.green_speed+assumption.conditions.break": self.green_speed_share != 1.0,
        }
        return "".join(basis for basis, counts in ids.items() if counts)

    @property
    def stated(self) -> dict[str, object]:
        """What is other than neutral, in metres, seconds and degrees, for results."""
        told: dict[str, object] = {}
        if self.wind:
            told["wind"] = _wind_stated(self.wind)
        if self.wind_by_hole:
            told["wind_by_hole"] = {hole: _wind_stated(wind) for hole, wind in self.wind_by_hole.items()}
        if self.temperature_c != NEUTRAL_C:
            told["temperature_c"] = self.temperature_c
        if self.altitude_m:
            told["altitude_m"] = self.altitude_m
        if self.ground != "normal":
            told["ground"] = self.ground
        if self.green_speed_ft != NEUTRAL_GREEN_FT:
            told["green_speed_m"] = self.green_speed_ft * FOOT_M
        return told


def _wind_stated(wind: Wind) -> dict[str, object]:
    relative_to = "north" if wind.compass else "hole"
    return {
        "speed_m_s": wind.speed_m_s,
        "from_deg": math.degrees(wind.from_rad),
        "from_deg_is_clockwise_of": relative_to,
    }


#: The conditions that records are taken to be from.
NEUTRAL = Conditions()
