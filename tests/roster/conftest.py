"""A small course, quick to play."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

NINE_HOLES = """\
name = "Threlby"

[tees.long]

[every_hole]
pins = ["middle"]
"""
LENGTHS_YD = (300, 270, 140, 110, 155, 95, 170, 125, 80)


@pytest.fixture(scope="session")
def small_course(tmp_path_factory: pytest.TempPathFactory) -> Path:
    holes = [
        f"\n[[holes]]\npar = {4 if length > 200 else 3}\nstroke_index = {number}\nlength_yd = {{ long = {length} }}\n"
        for number, length in enumerate(LENGTHS_YD, start=1)
    ]
    path = tmp_path_factory.mktemp("course") / "nine-holes.toml"
    path.write_text(NINE_HOLES + "".join(holes), encoding="utf-8")
    return path
