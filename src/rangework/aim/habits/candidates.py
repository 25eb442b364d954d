"""Rules that a player could remember: round distances, few conditions, targets that can be seen."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import Kind, PinPlace, Shots
from rangework.aim.targets import Base, Target
from rangework.skill.model import CARRY_SHARE, STANDARD, FloatArray
from rangework.units import METRES_PER, Units, shot_unit

#: Distances to the pin at which a rule may begin or end.
_EDGES = {"yards": (100.0, 130.0, 170.0, 200.0), "metres": (90.0, 120.0, 155.0, 185.0)}
_LAY_UPS = {"yards": (60.0, 80.0, 100.0, 120.0, 140.0), "metres": (55.0, 75.0, 90.0, 110.0, 130.0)}
_BESIDE = (-10.0, -5.0, 5.0, 10.0)
#: Off the tee a line may be farther off, and a shorter club a good deal shorter.
_BESIDE_LINE = (-15.0, -10.0, -5.0, 5.0, 10.0, 15.0)
_SHORTEST_CLUB = 0.65
#: How far beyond the pin or the middle a target may lie, or short of it.
_BEYOND = (-10.0, -5.0, 5.0, 10.0)


class Aims:
    """The targets that rules are made of, by kind of shot: each a target and a share of the way inward."""

    def __init__(self, units: Units, tee_table: FloatArray, longest_m: float) -> None:
        self._unit_m = METRES_PER[shot_unit(units)]
        self._units = units
        lengths = range(len(tee_table[STANDARD]))
        flown = [
            length * tee_table[STANDARD, length, CARRY_SHARE] for length in lengths if length <= longest_m
        ]
        self._longest_carry_m = max(flown)

    def of(self, kind: Kind) -> list[tuple[Target, float]]:
        """Targets for shots of a kind."""
        if kind is Kind.APPROACH:
            return list(self._approaches())
        targets = self._tee() if kind is Kind.TEE else self._lay_ups()
        return [(target, 0.0) for target in targets]

    def edges_m(self) -> list[float]:
        """Distances at which an approach rule may begin or end, with no bound at either end."""
        return [0.0, *(edge * self._unit_m for edge in _EDGES[self._units]), math.inf]

    def _approaches(self) -> Iterator[tuple[Target, float]]:
        unit_m = self._unit_m
        for base, inward in ((Base.PIN, 0.0), (Base.PIN, 0.5), (Base.MIDDLE, 0.0)):
            yield Target(base), inward
            for beyond in _BEYOND:
                yield Target(base, long_m=beyond * unit_m), inward
            for beside in _BESIDE:
                yield Target(base, right_m=beside * unit_m), inward

    def _tee(self) -> Iterator[Target]:
        unit_m = self._unit_m
        yield Target(Base.LONGEST)
        for beside in _BESIDE_LINE:
            yield Target(Base.LONGEST, right_m=beside * unit_m)
        step = 10.0 * unit_m
        most = math.floor(0.97 * self._longest_carry_m / step)
        for tens in range(most, math.ceil(_SHORTEST_CLUB * self._longest_carry_m / step) - 1, -1):
            yield Target(Base.CARRY, tens * step)

    def _lay_ups(self) -> Iterator[Target]:
        yield Target(Base.LONGEST)
        for beside in (-10.0, 10.0):
            yield Target(Base.LONGEST, right_m=beside * self._unit_m)
        for left in _LAY_UPS[self._units]:
            yield Target(Base.LAY_UP, left * self._unit_m)


def shot_sets(kind: Kind, edges_m: Sequence[float]) -> Iterator[Shots]:
    """Sets of shots that a rule of a kind may be about; hole by hole not among them."""
    if kind is Kind.APPROACH:
        pins = (None, *PinPlace)
        for (low, high), lie, pin in (
            (bounds, lie, pin)
            for bounds in combinations(edges_m, 2)
            for lie in (None, "fairway", "off the fairway")
            for pin in pins
        ):
            yield Shots(kind, lie=lie, from_m=low, to_m=high, pin=pin)
        return
    lies: tuple[str | None, ...] = (None,) if kind is Kind.TEE else (None, "fairway", "off the fairway")
    for pars in ((), (4,), (5,)):
        for lie in lies:
            yield Shots(kind, pars=pars, lie=lie)


def candidate_rules(aims: Aims) -> Iterator[Rule]:
    """All rules that are tried, but those about single holes."""
    for kind in Kind:
        targets = aims.of(kind)
        for shots in shot_sets(kind, aims.edges_m()):
            for target, inward in targets:
                yield Rule(shots, target, inward)
