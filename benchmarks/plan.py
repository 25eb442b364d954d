"""Time and peak memory of the whole process of `rangework plan` on the demo, everything compiled.

    python benchmarks/plan.py [RUNS]
    python benchmarks/plan.py --where

Runs it once to compile what is not yet, then RUNS times (3), and reports each run: seconds by the clock, seconds of
processor time over all threads, and the most memory held. On a machine that others use as well, processor
time over the number of processors is what the clock would show on a quiet one, at best. With --where it is run once
more in a process that tells the seconds of each stage (`plan_stages.py`).
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PROGRAM = Path(sys.executable).with_name("rangework")
GOAL_S, GOAL_MB = 15.0, 700.0


def measured(arguments: list[str]) -> tuple[float, float, float]:
    """Seconds by the clock, processor seconds, and peak memory (MB) of one run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run([str(PROGRAM), *arguments], check=True, stdout=subprocess.DEVNULL)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, used, after.ru_maxrss / 1024.0


def plan_of_demo(folder: Path) -> list[str]:
    """The arguments that plan six hours for the demo's player."""
    subprocess.run([str(PROGRAM), "demo", str(folder)], check=True, stdout=subprocess.DEVNULL)
    return [
        "plan",
        *(str(file) for file in sorted(folder.glob("*.csv"))),
        *("--mapping", str(folder / "mapping-device.toml")),
        *("--profile", str(folder / "player.toml")),
        *("--course", str(folder / "course.toml")),
        *("--drills", str(folder / "drills.toml")),
        *("--hours", "6", "--draws", "100"),
    ]


def main() -> None:
    """Measure and report."""
    where = "--where" in sys.argv
    runs = int(sys.argv[1]) if len(sys.argv) > 1 and not where else 3
    with tempfile.TemporaryDirectory() as folder:
        arguments = plan_of_demo(Path(folder) / "demo")
        measured(arguments)
        if where:
            stages = Path(__file__).with_name("plan_stages.py")
            subprocess.run([sys.executable, str(stages), *arguments], check=True)
            return
        print(f"{len(os.sched_getaffinity(0))} processors, load {os.getloadavg()[0]:.1f}; 100 draws")
        for number in range(runs):
            wall, used, memory = measured(arguments)
            print(f"run {number + 1}: {wall:.1f} s by the clock, {used:.1f} s of processor, {memory:.0f} MB")
    print(f"goal: under {GOAL_S:.0f} s on two processors that nobody else uses, under {GOAL_MB:.0f} MB")


if __name__ == "__main__":
    main()
