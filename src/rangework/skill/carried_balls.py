"""Balls measured where they landed, put in totals: the shot model speaks of where a ball stops."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.skill.model import Golfer, total_of_carry

FloatArray = NDArray[np.float64]

_SHOT_LIES = (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND)


def ball_runs_m(golfer: Golfer, balls: pd.DataFrame) -> FloatArray:
    """What a solid shot at each ball's target runs after it lands; 0 where the ball was measured where it stopped.

    ``balls``: rows of aimed balls from tee, fairway, rough or sand, none hit with the driver. A ball is taken to
    run as its target's solid shot does, wherever it landed (sources.toml ``assumption.shots.landing``).
    """
    target = balls["target_m"].to_numpy(float)
    carried = (balls["measured"] == "carry").to_numpy(bool)
    run = np.zeros(target.size)
    for lie in _SHOT_LIES:
        own = carried & (balls["lie"] == lie).to_numpy(bool)
        if own.any():
            run[own] = total_of_carry(golfer, target[own], lie) - target[own]
    return run
