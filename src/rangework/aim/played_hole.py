"""A hole as it is aimed at: the line of play and the middle of the green on the plane that it is played on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from rangework.course.drawn_green import green_of
from rangework.course.geometry import Hole, Point
from rangework.play.lattice import Layout

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class PlayedHole:
    """A hole from one tee to one pin.

    ``line_m`` (n, 2) is the line of play, its end moved to the pin, and ``middle_m`` the middle of the green, both
    on the plane of ``layout.grid``: metres, the tee at (0, 0), the pin straight ahead.
    """

    layout: Layout
    line_m: FloatArray
    middle_m: Point

    @classmethod
    def of(cls, hole: Hole, layout: Layout) -> PlayedHole:
        """The hole that ``layout`` was made from."""
        grid = layout.grid
        line = np.vstack([grid.from_hole(hole.line[:-1]), [grid.pin_m]])
        x, y = grid.from_hole(np.asarray(green_of(hole).middle)).tolist()
        return cls(layout, line, (x, y))

    @property
    def pin_m(self) -> Point:
        """The pin."""
        return self.layout.grid.pin_m

    @property
    def start_m(self) -> Point:
        """Where the line of play begins."""
        x, y = self.line_m[0].tolist()
        return x, y

    def before_pin(self, distance_m: float) -> Point | None:
        """The place on the line of play from which the pin is that far, as the crow flies; None beyond its start."""
        found = _crossings(self.line_m, self.pin_m, distance_m)
        return _at(self.line_m, found[-1]) if found else None

    def ahead(self, start_m: Point, distance_m: float) -> Point:
        """The place on the line of play that far ahead of ``start_m``; beyond its end, on the line through the pin."""
        passed = _nearest(self.line_m, start_m)
        found = [place for place in _crossings(self.line_m, start_m, distance_m) if place >= passed]
        if found:
            return _at(self.line_m, found[0])
        right, forward = heading(start_m, self.pin_m)
        return start_m[0] + distance_m * right, start_m[1] + distance_m * forward

    def shown(self, place_m: Point) -> bool:
        """Whether the map of the hole reaches that far."""
        rows, columns = self.layout.grid.ground.shape
        x, y = self.layout.grid.origin_m
        size = self.layout.grid.cell_m
        right, far = x + columns * size, y + rows * size
        return bool(x <= place_m[0] <= right and y <= place_m[1] <= far)


def heading(start_m: Point, end_m: Point) -> Point:
    """The unit vector from one place to another; straight ahead where they are the same."""
    dx, dy = end_m[0] - start_m[0], end_m[1] - start_m[1]
    far = math.hypot(dx, dy)
    return (dx / far, dy / far) if far > 0.0 else (0.0, 1.0)


def seen_from(ball: Point, base: Point, place: Point) -> tuple[float, float]:
    """How far right of ``base`` and beyond it a place lies, looking from the ball at the base."""
    right, forward = heading(ball, base)
    dx, dy = place[0] - base[0], place[1] - base[1]
    return dx * forward - dy * right, dx * right + dy * forward


def _crossings(line: FloatArray, centre: Point, radius: float) -> list[float]:
    """Where a line crosses a circle: leg number and the share of the leg, in the order of the line."""
    places = []
    for leg, (start, end) in enumerate(pairwise(line - np.asarray(centre))):
        along = end - start
        a, b, c = float(along @ along), float(start @ along), float(start @ start) - radius * radius
        inside = b * b - a * c
        if a == 0.0 or inside < 0.0:
            continue
        shares = ((-b + sign * math.sqrt(inside)) / a for sign in (-1.0, 1.0))
        places += [leg + share for share in shares if 0.0 <= share <= 1.0]
    return places


def _nearest(line: FloatArray, place: Point) -> float:
    """The place of a line nearest to a point: leg number and the share of the leg."""
    best, where = math.inf, 0.0
    for leg, (start, end) in enumerate(pairwise(line)):
        along = end - start
        length = float(along @ along)
        share = min(max(float((np.asarray(place) - start) @ along) / length, 0.0), 1.0) if length else 0.0
        far = math.dist(start + share * along, place)
        if far < best:
            best, where = far, leg + share
    return where


def _at(line: FloatArray, place: float) -> Point:
    leg = min(int(place), len(line) - 2)
    x, y = (line[leg] + (place - leg) * (line[leg + 1] - line[leg])).tolist()
    return x, y
