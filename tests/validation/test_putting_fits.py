"""Makes of two eras, and the published fits to them (published/makes.py).

The two simpler forms of the study are written out in putting_forms.py; rangework's own form is fitted beside them.
"""

from __future__ import annotations

import pytest
from published import makes
from published.makes import BERRY_1995, BROADIE_2018
from putting_forms import angle_and_distance, angle_only, fit_angle_and_distance, fit_angle_only, residuals

from rangework.skill.putting import fit_makes, make_probability, tour_putting
from rangework.units import DEGREE_RAD, FOOT_M


def test_counts_are_copied_whole() -> None:
    assert BROADIE_2018[1].sum() == makes.TRIES_2018
    assert BROADIE_2018[2].sum() == makes.MADE_2018
    assert BERRY_1995[2, 4] / BERRY_1995[1, 4] == pytest.approx(makes.SIX_FEET_1989, abs=5e-4)


def test_angle_only_form_on_1995() -> None:
    """The fit is ours, the figure theirs."""
    angle_sd = fit_angle_only(BERRY_1995)
    assert angle_sd == pytest.approx(makes.ANGLE_ONLY_1995_RAD, abs=0.0004)
    assert angle_sd / DEGREE_RAD == pytest.approx(makes.ANGLE_ONLY_1995_DEG, abs=0.01)


def test_angle_and_distance_form_on_2018() -> None:
    """The same."""
    angle_sd, distance_sd, extra = fit_angle_and_distance(BROADIE_2018)
    assert angle_sd / DEGREE_RAD == pytest.approx(makes.ANGLE_2018_DEG, abs=0.01)
    assert distance_sd == pytest.approx(makes.DISTANCE_2018, abs=0.001)
    assert extra == pytest.approx(makes.EXTRA_2018, abs=0.0005)
    rms, largest = residuals(angle_and_distance(BROADIE_2018[0], angle_sd, distance_sd), BROADIE_2018)
    assert rms == pytest.approx(makes.RMS_2018, abs=0.0005)
    assert largest == pytest.approx(makes.LARGEST_2018, abs=0.001)


def test_angle_only_form_fails_on_2018() -> None:
    """Negative control: the study extends the form because long putts refute it. VERIFIED qualitatively."""
    rms, largest = residuals(angle_only(BROADIE_2018[0], fit_angle_only(BROADIE_2018)), BROADIE_2018)
    assert rms > 0.02
    assert largest > 0.05


def test_our_form_fitted_to_2018_makes() -> None:
    """Fitted: line and pace, reading in its usual ratio. As close as the published two-parameter form."""
    distance, tries, made = BROADIE_2018
    fit = fit_makes(distance * FOOT_M, tries, made)
    rms, largest = residuals(make_probability(distance * FOOT_M, fit.skill), BROADIE_2018)
    assert rms < 0.004
    assert largest < 0.01
    assert fit.skill.line_rad / DEGREE_RAD == pytest.approx(1.343, abs=0.01)
    assert fit.skill.pace == pytest.approx(0.0868, abs=0.001)


def test_tour_golfer_on_2018_makes() -> None:
    """Not fitted: the tour golfer was fitted to expected putts, not to these counts."""
    distance = BROADIE_2018[0] * FOOT_M
    rms, largest = residuals(make_probability(distance, tour_putting()), BROADIE_2018)
    assert rms < 0.0065
    assert largest < 0.015


def test_eras_are_not_to_be_mixed() -> None:
    """Not fitted: putting of the 1995 counts is poorer by far more than any residual above."""
    distance, tries, made = BERRY_1995
    shortfall = make_probability(distance * FOOT_M, tour_putting()) - made / tries
    assert shortfall[1:5].min() > 0.08
    assert fit_makes(distance * FOOT_M, tries, made, fix_pace=0.0868).skill.line_rad / DEGREE_RAD > 1.8
