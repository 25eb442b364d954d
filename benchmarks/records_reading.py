"""Time and memory of reading a million shot records, beside what pandas takes to split the same file.

Run: python benchmarks/records_reading.py [ROWS]. Prints both medians, their ratio (goal: at most 10) and the
peak memory of the reading process (goal: under 1.5 GB).
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd

from rangework.records import read_records

_REPEATS = 3
#: VmHWM, not getrusage: a child inherits its parent's peak there.
_PROGRAM = """
import pathlib, sys
from rangework.records import read_records
n_balls = read_records([pathlib.Path(sys.argv[1])]).n_balls
status = dict(line.split(":", 1) for line in pathlib.Path("/proc/self/status").read_text().splitlines())
print(n_balls, status["VmHWM"].split()[0])
"""
_LOG_HOLES = 18


def write_aimed(path: Path, rows: int) -> None:
    """Aimed balls with every number different, which is the hardest case for reading."""
    rng = np.random.default_rng(1)
    days = np.datetime64("2025-01-01") + rng.integers(0, 400, rows)
    pd.DataFrame(
        {
            "date": days,
            "session": [f"range {number}" for number in rng.integers(0, 400, rows)],
            "place": "range",
            "lie": rng.choice(["fairway", "rough", "tee", "sand"], rows),
            "club": rng.choice(["7 iron", "9 iron", "driver", "sand wedge"], rows),
            "target_yd": rng.uniform(20, 260, rows).round(2),
            "long_yd": rng.normal(0, 9, rows),
            "right_yd": rng.normal(0, 9, rows),
            "measured": "carry",
            "surface": rng.choice(["mat", "grass"], rows),
            "ball": np.arange(rows),
        }
    ).to_csv(path, index=False)


def write_log(path: Path, rows: int) -> None:
    """Rounds of 18 holes with four strokes each."""
    stroke = np.arange(rows)
    number, hole = stroke // (4 * _LOG_HOLES), stroke // 4 % _LOG_HOLES
    step = stroke % 4
    to_hole = np.array([400.0, 160.0, 10.0, 1.5])
    pd.DataFrame(
        {
            "date": "2025-05-04",
            "session": "rounds",
            "place": "course",
            "round": number,
            "hole": hole + 1,
            "stroke": step + 1,
            "lie": np.array(["tee", "fairway", "green", "green"])[step],
            "to_hole_yd": to_hole[step],
            "next_lie": np.array(["fairway", "green", "green", "holed"])[step],
            "left_to_hole_yd": np.array([160.0, 10.0, 1.5, 0.0])[step],
            "penalty": 0,
        }
    ).to_csv(path, index=False)


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def compare(name: str, path: Path, rows: int) -> None:
    pairs = [
        (seconds(lambda: pd.read_csv(path, dtype=str)), seconds(lambda: read_records([path])))
        for _ in range(_REPEATS)
    ]
    split, read = (statistics.median(times) for times in zip(*pairs, strict=True))
    program = [sys.executable, "-c", _PROGRAM, str(path)]
    output = subprocess.run(program, capture_output=True, text=True, check=True)
    balls, peak_kb = map(int, output.stdout.split())
    assert balls == rows
    print(
        f"{name}: {rows:,} rows; pandas.read_csv(dtype=str) {split:.2f} s, read_records {read:.2f} s, "
        f"ratio {read / split:.1f}; peak {peak_kb / 1e6:.2f} GB"
    )


def main() -> None:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    rows -= rows % 4
    with tempfile.TemporaryDirectory() as folder:
        for name, write in (("aimed", write_aimed), ("log", write_log)):
            path = Path(folder) / f"{name}.csv"
            write(path, rows)
            compare(name, path, rows)


if __name__ == "__main__":
    main()
