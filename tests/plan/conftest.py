"""Small planning cases that several tests share."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.plan.drills import Drill
from rangework.plan.response import ResponseDraws, draw_responses, responses_for
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]

#: Strokes a round per step, of the size that prototypes found at handicap 10; order of PARTS.
WORTHS = np.concatenate(
    [
        [0.35, 0.45, 0.10, 0.30],
        [0.05, 0.06, 0.02, 0.12, 0.12, 0.03, 0.20, 0.20, 0.05, 0.20, 0.20, 0.05, 0.30, 0.10],
        [0.18, 0.15, 0.08, 0.30],
        [0.70, 0.30],
    ]
)


@pytest.fixture
def saved() -> FloatArray:
    rng = np.random.default_rng(11)
    return np.asarray(WORTHS * np.exp(0.3 * rng.standard_normal((120, len(WORTHS)))))


@pytest.fixture
def responses() -> ResponseDraws:
    return draw_responses(responses_for(10.0), 120, np.random.default_rng(12))


@pytest.fixture
def plain_drills() -> tuple[Drill, ...]:
    """One drill for each part, a whole hour of each acting on it, at the putting green."""
    return tuple(
        Drill(part, part, "putting_green", {part: 1.0}, 60.0, 0.0, least_block_minutes=5) for part in PART_IDS
    )
