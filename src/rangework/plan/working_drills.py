"""Drills that may do nothing for a player: nobody can know beforehand which, so plans weigh the chance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from rangework.plan.drills import Drill

FloatArray = NDArray[np.float64]

BASIS = "assumption.plan.useless_drills"


def draw_working(drills: Sequence[Drill], n: int, rng: np.random.Generator) -> Mapping[str, FloatArray]:
    """By id of a drill, [n] 1 where it works for the player and 0 where it does nothing.

    As many draws fail as the drill's ``chance_useless`` says, to one more or less, in an order of its own.
    """
    return {
        drill.id: (rng.permutation((np.arange(n) + rng.random()) / n) >= drill.chance_useless).astype(float)
        for drill in drills
    }
