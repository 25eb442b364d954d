"""Which shots a habit or a rule is about, and what every place of a hole asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from rangework.aim.played_hole import PlayedHole
from rangework.course.geometry import Course
from rangework.lie import Ground, Lie
from rangework.play.kernels import WALK_BELOW_M
from rangework.play.lattice import Layout

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]

#: A pin nearer than this to the edge of the green is tucked (6 yd; a choice of words, not of numbers).
TUCKED_M = 5.4864
#: A green this much farther than the longest shot is still in reach: rounding, as for targets.
SPARE_M = 0.6
#: A pin this near to the middle of the green is on neither half of it.
_BESIDE_M = 0.5


class Kind(Enum):
    """What a full shot is for. Shorter ones, and shots from among trees, no habit speaks of."""

    TEE = "tee"  #: off the tee of a par 4 or par 5
    APPROACH = "approach"  #: the pin is in reach; par-3 tee shots included
    LONG = "long"  #: after the tee shot, the pin still out of reach


class PinPlace(Enum):
    """Where on its green the pin stands, as seen from the ball."""

    RIGHT = "right"
    LEFT = "left"
    FRONT = "front"
    BACK = "back"
    TUCKED = "tucked"  #: near the edge of the green
    OPEN = "open"  #: not tucked


_OPPOSITE_PINS = (
    {PinPlace.RIGHT, PinPlace.LEFT},
    {PinPlace.FRONT, PinPlace.BACK},
    {PinPlace.TUCKED, PinPlace.OPEN},
)

#: Lies by the words of a habits file.
LIE_SETS = {
    "fairway": frozenset({Lie.TEE, Lie.FAIRWAY}),
    "rough": frozenset({Lie.ROUGH}),
    "sand": frozenset({Lie.SAND}),
    "off the fairway": frozenset({Lie.ROUGH, Lie.SAND}),
}


@dataclass(frozen=True, slots=True)
class Shots:
    """Shots that a rule is about: those of ``kind`` that meet every condition given.

    ``lie`` is a key of ``LIE_SETS`` (the tee of a par 3 counts as fairway); distances are those to the pin, from
    ``from_m`` on and below ``to_m``.
    """

    kind: Kind
    holes: tuple[int, ...] = ()
    pars: tuple[int, ...] = ()
    lie: str | None = None
    from_m: float = 0.0
    to_m: float = float("inf")
    pin: PinPlace | None = None

    def meets(self, other: Shots) -> bool:
        """Whether some shot may be one of both."""
        return (
            self.kind is other.kind
            and self.from_m < other.to_m
            and other.from_m < self.to_m
            and (not self.holes or not other.holes or not set(self.holes).isdisjoint(other.holes))
            and (not self.pars or not other.pars or not set(self.pars).isdisjoint(other.pars))
            and (not self.lie or not other.lie or not LIE_SETS[self.lie].isdisjoint(LIE_SETS[other.lie]))
            and {self.pin, other.pin} not in _OPPOSITE_PINS
        )

    @property
    def conditions(self) -> int:
        """How many conditions a player must remember beside the kind of shot."""
        bounded = self.from_m > 0.0 or self.to_m < float("inf")
        return sum((bool(self.holes), bool(self.pars), self.lie is not None, bounded, self.pin is not None))


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What places ask for: kind of full shot, hole, par, lie, distance to the pin and where that stands, by place."""

    kinds: Mapping[Kind, Mask]
    hole: NDArray[np.int64]
    par: NDArray[np.int64]
    row: NDArray[np.int64]
    to_pin_m: FloatArray
    pins: Mapping[PinPlace, Mask]

    def of_shots(self, shots: Shots) -> Mask:
        """The places whose shot is one of ``shots``."""
        held = self.kinds[shots.kind] & (self.to_pin_m >= shots.from_m) & (self.to_pin_m < shots.to_m)
        if shots.holes:
            held &= np.isin(self.hole, shots.holes)
        if shots.pars:
            held &= np.isin(self.par, shots.pars)
        if shots.lie is not None:
            held &= np.isin(self.row, [int(lie) for lie in LIE_SETS[shots.lie]])
        return held & self.pins[shots.pin] if shots.pin else held

    @classmethod
    def together(cls, parts: Sequence[Asked]) -> Asked:
        """The places of several, one after another."""
        return cls(
            {kind: np.concatenate([each.kinds[kind] for each in parts]) for kind in Kind},
            np.concatenate([each.hole for each in parts]),
            np.concatenate([each.par for each in parts]),
            np.concatenate([each.row for each in parts]),
            np.concatenate([each.to_pin_m for each in parts]),
            {pin: np.concatenate([each.pins[pin] for each in parts]) for pin in PinPlace},
        )


@dataclass(frozen=True, slots=True, eq=False)
class HolePlaces:
    """A hole as it is played, and what each node of its layout asks for."""

    played: PlayedHole
    asked: Asked

    @classmethod
    def of(cls, played: PlayedHole, longest_m: FloatArray) -> HolePlaces:
        """The places of a hole for a golfer whose longest targets by lie are ``longest_m``."""
        layout = played.layout
        nodes, count = layout.nodes, len(layout.nodes.x)
        dx, dy = played.pin_m[0] - nodes.x, played.pin_m[1] - nodes.y
        to_pin_m = np.hypot(dx, dy)
        asked = Asked(
            _kinds(layout, to_pin_m, longest_m),
            np.full(count, layout.number),
            np.full(count, layout.par),
            nodes.row,
            to_pin_m,
            _pins(played, dx, dy),
        )
        return cls(played, asked)


def _pins(played: PlayedHole, dx: FloatArray, dy: FloatArray) -> dict[PinPlace, Mask]:
    """Where the pin stands beside the middle of the green, seen along (dx, dy)."""
    off_x, off_y = played.pin_m[0] - played.middle_m[0], played.pin_m[1] - played.middle_m[1]
    far = np.maximum(np.hypot(dx, dy), 1e-9)
    right_m, long_m = (off_x * dy - off_y * dx) / far, (off_x * dx + off_y * dy) / far
    tucked = np.full(len(dx), edge_m(played.layout) < TUCKED_M)
    return {
        PinPlace.RIGHT: right_m > _BESIDE_M,
        PinPlace.LEFT: right_m < -_BESIDE_M,
        PinPlace.FRONT: long_m < -_BESIDE_M,
        PinPlace.BACK: long_m > _BESIDE_M,
        PinPlace.TUCKED: tucked,
        PinPlace.OPEN: ~tucked,
    }


def _kinds(layout: Layout, to_pin_m: FloatArray, longest_m: FloatArray) -> dict[Kind, Mask]:
    nodes = layout.nodes
    full = (to_pin_m >= WALK_BELOW_M) & (nodes.row != int(Lie.RECOVERY))
    reached = to_pin_m <= longest_m[nodes.reach] + SPARE_M
    tee = np.arange(len(to_pin_m)) == layout.tee_node
    driving = tee & (layout.par > 3)
    return {
        Kind.TEE: driving & full,
        Kind.APPROACH: full & reached & ~driving,
        Kind.LONG: full & ~reached & ~tee,
    }


def edge_m(layout: Layout) -> float:
    """How far the pin is from the nearest ground that is not green."""
    grid = layout.grid
    x, y = np.meshgrid(*grid.cell_centres())
    away = np.hypot(x - grid.pin_m[0], y - grid.pin_m[1])
    return float(away[grid.ground != int(Ground.GREEN)].min()) - 0.5 * grid.cell_m


def course_places(course: Course, layouts: Sequence[Layout], longest_m: FloatArray) -> list[HolePlaces]:
    """The places of every hole."""
    by_number = {hole.number: hole for hole in course.holes}
    return [HolePlaces.of(PlayedHole.of(by_number[each.number], each), longest_m) for each in layouts]
