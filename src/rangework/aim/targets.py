"""Targets as golfers name them, and the shots they stand for from a place."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from rangework.aim.places import Ball
from rangework.aim.played_hole import PlayedHole, heading
from rangework.course.geometry import Point
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.skill.model import CARRY_SHARE, STANDARD

#: A target may lie this much farther than the longest shot: rounding.
_SPARE_M = 0.6


class Base(Enum):
    """What a target is counted from."""

    PIN = "pin"
    MIDDLE = "middle"  #: of the green
    LONGEST = "longest"  #: the longest shot along the line of play
    LAY_UP = "lay up to"  #: the place on the line of play from which so much is left to the pin
    CARRY = "carry"  #: a shot along the line of play that flies so far


@dataclass(frozen=True, slots=True)
class Target:
    """A target in words: a base with its length (of a lay-up or a carry), moved to the right and farther.

    Right and long are as the player sees them, looking from the ball at the base. ``height`` is that of a shot
    around the green (0 low, 1 standard, 2 high), None for whichever costs least.
    """

    base: Base = Base.PIN
    length_m: float | None = None
    right_m: float = 0.0
    long_m: float = 0.0
    height: int | None = None


class Fault(Enum):
    """Why a target cannot be aimed at."""

    OUT_OF_REACH = "out of reach"
    BEHIND = "farther from the pin than the ball"
    OFF_THE_MAP = "off the map of the hole"
    TOO_NEAR = "where the ball lies"
    NO_HEIGHT = "a height for a full shot"
    NOT_OPEN = "not open from among trees"


@dataclass(frozen=True, slots=True)
class Shot:
    """A target's place on the grid's plane and the height played (0 low, 1 standard, 2 high)."""

    place_m: Point
    height: int = STANDARD


@dataclass(frozen=True, slots=True)
class Aiming:
    """A ball to be played on a hole by a player."""

    played: PlayedHole
    ball: Ball
    player: Player

    @property
    def longest_m(self) -> float:
        """The longest target from here, towards the pin."""
        return self.longest_toward_m(self.played.pin_m)

    def longest_toward_m(self, place: Point) -> float:
        """The longest target from here towards a place."""
        hole, start = self.played.layout.hole, self.ball.place_m
        return float(kernels.longest_toward(hole, self.player, self.ball.reach, *start, *place))

    def plays_m(self, place: Point) -> float:
        """How far the shot at a place plays: its length in calm neutral air on level ground."""
        hole, start = self.played.layout.hole, self.ball.place_m
        length_m = self.ball.distance_m(place)
        line = heading(start, place)
        return float(kernels.calm_shot(hole, kernels.driver_of(self.player), start[1], *line, length_m)[0])

    @property
    def to_pin_m(self) -> float:
        """Distance to the pin."""
        return self.ball.distance_m(self.played.pin_m)

    def place(self, target: Target) -> Point:
        """Where a target lies."""
        base = self._base(target)
        right, forward = heading(self.ball.place_m, base)
        return (
            base[0] + target.right_m * forward + target.long_m * right,
            base[1] - target.right_m * right + target.long_m * forward,
        )

    def _base(self, target: Target) -> Point:
        length_m = target.length_m or 0.0
        if target.base is Base.PIN:
            return self.played.pin_m
        if target.base is Base.MIDDLE:
            return self.played.middle_m
        if target.base is Base.LAY_UP:
            return self.played.before_pin(length_m) or self.played.start_m
        if target.base is Base.CARRY:
            return self.played.ahead(self.ball.place_m, self.total_m(length_m))
        place = self.played.ahead(self.ball.place_m, self.longest_m)
        return self.played.ahead(self.ball.place_m, self.longest_toward_m(place))

    def fault(self, target: Target) -> Fault | None:
        """Why a target cannot be aimed at; None where it can."""
        place = self.place(target)
        far_m = self.ball.distance_m(place)
        if target.base is Base.LAY_UP and (target.length_m or 0.0) >= self.to_pin_m:
            return Fault.BEHIND
        if far_m > self.longest_toward_m(place) + _SPARE_M or self._flies_too_far(target):
            return Fault.OUT_OF_REACH
        if not self.played.shown(place):
            return Fault.OFF_THE_MAP
        if far_m < 1.0:
            return Fault.TOO_NEAR
        if target.height is not None and len(self.heights(place)) == 1:
            return Fault.NO_HEIGHT
        return None if self._is_open(place) else Fault.NOT_OPEN

    def _flies_too_far(self, target: Target) -> bool:
        lengths, share = self._carry_share(STANDARD)
        longest_carry_m = float(np.interp(self.longest_m, lengths, lengths * share))
        return target.base is Base.CARRY and (target.length_m or 0.0) > longest_carry_m + _SPARE_M

    def _is_open(self, place: Point) -> bool:
        """Whether a recovery out of trees may be played that far."""
        row, start, hole = self.ball.row, self.ball.place_m, self.played.layout.hole
        *_, aimed_m = kernels.aim_line(hole, row, *start, *place, self.longest_toward_m(place) + _SPARE_M)
        return bool(aimed_m >= self.ball.distance_m(place) - _SPARE_M)

    def heights(self, place: Point) -> tuple[int, ...]:
        """The heights that a shot at a place may be played with: a choice around the green only."""
        return (0, 1, 2) if self.ball.distance_m(place) < kernels.WALK_BELOW_M else (STANDARD,)

    def carry_m(self, shot: Shot) -> float:
        """How far a solid shot flies; what is left of it is run."""
        length_m, plays_m = self.ball.distance_m(shot.place_m), self.plays_m(shot.place_m)
        flown_m = self.calm_carry_m(shot)
        return flown_m if plays_m == length_m else length_m - (plays_m - flown_m)

    def calm_carry_m(self, shot: Shot) -> float:
        """How far the same shot would fly in calm neutral air on level ground: the club to take."""
        plays_m = self.plays_m(shot.place_m)
        return plays_m * float(np.interp(plays_m, *self._carry_share(shot.height)))

    def total_m(self, carry_m: float) -> float:
        """The target distance of a standard shot that flies ``carry_m``."""
        lengths, share = self._carry_share(STANDARD)
        return float(np.interp(carry_m, lengths * share, lengths))

    def _carry_share(self, height: int) -> tuple[np.ndarray, np.ndarray]:
        share = self.player.table[self.ball.row, height, :, CARRY_SHARE]
        return np.arange(len(share), dtype=float), share


def usual_targets(aiming: Aiming, unit_m: float) -> list[Target]:
    """What a player would think of from here: pin and middle of the green, or some lengths of a lay-up."""
    near = [target for target in (Target(Base.PIN), Target(Base.MIDDLE)) if aiming.fault(target) is None]
    if near:
        apart = math.dist(aiming.played.pin_m, aiming.played.middle_m) >= 0.5 * unit_m
        return near if apart else near[:1]
    step = 10.0 * unit_m
    longest_m = aiming.carry_m(Shot(aiming.place(Target(Base.LONGEST))))
    whole = step * math.floor(longest_m / step)
    shorter = [Target(Base.CARRY, whole - back * step) for back in (2, 4) if whole > (back + 2) * step]
    return [target for target in (Target(Base.LONGEST), *shorter) if aiming.fault(target) is None]


def same_shot(first: Shot, second: Shot, unit_m: float) -> bool:
    """Whether two shots are one and the same to a player: less than half a yard or metre apart, the same height."""
    return math.dist(first.place_m, second.place_m) < 0.5 * unit_m and first.height == second.height
