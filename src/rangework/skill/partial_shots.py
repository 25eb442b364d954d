"""Full shots and what lies between: a club held back is harder to hit the right distance with.

Where a profile names the clubs, a target that is no club's full shot takes the next longer club, held back. How much
wider that scatters in depth is an assumption (sources.toml: ``assumption.shots.clubs``).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

#: A club reaches so much beyond its usual full shot without being forced.
STRETCH = 1.02
#: A shot held back to a share ``p`` of the club's full shot is wider by ``1 - p`` in depth, and by this at most.
MOST_WIDER = 0.15
#: Places between the shortest and the longest club that the mean is taken over.
_PLACES = 400


def club_needed(
    target_m: FloatArray | float, full_shots_m: Sequence[float] | FloatArray
) -> NDArray[np.int64]:
    """The shortest club that reaches each target: its place among the full shots, shortest first.

    The number of full shots stands for targets beyond all of them.
    """
    full = STRETCH * np.asarray(full_shots_m, dtype=np.float64)
    return np.asarray(np.searchsorted(full, target_m, side="left"))


def partial_spread(target_m: FloatArray, full_shots_m: Sequence[float]) -> FloatArray:
    """Spread in depth of a shot at each target over the golfer's usual spread at that distance.

    ``full_shots_m``: totals of full shots, shortest first. The usual spread is one over all distances, of full and
    partial shots alike: so full shots are narrower than it and partial ones wider, 1 on average between the shortest
    club and the longest. Below, where usual spreads are of partial shots already, and beyond it is 1.
    """
    target = np.asarray(target_m, dtype=np.float64)
    if len(full_shots_m) < 2:
        return np.ones_like(target)
    full = np.asarray(full_shots_m, dtype=np.float64)
    evenly = np.linspace(full[0], full[-1], _PLACES)
    inside = (target >= full[0]) & (target <= STRETCH * full[-1])
    return np.where(inside, _widening(target, full) / _widening(evenly, full).mean(), 1.0)


def _widening(target: FloatArray, full: FloatArray) -> FloatArray:
    """Spread in depth over that of a full shot."""
    club = full[np.minimum(club_needed(target, full), full.size - 1)]
    return np.asarray(1.0 + np.clip(1.0 - target / club, 0.0, MOST_WIDER))
