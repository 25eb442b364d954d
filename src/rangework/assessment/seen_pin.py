"""Where a pin stands on its green, as the player sees it from the ball."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.landing import SHORT_SIDE_M
from rangework.aim.played_hole import PlayedHole, heading
from rangework.course.geometry import Point
from rangework.lie import Ground
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: Sand is beside a pin that is no farther away than this.
BUNKER_WITHIN_M = 20.0 * YARD_M
_QUARTER = 0.5 * math.pi
_SIDES = ("back", "right", "front", "left")


@dataclass(frozen=True, slots=True)
class SeenPin:
    """Green on each side of a pin (metres), its thirds of the green, and what a miss meets.

    ``side`` is left, middle or right, ``depth`` front, middle or back; ``short_side`` is the side with the least green
    where that is under 8 yd, ``bunker`` the side of the nearest sand, each ``none`` where there is none.
    """

    from_left_m: float
    from_right_m: float
    from_front_m: float
    from_back_m: float
    side: str
    depth: str
    short_side: str
    bunker: str


def seen_pin(played: PlayedHole, green: FloatArray, ball_m: Point) -> SeenPin:
    """The pin as seen from a ball at a place on the grid's plane; ``green`` is that of ``green_to_work_with``."""
    right, forward = heading(ball_m, played.pin_m)
    bearing = math.atan2(right, forward)
    back, east, front, west = (_green_towards(green, bearing + turn * _QUARTER) for turn in range(4))
    room = {"back": back, "right": east, "front": front, "left": west}
    least = min(room, key=lambda side: room[side])
    return SeenPin(
        from_left_m=west,
        from_right_m=east,
        from_front_m=front,
        from_back_m=back,
        side=_third(west, east, ("left", "middle", "right")),
        depth=_third(front, back, ("front", "middle", "back")),
        short_side=least if room[least] < SHORT_SIDE_M else "none",
        bunker=_nearest_sand(played, bearing),
    )


def green_in_front_m(played: PlayedHole, green: FloatArray, ball_m: Point) -> float:
    """Green between the pin and its edge towards a ball."""
    right, forward = heading(ball_m, played.pin_m)
    return _green_towards(green, math.atan2(-right, -forward))


def _green_towards(green: FloatArray, bearing: float) -> float:
    return float(green[round(bearing / (2.0 * math.pi) * len(green)) % len(green)])


def _third(before_m: float, after_m: float, words: tuple[str, str, str]) -> str:
    share = before_m / max(before_m + after_m, 1e-9)
    return words[min(int(3.0 * share), 2)]


def _nearest_sand(played: PlayedHole, bearing: float) -> str:
    grid = played.layout.grid
    x, y = grid.cell_centres()
    right, forward = x[None, :] - played.pin_m[0], y[:, None] - played.pin_m[1]
    far = np.where(grid.ground == Ground.SAND, np.hypot(right, forward), np.inf)
    nearest = np.unravel_index(int(np.argmin(far)), far.shape)
    if far[nearest] > BUNKER_WITHIN_M:
        return "none"
    seen = math.atan2(float(right[0, nearest[1]]), float(forward[nearest[0], 0])) - bearing
    return _SIDES[round(seen / _QUARTER) % 4]
