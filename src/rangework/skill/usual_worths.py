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
    "tee.carry": (0.20, 0.26, 0.32, 0.35, 0.40, 0.41, 0.40, 0.41, 0.44),
    "tee.direction": (0.44, 0.44, 0.52, 0.57, 0.61, 0.69, 0.72, 0.78, 0.84),
    "tee.poor_strikes": (0.05, 0.07, 0.10, 0.15, 0.20, 0.26, 0.32, 0.38, 0.46),
    "approach_50_100.depth": (0.13, 0.10, 0.09, 0.11, 0.17, 0.23, 0.29, 0.35, 0.40),
    "approach_50_100.direction": (0.09, 0.07, 0.06, 0.07, 0.09, 0.13, 0.17, 0.21, 0.25),
    "approach_100_150.depth": (0.11, 0.16, 0.19, 0.21, 0.20, 0.21, 0.23, 0.32, 0.36),
    "approach_100_150.direction": (0.11, 0.16, 0.19, 0.24, 0.28, 0.32, 0.38, 0.67, 0.80),
    "approach_150_200.depth": (0.09, 0.16, 0.20, 0.22, 0.20, 0.19, 0.16, 0.10, 0.09),
    "approach_150_200.direction": (0.10, 0.17, 0.25, 0.40, 0.48, 0.56, 0.59, 0.41, 0.39),
    "approach_200_up.depth": (0.06, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach_200_up.direction": (0.07, 0.04, 0.05, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach.poor_strikes": (0.24, 0.27, 0.35, 0.45, 0.59, 0.76, 0.96, 1.17, 1.43),
    "approach.rough": (0.03, 0.04, 0.06, 0.08, 0.11, 0.13, 0.15, 0.18, 0.21),
    "chip": (0.09, 0.11, 0.14, 0.17, 0.19, 0.23, 0.26, 0.29, 0.33),
    "pitch": (0.14, 0.14, 0.20, 0.29, 0.37, 0.42, 0.46, 0.49, 0.54),
    "bunker": (0.05, 0.06, 0.09, 0.13, 0.16, 0.18, 0.20, 0.22, 0.24),
    "short_game.poor_strikes": (0.06, 0.06, 0.10, 0.16, 0.22, 0.28, 0.34, 0.40, 0.48),
    "putt.line": (0.54, 0.53, 0.55, 0.57, 0.58, 0.60, 0.62, 0.64, 0.67),
    "putt.pace": (0.21, 0.29, 0.33, 0.37, 0.41, 0.45, 0.49, 0.53, 0.57),
}


def usual_worths(level: float) -> dict[str, float]:
    """Strokes a round that one step of each part saves a reference golfer of that handicap index."""
    unknown = (0.0,) * len(LEVELS)
    return {part: float(np.interp(level, LEVELS, WORTHS.get(part, unknown))) for part in PART_IDS}
