"""In what order rules are told: those that save most first, an exception after the rule that it is taken from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rangework.aim.habits.rules import Rule


@dataclass(frozen=True, slots=True)
class ToldRule:
    """A rule by its place in the list that is read from the top, and whether it is an exception to one told before."""

    place: int
    exception: bool


def in_telling_order(rules: Sequence[Rule], saved: Sequence[float]) -> Iterator[ToldRule]:
    """The rules so that the last one that fits a shot holds; ``rules`` are such that the first does.

    Of two rules that may meet in a shot, the one that gives way is told first; else the one that saves more.
    """
    left = list(range(len(rules)))
    told: list[int] = []
    while left:
        free = [one for one in left if not any(_gives_way(other, one, rules) for other in left)]
        best = max(free, key=lambda place: saved[place])
        yield ToldRule(best, any(_gives_way(other, best, rules) for other in told))
        left.remove(best)
        told.append(best)


def _gives_way(other: int, one: int, rules: Sequence[Rule]) -> bool:
    """Whether ``other`` stands below ``one`` and both may fit a shot."""
    return other > one and rules[other].shots.meets(rules[one].shots)
