"""Expected strokes of the tour golfer against the published tour table, and tour averages as unfitted checks.

The table, its source and its status: published/tour.py. Its long rows other than the tee are not checked.

Fitted to this table (by hand and by the prototypes of the shot model): depth and direction of full swings,
rough and sand factors, poor strikes, and by hand the surroundings of a standard hole. So fairway, rough,
sand and tee below show how well the form fits, not that it predicts. Not fitted: recovery, proximity, and
every tour average.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from published.tour import EXPECTED_STROKES as TABLE

from rangework.course.standard_hole import Surroundings
from rangework.lie import Lie
from rangework.skill import model
from rangework.skill.model import Golfer
from rangework.skill.reference import tour_golfer
from rangework.strokes_gained.expected import expected_strokes
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: Yards checked, greatest root mean square and greatest single residual (strokes).
FITTED = {
    Lie.TEE: (380, 560, 0.05, 0.07),
    Lie.FAIRWAY: (20, 250, 0.03, 0.07),
    Lie.ROUGH: (20, 250, 0.03, 0.07),
    Lie.SAND: (20, 200, 0.038, 0.075),
}


def residuals(
    golfer: Golfer, lie: Lie, low_yd: int, high_yd: int, **holes: Any
) -> tuple[list[int], FloatArray]:
    """Model minus table at the table's distances, in strokes."""
    rows = {yards: strokes for yards, strokes in TABLE[lie].items() if low_yd <= yards <= high_yd}
    got = expected_strokes(golfer, int(lie), np.array(list(rows)) * YARD_M, **holes)
    return list(rows), got - np.array(list(rows.values()))


def misfit(difference: FloatArray) -> tuple[float, float]:
    return float(np.sqrt(np.mean(difference**2))), float(np.abs(difference).max())


def told(lie: Lie, yards: list[int], difference: FloatArray) -> None:
    rms, largest = misfit(difference)
    pairs = " ".join(f"{at}:{miss:+.3f}" for at, miss in zip(yards, difference, strict=True))
    print(f"\n{lie.name.lower():9} rms {rms:.3f} max {largest:.3f}  {pairs}")


@pytest.mark.slow
@pytest.mark.parametrize("lie", FITTED)
def test_expected_strokes_of_the_tour(lie: Lie) -> None:
    low, high, rms, largest = FITTED[lie]
    yards, difference = residuals(tour_golfer(), lie, low, high)
    told(lie, yards, difference)
    assert misfit(difference)[0] <= rms
    assert misfit(difference)[1] <= largest


@pytest.mark.slow
def test_recovery_which_was_not_fitted() -> None:
    """The miss: 0.03 to 0.11 too dear at 50-250 yd, up to 0.4 too cheap within 30 yd, where half the way is open."""
    yards, difference = residuals(tour_golfer(), Lie.RECOVERY, 10, 260)
    told(Lie.RECOVERY, yards, difference)
    far = np.array(yards) >= 40
    assert misfit(difference[far])[0] <= 0.08
    assert misfit(difference[far])[1] <= 0.12
    assert misfit(difference)[1] <= 0.45


FEW = {"holes": 3, "seed": 20}


@pytest.mark.slow
def test_short_tee_shots_on_holes_of_their_length() -> None:
    """Surroundings by length were chosen for this column. What is left, 0.11 too hard at 220-240 yd: a par 3's ball
    is played as from fairway here, while a teed one is struck better with a long club."""
    yards, difference = residuals(tour_golfer(), Lie.TEE, 100, 360)
    told(Lie.TEE, yards, difference)
    assert misfit(difference)[0] <= 0.06
    assert misfit(difference)[1] <= 0.13


@pytest.mark.slow
def test_holes_of_one_kind_miss_the_short_tee_shots(monkeypatch: pytest.MonkeyPatch) -> None:
    """Negative control: one size of green and one width for every length, and straight open par 4s are too easy."""
    holes = sys.modules[Surroundings.__module__]  # the package gives the function of that name
    monkeypatch.setattr(holes, "usual_surroundings", lambda _: Surroundings())
    difference = residuals(tour_golfer(), Lie.TEE, 200, 300, **FEW)[1]
    assert misfit(difference)[1] > 0.15


def test_a_few_holes_stay_near_the_table() -> None:
    """The same with three holes, and so with more room."""
    for lie, low, high in [(Lie.FAIRWAY, 60, 220), (Lie.ROUGH, 60, 220)]:
        assert misfit(residuals(tour_golfer(), lie, low, high, **FEW)[1])[0] <= 0.06


def no_poor_strikes() -> Golfer:
    return replace(tour_golfer(), full_poor=np.zeros(3), short_poor=np.zeros(3), tee_poor=0.0)


def test_without_poor_strikes_the_table_is_missed() -> None:
    """Negative control."""
    difference = residuals(no_poor_strikes(), Lie.ROUGH, 60, 220, **FEW)[1]
    assert misfit(difference)[0] > 0.10


def test_spread_in_proportion_to_distance_misses_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    """Negative control: 4.3 % of the distance is right at 120 yd, too good near and too bad far."""

    def proportional(target_yd: FloatArray, _driver_yd: float) -> FloatArray:
        return 0.043 * target_yd

    usual = residuals(tour_golfer(), Lie.FAIRWAY, 60, 220, **FEW)[1]
    monkeypatch.setattr(model, "full_depth_yd", proportional)
    wrong = residuals(tour_golfer(), Lie.FAIRWAY, 60, 220, **FEW)[1]
    assert np.ptp(wrong) > np.ptp(usual) + 0.08
