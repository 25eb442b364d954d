"""The success zone of a ball: where it gains on the reference golfer, or loses no more than a margin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.level_lines import level_lines
from rangework.assessment.pin_values import ShotValues

FloatArray = NDArray[np.float64]

#: Finishes are looked at this far to every side of the pin, in steps of so much.
AROUND_M, _STEP_M = 45.0, 1.0
_FAR = int(AROUND_M / _STEP_M)


@dataclass(frozen=True, slots=True, eq=False)
class SuccessZone:
    """Where a ball is a success, as seen from it.

    ``lines_m``: closed lines (n, 2), metres right of the pin and beyond it; inside a line that turns left a ball
    succeeds, inside one that turns right (a hole in the zone) it does not. ``short_m`` to ``right_m``: how far from the
    pin it may finish on each of the four ways (at most ``AROUND_M``); ``putt_m`` the longest putt that a success may
    leave.
    """

    lines_m: tuple[FloatArray, ...]
    short_m: float
    long_m: float
    left_m: float
    right_m: float
    putt_m: float


def success_zone(shot: ShotValues, margin: float) -> SuccessZone:
    """The zone of a shot: the break-even line, moved so that a ball may lose ``margin`` strokes (negative: gain)."""
    axis = np.arange(-_FAR, _FAR + 1) * _STEP_M
    gains = shot.gained(axis[:, None], axis[None, :]) + margin
    lines = [line * _STEP_M - AROUND_M for line in level_lines(gains, 0.0)]
    ways = (gains[_FAR::-1, _FAR], gains[_FAR:, _FAR], gains[_FAR, _FAR::-1], gains[_FAR, _FAR:])
    player = shot.pin.player
    holds = np.flatnonzero(shot.strokes - 1.0 - player.putts + margin < 0.0)
    longest = float(holds[0] if len(holds) else len(player.putts)) * player.putt_step
    short, long, left, right = (_reach_m(way) for way in ways)
    return SuccessZone(tuple(lines), short, long, left, right, longest)


def _reach_m(gains: FloatArray) -> float:
    """How far from the pin the zone goes without a break."""
    out = np.flatnonzero(gains < 0.0)
    return float(out[0] * _STEP_M) if len(out) else AROUND_M
