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
    "tee.carry": (0.22, 0.26, 0.30, 0.36, 0.41, 0.43, 0.43, 0.45, 0.47),
    "tee.direction": (0.43, 0.42, 0.50, 0.57, 0.59, 0.68, 0.72, 0.79, 0.86),
    "tee.poor_strikes": (0.06, 0.06, 0.11, 0.16, 0.21, 0.28, 0.34, 0.42, 0.52),
    "approach_50_100.depth": (0.12, 0.11, 0.10, 0.12, 0.18, 0.27, 0.36, 0.43, 0.54),
    "approach_50_100.direction": (0.09, 0.08, 0.07, 0.07, 0.10, 0.16, 0.22, 0.29, 0.39),
    "approach_100_150.depth": (0.11, 0.15, 0.20, 0.22, 0.23, 0.23, 0.33, 0.37, 0.44),
    "approach_100_150.direction": (0.12, 0.15, 0.19, 0.24, 0.30, 0.39, 0.73, 0.88, 1.36),
    "approach_150_200.depth": (0.10, 0.17, 0.20, 0.20, 0.16, 0.16, 0.07, 0.08, 0.05),
    "approach_150_200.direction": (0.10, 0.17, 0.30, 0.39, 0.48, 0.56, 0.35, 0.36, 0.10),
    "approach_200_up.depth": (0.06, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach_200_up.direction": (0.07, 0.03, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00),
    "approach.poor_strikes": (0.24, 0.27, 0.36, 0.47, 0.63, 0.83, 1.07, 1.35, 1.72),
    "approach.rough": (0.04, 0.04, 0.06, 0.09, 0.11, 0.15, 0.18, 0.23, 0.29),
    "chip": (0.09, 0.10, 0.14, 0.17, 0.21, 0.27, 0.34, 0.40, 0.50),
    "pitch": (0.14, 0.12, 0.20, 0.30, 0.40, 0.46, 0.52, 0.59, 0.68),
    "bunker": (0.04, 0.05, 0.08, 0.11, 0.14, 0.16, 0.19, 0.21, 0.25),
    "short_game.poor_strikes": (0.06, 0.06, 0.10, 0.16, 0.23, 0.30, 0.38, 0.48, 0.62),
    "putt.line": (0.54, 0.59, 0.65, 0.71, 0.77, 0.83, 0.90, 0.97, 1.06),
    "putt.pace": (0.21, 0.25, 0.29, 0.32, 0.34, 0.37, 0.40, 0.42, 0.45),
}


def usual_worths(level: float) -> dict[str, float]:
    """Strokes a round that one step of each part saves a reference golfer of that handicap index."""
    unknown = (0.0,) * len(LEVELS)
    return {part: float(np.interp(level, LEVELS, WORTHS.get(part, unknown))) for part in PART_IDS}
