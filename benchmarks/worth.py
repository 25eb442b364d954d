"""Time of the worth of all parts beyond the strategy, its Monte Carlo error, and the time of posterior draws.

Run: python benchmarks/worth.py [DRAWS [CHECKED]]. Demo course, handicap 12, two threads; the draws are golfers whose
handicaps lie around it. Goals: all worths at an error of at most 0.005 strokes a round in under 0.5 s. CHECKED draws
(0) are valued on many points and the fine layout as well: how far off few points and a coarse one put them.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

import numpy as np

from demo_course import argument, best_seconds, demo_grids
from rangework.play.lattice import lay_out
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer
from rangework.worth.savings import WorthPoints, golfer_worths
from rangework.worth.table import part_worths


def main() -> None:
    golfer = reference_golfer(12.0)
    strategies = solve_course([lay_out(grid) for grid in demo_grids()], compile_player(golfer))
    rng = np.random.default_rng(1)
    draws = [reference_golfer(float(index)) for index in rng.normal(12.0, 1.5, argument(100))]
    works = [lambda: golfer_worths(strategies, golfer), lambda: part_worths(strategies, golfer, [])]
    once, every = best_seconds(works, 3)
    table = part_worths(strategies, golfer, [])
    print(f"all worths once {once:.2f} s (goal < 0.5); with their error {every:.2f} s")
    print(f"largest Monte Carlo error {table.standard_error.max():.4f} strokes a round (goal <= 0.005)")
    part_worths(strategies, golfer, draws[:2])
    start, used = time.perf_counter(), time.process_time()
    part_worths(strategies, golfer, draws)
    wall, used = time.perf_counter() - start, time.process_time() - used
    print(f"{len(draws)} draws: {wall:.1f} s by the clock, {used:.1f} s of processor time over two threads")
    if checked := int(sys.argv[2]) if len(sys.argv) > 2 else 0:
        told_off(strategies, golfer, draws[:checked])


def told_off(strategies: Sequence[Strategy], mean: Golfer, draws: Sequence[Golfer]) -> None:
    """Print how far the worths of draws are from those of two tables of many points on the fine layout."""
    told = part_worths(strategies, mean, draws).draws
    many = [WorthPoints.many(), WorthPoints.many(0.41)]
    known = [
        np.mean([golfer_worths(strategies, draw, aimed_by=mean, points=points) for points in many], axis=0)
        for draw in draws
    ]
    off = told - np.array(known)
    print(
        f"{len(draws)} draws beside many points: root mean square {np.sqrt(np.mean(off**2)):.4f} a draw and part"
    )
    together = off.mean(axis=0)
    print(
        f"their mean by part: root mean square {np.sqrt(np.mean(together**2)):.4f}, "
        f"largest {np.abs(together).max():.4f} (worth {np.mean(known, axis=0)[np.abs(together).argmax()]:.2f})"
    )


if __name__ == "__main__":
    main()
