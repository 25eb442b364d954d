"""Targets of a whole course for the bag: each hole from the tee and from its likely approaches, at each pin."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from rangework.aim.best import best_target
from rangework.aim.club_names import NamedClub, club_for
from rangework.aim.landing import ShotChances, finishes, shot_chances
from rangework.aim.objectives import FewestStrokes
from rangework.aim.places import Ball, FromDistance, place_ball
from rangework.aim.played_hole import PlayedHole, seen_from
from rangework.aim.targets import Aiming, Base, Shot, Target
from rangework.aim.values import (
    AimPoints,
    FloatArray,
    StrokesOutlook,
    balanced_points,
    best_height,
    mean_value,
)
from rangework.conditions import NEUTRAL, Conditions
from rangework.course.geometry import Hole
from rangework.course.ground_grid import ground_grid
from rangework.course.line_of_play import length_from
from rangework.errors import InputError
from rangework.lie import Ground, Lie
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.strategy import Strategy, solve_hole

#: A target that saves less than this beside the pin is not worth a note (sources.toml: assumption.aim.notes).
WORTH_A_NOTE = 0.02
#: A move that saves less than this beside the other one is left out too.
_NEXT_TO_NOTHING = 0.003
#: Approaches are noted from where a quarter and three quarters of the balls in play leave less, in whole tens.
_QUARTERS, _TENS = (0.25, 0.75), 10.0
_NEAREST_M, _LONGEST_WAY = 30.0, 3
#: A target told by how far it is off the pin lies within this.
_BY_PIN_M = 40.0
#: Error points: fewer than for a single shot, since there are hundreds.
NOTE_POINTS = AimPoints(
    balanced_points(320, 80, 0.1, 2), balanced_points(1000, 250, 0.37, 2), balanced_points(200, 50, 0.37, 1)
)
NOTES_BASIS = "assumption.aim.notes"


@dataclass(frozen=True, slots=True)
class NotedShot:
    """The best target from a place.

    ``off_pin_m`` is how far right of the pin and beyond it the target lies, seen from the ball; None where it is far
    from the pin. ``saved`` are strokes beside straight at the pin, None where the pin is out of reach.
    """

    target: Target
    distance_m: float
    carry_m: float
    club: NamedClub | None
    off_pin_m: tuple[float, float] | None
    strokes: float
    saved: float | None
    finish: ShotChances

    @property
    def at_pin(self) -> bool:
        """Whether straight at the pin is as good."""
        return self.saved is not None and self.saved < WORTH_A_NOTE


@dataclass(frozen=True, slots=True)
class WayShot:
    """A shot that is not yet at the green: from the tee (``from_m`` None), or from so far to the middle pin."""

    from_m: float | None
    shot: NotedShot


@dataclass(frozen=True, slots=True)
class Approach:
    """Shots at the green from one distance (None: the tee of a par 3), by pin."""

    from_m: float | None
    by_pin: Mapping[str, NotedShot]


@dataclass(frozen=True, slots=True)
class HoleNote:
    """What to do on one hole."""

    hole: Hole
    length_m: float
    way: tuple[WayShot, ...]
    approaches: tuple[Approach, ...]


@dataclass(frozen=True)
class NoteTaker:
    """A player whose targets are noted: ``clubs`` are carries in metres, ``unit_m`` what targets are whole in."""

    player: Player
    clubs: Mapping[str, float]
    unit_m: float
    conditions: Conditions = NEUTRAL

    def course(
        self,
        holes: Sequence[Hole],
        tee: str,
        pins: Mapping[int, Sequence[str]],
        *,
        threads: int = 2,
        progress: Callable[[], None] | None = None,
    ) -> list[HoleNote]:
        """The notes of all holes, ``pins`` by number of the hole."""

        def note(hole: Hole) -> HoleNote:
            noted = self.hole(hole, tee, pins[hole.number])
            if progress:
                progress()
            return noted

        with ThreadPoolExecutor(threads) as pool:
            return list(pool.map(note, holes))

    def hole(self, hole: Hole, tee: str, pins: Sequence[str]) -> HoleNote:
        """The note of one hole from a tee, for pins told as ``course.pin_places`` says."""
        middle = _Green(self, hole, tee, "middle")
        way, from_m = ((), (None,)) if hole.par == 3 else middle.way()
        greens = {pin: middle if pin == "middle" else _Green(self, hole, tee, pin) for pin in pins}
        approaches = [
            Approach(far_m, {pin: noted for pin, green in greens.items() if (noted := green.noted(far_m))})
            for far_m in from_m
        ]
        length_m = length_from(hole.line, hole.tees[tee])
        return HoleNote(hole, length_m, tuple(way), tuple(each for each in approaches if each.by_pin))


def plainer(own: StrokesOutlook, target: Target, shot: Shot) -> tuple[Target, Shot]:
    """The target without a move to the side, or without one short or long, that saves next to nothing."""
    points = NOTE_POINTS.search
    value = mean_value(own, shot, points) + _NEXT_TO_NOTHING
    for fewer in (replace(target, right_m=0.0), replace(target, long_m=0.0)):
        if target.base is Base.PIN and own.aiming.fault(fewer) is None:
            other = best_height(own, own.aiming.place(fewer), points, fewer.height)
            if mean_value(own, other, points) <= value:
                return fewer, other
    return target, shot


class _Green:
    """A hole with one pin, solved for the player."""

    def __init__(self, taker: NoteTaker, hole: Hole, tee: str, pin: str) -> None:
        self._taker = taker
        layout = lay_out(ground_grid(hole, tee, pin), conditions=taker.conditions)
        self._played = PlayedHole.of(hole, layout)
        self._strategy: Strategy = solve_hole(layout, taker.player)

    def noted(self, from_m: float | None) -> NotedShot | None:
        """The best shot from that far on the line of play; None where no ball can lie there."""
        ball = self._ball(from_m)
        return None if ball is None else self._best(ball)

    def way(self) -> tuple[list[WayShot], tuple[float, ...]]:
        """The shots until the green is in reach, and the distances that they leave."""
        way: list[WayShot] = []
        from_m: float | None = None
        while True:
            ball = self._ball(from_m)
            if ball is None:
                return way, ()
            noted = self._best(ball)
            way.append(WayShot(from_m, noted))
            left_m = self._left(ball, noted)
            from_m = self._whole(float(np.mean(left_m)))
            if left_m[0] <= self._longest_m or len(way) == _LONGEST_WAY:
                return way, tuple(dict.fromkeys(self._whole(each) for each in left_m))

    @property
    def _longest_m(self) -> float:
        return float(self._taker.player.longest[int(Lie.FAIRWAY)])

    def _ball(self, from_m: float | None) -> Ball | None:
        place = None if from_m is None else FromDistance(Lie.FAIRWAY, from_m)
        try:
            return place_ball(self._played, self._taker.player, place)
        except InputError:  # the line of play crosses water there, or does not reach so far back
            return None

    def _best(self, ball: Ball) -> NotedShot:
        taker, pin = self._taker, self._played.pin_m
        own = FewestStrokes(self._strategy, Aiming(self._played, ball, taker.player)).own
        aiming, points = own.aiming, NOTE_POINTS
        at_pin = Target(Base.PIN)
        reached = aiming.fault(at_pin) is None
        target, shot = plainer(own, *best_target(own, [at_pin] if reached else [], points, taker.unit_m))
        strokes, saved = mean_value(own, shot, points.value), None
        if reached:
            straight = best_height(own, pin, points.search)
            saved = max(mean_value(own, straight, points.value) - strokes, 0.0)
        carry_m = aiming.carry_m(shot)
        return NotedShot(
            target=target,
            distance_m=ball.distance_m(shot.place_m),
            carry_m=carry_m,
            club=club_for(taker.clubs, aiming.calm_carry_m(shot))
            if len(aiming.heights(shot.place_m)) == 1
            else None,
            off_pin_m=(
                seen_from(ball.place_m, pin, shot.place_m)
                if math.dist(shot.place_m, pin) <= _BY_PIN_M
                else None
            ),
            strokes=strokes,
            saved=saved,
            finish=shot_chances(aiming, shot, points.value),
        )

    def _left(self, ball: Ball, noted: NotedShot) -> FloatArray:
        """Distances to the pin that a quarter and three quarters of the balls in play leave at most."""
        own = FewestStrokes(self._strategy, Aiming(self._played, ball, self._taker.player)).own
        shot = best_height(own, own.aiming.place(noted.target), NOTE_POINTS.search, noted.target.height)
        found = finishes(own.aiming, shot, NOTE_POINTS.value)
        ground = self._played.layout.grid.ground_at(found.x_m, found.y_m)
        weight = np.where(np.isin(ground, (Ground.FAIRWAY, Ground.ROUGH)), found.weight, 0.0)
        far_m = np.hypot(found.x_m - self._played.pin_m[0], found.y_m - self._played.pin_m[1])
        order = np.argsort(far_m)
        reached = np.cumsum(weight[order]) / max(weight.sum(), 1e-12)
        at = np.searchsorted(reached, _QUARTERS).clip(max=len(order) - 1)
        left_m: FloatArray = np.maximum(far_m[order][at], _NEAREST_M)
        return left_m

    def _whole(self, length_m: float) -> float:
        step = _TENS * self._taker.unit_m
        return round(length_m / step) * step
