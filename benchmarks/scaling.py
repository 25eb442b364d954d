"""How the cost grows with rounds, holes and records: the power that fits each, which is 1 where it is linear.

Run: python benchmarks/scaling.py. Best of 7 for rounds and holes, of 3 for records, on one thread.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from demo_course import REPEATS, best_seconds, demo_grids
from rangework.play.lattice import lay_out
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, solve_course
from rangework.records import read_records
from rangework.skill.reference import reference_golfer
from records_reading import write_aimed


def report(name: str, sizes: Sequence[int], work: Callable[[int], object], repeats: int = REPEATS) -> None:
    seconds = best_seconds([lambda size=size: work(size) for size in sizes], repeats)
    power = np.polyfit(np.log(sizes), np.log(seconds), 1)[0]
    times = ", ".join(f"{size:,}: {spent * 1e3:.0f} ms" for size, spent in zip(sizes, seconds, strict=True))
    print(f"{name}: {times}; power {power:.2f}")


def main() -> None:
    player = compile_player(reference_golfer(12.0))
    layouts = [lay_out(grid) for grid in demo_grids()]
    strategies = solve_course(layouts, player)
    report("rounds", [8192, 32768, 131072], lambda n: play_rounds(strategies, player, n, threads=1))
    # the same holes over again, because holes differ in length
    report("holes", [6, 12, 24], lambda n: solve_course((layouts[:6] * 4)[:n], player, threads=1), 3)
    with tempfile.TemporaryDirectory() as folder:
        sizes = [20_000, 80_000, 320_000]
        for size in sizes:
            write_aimed(Path(folder) / f"{size}.csv", size)
        report("records", sizes, lambda n: read_records([Path(folder) / f"{n}.csv"]), 3)


if __name__ == "__main__":
    main()
