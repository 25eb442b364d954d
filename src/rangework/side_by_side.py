"""Work shared among processors; no answer depends on how many there are.

The fit walks one chain, for instance: a course can be laid out on the processors that it leaves idle.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

First = TypeVar("First")
Second = TypeVar("Second")


def side_by_side(
    first: Callable[[], First], second: Callable[[], Second], threads: int
) -> tuple[First, Second]:
    """What two pieces of work give, done at the same time where there are processors for both.

    Where both fail, the first's error is raised.
    """
    if threads == 1:
        return first(), second()
    with ThreadPoolExecutor(1) as beside:
        waiting = beside.submit(second)
        return first(), waiting.result()
