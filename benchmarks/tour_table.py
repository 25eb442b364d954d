"""Expected strokes of the tour golfer beside the published table: ``python benchmarks/tour_table.py``.

The table, its source and its status stand in tests/validation/test_tour_table.py.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from rangework.skill.reference import tour_golfer
from rangework.strokes_gained.expected import expected_strokes_table
from rangework.units import YARD_M

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "validation"))

from test_tour_table import FITTED, TABLE


def main() -> None:
    started = time.process_time()
    table = expected_strokes_table(tour_golfer())
    print(f"table of {table.strokes.size} places: {time.process_time() - started:.1f} s of processor time")
    for lie, rows in TABLE.items():
        yards, published = np.array(list(rows)), np.array(list(rows.values()))
        miss = table.at(int(lie), yards * YARD_M) - published
        low, high = FITTED.get(lie, (40, 260))[:2]
        checked = miss[(yards >= low) & (yards <= high)]
        print(f"\n{lie.name.lower()}, {low}-{high} yd: rms {np.sqrt(np.mean(checked**2)):.3f}, ", end="")
        print(f"largest {np.abs(checked).max():.3f}")
        print("  " + " ".join(f"{at}:{value:+.2f}" for at, value in zip(yards, miss, strict=True)))


if __name__ == "__main__":
    main()
