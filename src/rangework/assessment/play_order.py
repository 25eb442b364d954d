"""An order of play at random in which no ball is like the one before it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from itertools import pairwise

import numpy as np


def play_order(kinds: Sequence[Hashable], luck: np.random.Generator) -> list[int]:
    """The balls, by their places in ``kinds``, in an order at random without two of one kind running.

    Where one kind is more than half of all that cannot be had: its balls are then spread as far as they go.
    """
    waiting = {kind: [int(ball) for ball in luck.permutation(_places(kinds, kind))] for kind in set(kinds)}
    left = Counter(kinds)
    order: list[int] = []
    last: Hashable = None
    first_of = list(dict.fromkeys(kinds))  # sets have no order to repeat
    while left.total():
        kind = _next_kind(left, first_of, last, luck)
        order.append(waiting[kind].pop())
        left[kind] -= 1
        last = kind
    return order


def _places(kinds: Sequence[Hashable], kind: Hashable) -> list[int]:
    return [ball for ball, each in enumerate(kinds) if each == kind]


def _next_kind(
    left: Counter[Hashable], kinds: Sequence[Hashable], last: Hashable, luck: np.random.Generator
) -> Hashable:
    """A kind at random among those whose choice still lets the rest be kept apart."""
    open_kinds = [kind for kind in kinds if left[kind] and kind != last] or [last]
    most = max(open_kinds, key=lambda kind: left[kind])
    if left[most] > left.total() // 2:
        return most  # any other now, and two of these would have to run
    shares = np.array([left[kind] for kind in open_kinds], dtype=np.float64)
    return open_kinds[int(luck.choice(len(open_kinds), p=shares / shares.sum()))]


def running_alike(kinds: Sequence[Hashable]) -> int:
    """How many balls are like the one before."""
    return sum(first == second for first, second in pairwise(kinds))
