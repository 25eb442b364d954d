"""What the benchmarks share: the holes of the demo course, and the best of several interleaved timings."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import rangework.demo
from rangework.course import ground_grid, read_course
from rangework.course.ground_grid import GroundGrid

REPEATS = 7


def demo_grids() -> list[GroundGrid]:
    """The 18 holes from the back tee to the middle pin."""
    course = read_course(Path(rangework.demo.__file__).parent / "files" / "course.toml")
    return [
        ground_grid(hole, "back", "middle" if "middle" in hole.pins else next(iter(hole.pins)))
        for hole in course.holes
    ]


def best_seconds(
    works: Sequence[Callable[[], object]],
    repeats: int = REPEATS,
    clock: Callable[[], float] = time.perf_counter,
) -> list[float]:
    """The best time of each piece of work, all of them once a turn, after one turn to warm up."""
    best = [float("inf")] * len(works)
    for turn in range(repeats + 1):
        for place, work in enumerate(works):
            start = clock()
            work()
            if turn:
                best[place] = min(best[place], clock() - start)
    return best


def argument(default: int) -> int:
    """The first number on the command line."""
    return int(sys.argv[1]) if len(sys.argv) > 1 else default
