"""Records of a player for the commands that fit one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    rng = np.random.default_rng(1)
    lines = ["date,session,place,lie,club,target_yd,long_yd,right_yd"]
    for club, target in (("driver", 220), ("seven", 140)):
        lie = "tee" if club == "driver" else "fairway"
        lines += [
            f"2026-05-04,first,range,{lie},{club},{target},{rng.normal(-2, 9):.1f},{rng.normal(1, 10):.1f}"
            for _ in range(30)
        ]
    path = tmp_path_factory.mktemp("records") / "range.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


#: Nine short holes: two par 4s, then par 3s, quick to play.
LENGTHS_YD = (300, 270, 140, 110, 155, 95, 170, 125, 80)
NINE_HOLES = """\
name = "Threlby"

[tees.long]
men = { rating = 28.4, slope = 108 }

[tees.short]

[every_hole]
pins = ["middle", "back"]
bunkers = [{ green = "left" }]
"""
HOLE = """
[[holes]]
par = %d
stroke_index = %d
length_yd = { long = %d, short = %d }
out = [{ side = "right", offset_yd = 40 }]
"""


@pytest.fixture(scope="session")
def small_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    holes = [
        HOLE % (4 if length > 200 else 3, number, length, length - 20)
        for number, length in enumerate(LENGTHS_YD, start=1)
    ]
    path = tmp_path_factory.mktemp("course") / "nine-holes.toml"
    path.write_text(NINE_HOLES + "".join(holes), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def card(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two rounds of the nine holes, stroke by stroke, without a penalty."""
    lines = ["date,place,round,hole,stroke,lie,to_hole_yd,next_lie,left_to_hole_yd,penalty"]
    for number in (1, 2):
        for hole, length in enumerate(LENGTHS_YD, start=1):
            path = [length, 60, 20, 4, 0.5, 0] if length > 200 else [length, 20, 4, 0.5, 0]
            lies = ["tee", *(["fairway"] if length > 200 else []), "rough", "green", "green", "holed"]
            lines += [
                f"2026-05-0{number},course,{number},{hole},{stroke},{lies[stroke - 1]},{path[stroke - 1]},"
                f"{lies[stroke]},{path[stroke]},0"
                for stroke in range(1, len(path))
            ]
    path = tmp_path_factory.mktemp("card") / "card.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path
