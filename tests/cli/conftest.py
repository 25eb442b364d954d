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
