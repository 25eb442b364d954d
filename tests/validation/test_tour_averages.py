"""Negative controls of the tour's averages and proximities, which sections/averages.py and proximity.py check."""

from __future__ import annotations

import numpy as np
import pytest
from comparison import Effort
from played import TOUR, Level, averages, played
from published.tour import AVERAGES, PROXIMITY_FT
from simulated_shots import planned_shots

from rangework.lie import Lie
from rangework.play.points import error_points
from rangework.units import FOOT_M, YARD_M

QUICK = Effort(quick=True)


@pytest.mark.slow
def test_a_scratch_golfer_is_no_tour_golfer() -> None:
    got = averages(played(Level(0.0), "long", QUICK))
    for name in ("greens", "putts", "scrambling", "drive"):
        assert abs(got[name] - AVERAGES[name].published) > AVERAGES[name].goal


@pytest.mark.slow
def test_a_bogey_golfer_leaves_approaches_farther_away() -> None:
    bogey = Level(20.0).golfer
    strategy = next(s for s in played(TOUR, "long", QUICK).strategies if s.layout.par == 5)
    hit = planned_shots(strategy, bogey, Lie.FAIRWAY, 137.5 * YARD_M, shots=2_000)
    assert np.nanmean(hit.to_pin_m) / FOOT_M > 1.5 * PROXIMITY_FT[Lie.FAIRWAY][125, 150]


def test_error_points_reach_every_surface() -> None:
    """The fixed tables that expectations are taken over hold tails, or misses would not count."""
    assert np.abs(error_points(640, 128, 0.3, 8).solid).max() > 3.0
