"""The best target of all from a place, in words that a player can use."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from rangework.aim.played_hole import seen_from
from rangework.aim.targets import Aiming, Base, Shot, Target
from rangework.aim.values import AimPoints, Outlook, balanced_points, best_height, mean_value
from rangework.course.geometry import Point
from rangework.play import kernels

#: A target this near to the pin is told by how far it is off the pin, others as a length along the line of play.
_BY_PIN_M = 40.0
#: From this share of the longest shot on, a target is told as the longest.
_LONGEST_SHARE = 0.98
#: The fan that is screened: lines to both sides of the pin, lengths, and how many of the best are searched on.
_WIDEST_RAD, _LINES, _LENGTHS, _KEPT, _APART_M = 0.6, 25, 14, 5, 12.0
_STEPS = (8, 4, 2, 1)
#: Words may cost this much: less than the error points of the search can tell.
_AS_GOOD = 0.0005


def best_target(
    outlook: Outlook, others: Sequence[Target], points: AimPoints, unit_m: float
) -> tuple[Target, Shot]:
    """The target that costs least, in whole units of ``unit_m`` metres, and its shot.

    A fan of targets is screened, and from the best of those and from ``others`` (which are all in reach) the
    search goes on in ever smaller steps. Its height is whichever costs least.
    """
    search = _Search(outlook, points, unit_m)
    starts = [*search.screened(), *(search.rounded(replace(other, height=None)) for other in others)]
    found = min((search.improved(start) for start in dict.fromkeys(starts)), key=search.value)
    target = search.plainly(found)
    return target, search.shot(target)


class _Search:
    """Targets in whole units, each valued once."""

    def __init__(self, outlook: Outlook, points: AimPoints, unit_m: float) -> None:
        self._outlook, self._points, self._unit_m = outlook, points.search, unit_m
        self._aiming = outlook.aiming
        self._known: dict[Target, float] = {}

    def shot(self, target: Target) -> Shot:
        """The shot at a target that can be aimed at."""
        return best_height(self._outlook, self._aiming.place(target), self._points, target.height)

    def value(self, target: Target) -> float:
        """What a target costs; infinite where it cannot be aimed at."""
        if target not in self._known:
            out = self._aiming.fault(target) is not None
            self._known[target] = (
                math.inf if out else mean_value(self._outlook, self.shot(target), self._points)
            )
        return self._known[target]

    def screened(self) -> list[Target]:
        """The best targets of a fan, well apart from one another."""
        rough = balanced_points(320, 80, 0.1, 1)
        shots = [best_height(self._outlook, place, rough) for place in _fan(self._aiming)]
        kept: list[Point] = []
        for shot in sorted(shots, key=lambda shot: mean_value(self._outlook, shot, rough)):
            if len(kept) < _KEPT and all(math.dist(shot.place_m, other) > _APART_M for other in kept):
                kept.append(shot.place_m)
        return [self.worded(place) for place in kept]

    def plainly(self, target: Target) -> Target:
        """A target as good, told in the plainest words: off the pin, as the longest shot, or by what it leaves."""
        worded = self.improved(self.worded(self._aiming.place(target)))
        return worded if self.value(worded) <= self.value(target) + _AS_GOOD else target

    def worded(self, place: Point) -> Target:
        """The target in whole units that lies nearest to a place."""
        aiming, pin = self._aiming, self._aiming.played.pin_m
        if math.dist(place, pin) <= _BY_PIN_M:
            right_m, long_m = seen_from(aiming.ball.place_m, pin, place)
            return self.rounded(Target(Base.PIN, None, right_m, long_m))
        if aiming.ball.distance_m(place) >= _LONGEST_SHARE * aiming.longest_toward_m(place):
            target = Target(Base.LONGEST)
        else:
            target = self.rounded(Target(Base.LAY_UP, math.dist(place, pin)))
        right_m, _ = seen_from(aiming.ball.place_m, aiming.place(target), place)
        return self.rounded(replace(target, right_m=right_m))

    def rounded(self, target: Target) -> Target:
        """The target with whole lengths."""
        length = None if target.length_m is None else self._whole(target.length_m)
        return replace(
            target, length_m=length, right_m=self._whole(target.right_m), long_m=self._whole(target.long_m)
        )

    def _whole(self, length_m: float) -> float:
        return round(length_m / self._unit_m) * self._unit_m

    def improved(self, target: Target) -> Target:
        """The target that no step of a unit betters."""
        for step in _STEPS:
            moved = True
            while moved:
                nearby = min(self._moved(target, step), key=self.value)
                moved = self.value(nearby) < self.value(target)
                target = nearby if moved else target
        return target

    def _moved(self, target: Target, step: int) -> Iterator[Target]:
        """The target moved by so many units to either side, and nearer or farther."""
        by = step * self._unit_m
        for side in (-by, by):
            yield self.rounded(replace(target, right_m=target.right_m + side))
            if target.length_m is not None:
                yield self.rounded(replace(target, length_m=max(target.length_m + side, self._unit_m)))
            elif target.base is not Base.LONGEST:
                yield self.rounded(replace(target, long_m=target.long_m + side))


def _fan(aiming: Aiming) -> Iterator[Point]:
    """Places to both sides of the line to the pin, denser near it, at all lengths up to the longest."""
    start, pin = aiming.ball.place_m, aiming.played.pin_m
    straight = math.atan2(pin[0] - start[0], pin[1] - start[1])
    far = min(aiming.longest_m, aiming.to_pin_m + 0.5 * _BY_PIN_M)
    shortest = 0.1 if aiming.to_pin_m < kernels.WALK_BELOW_M else 0.3
    for line in range(_LINES):
        bend = 2.0 * line / (_LINES - 1) - 1.0
        angle = straight + _WIDEST_RAD * bend * abs(bend)
        for length in np.linspace(far, shortest * far, _LENGTHS).tolist():
            yield start[0] + length * math.sin(angle), start[1] + length * math.cos(angle)
