"""What one step of each part saves a usual golfer: weights for questions that are asked without a course.

Reference golfers on 18 standard holes (``STANDARD_CARD_YD``; sources.toml ``assumption.usual_worths``). A named
course replaces them. Biases are left out: a reference golfer has none.
"""

from __future__ import annotations

import numpy as np

from rangework.skill.parts import PART_IDS

#: Lengths (yd) of the 18 standard holes the worths were played on: par 71, 6,475 yards.
STANDARD_CARD_YD = (
    385, 160, 505, 340, 410, 180, 365, 520, 395,
    370, 145, 400, 490, 350, 195, 420, 330, 515,
)  # fmt: skip

#: Handicap indices of the columns below.
LEVELS = (-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0)
#: Strokes a round saved by one step, by part and level.
WORTHS: dict[str, tuple[float, ...]] = {
    "tee.carry": (0.22, 0.25, 0.29, 0.37, 0.41, 0.41, 0.39, 0.39, 0.41),
    "tee.direction": (0.43, 0.42, 0.51, 0.58, 0.62, 0.68, 0.72, 0.78, 0.87),
    "tee.poor_strikes": (0.05, 0.07, 0.10, 0.15, 0.20, 0.26, 0.32, 0.39, 0.47),
    "approach_50_100.depth": (0.12, 0.09, 0.09, 0.11, 0.17, 0.23, 0.29, 0.35, 0.40),
    "approach_50_100.direction": (0.09, 0.07, 0.07, 0.07, 0.10, 0.14, 0.18, 0.22, 0.26),
    "approach_100_150.depth": (0.11, 0.15, 0.19, 0.21, 0.21, 0.21, 0.23, 0.30, 0.35),
    "approach_100_150.direction": (0.12, 0.16, 0.20, 0.24, 0.30, 0.34, 0.39, 0.63, 0.81),
    "approach_150_200.depth": (0.10, 0.16, 0.19, 0.20, 0.17, 0.18, 0.18, 0.12, 0.09),
    "approach_150_200.direction": (0.11, 0.18, 0.25, 0.40, 0.47, 0.54, 0.60, 0.44, 0.38),
    "approach_200_up.depth": (0.06, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach_200_up.direction": (0.07, 0.05, 0.06, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach.poor_strikes": (0.24, 0.27, 0.35, 0.46, 0.60, 0.77, 0.97, 1.18, 1.44),
    "approach.rough": (0.03, 0.04, 0.06, 0.09, 0.11, 0.13, 0.16, 0.18, 0.21),
    "chip": (0.07, 0.08, 0.10, 0.12, 0.14, 0.17, 0.19, 0.22, 0.26),
    "pitch": (0.13, 0.13, 0.18, 0.27, 0.35, 0.41, 0.44, 0.47, 0.52),
    "bunker": (0.06, 0.07, 0.10, 0.14, 0.17, 0.19, 0.20, 0.22, 0.24),
    "short_game.poor_strikes": (0.06, 0.06, 0.10, 0.16, 0.21, 0.27, 0.33, 0.38, 0.46),
    "putt.line": (0.54, 0.54, 0.55, 0.57, 0.59, 0.61, 0.63, 0.66, 0.68),
    "putt.pace": (0.22, 0.30, 0.35, 0.39, 0.43, 0.47, 0.51, 0.55, 0.59),
}


def usual_worths(level: float) -> dict[str, float]:
    """Strokes a round that one step of each part saves a reference golfer of that handicap index."""
    unknown = (0.0,) * len(LEVELS)
    return {part: float(np.interp(level, LEVELS, WORTHS.get(part, unknown))) for part in PART_IDS}
