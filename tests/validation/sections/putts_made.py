"""Putts made in two eras, and the forms that were fitted to them."""

from __future__ import annotations

import numpy as np
from comparison import COMPUTED, MEMORY, VERIFIED, Check, Effort, Page
from drawing import COLOURS, PUBLISHED, panels
from matplotlib.figure import Figure
from published import makes as published
from published.makes import BERRY_1995, BROADIE_2018
from putting_forms import angle_and_distance, fit_angle_and_distance, fit_angle_only, residuals

from rangework.skill.putting import fit_makes, make_probability, tour_putting
from rangework.units import DEGREE_RAD, FOOT_M

TEXT = """
Putts tried and made on tour in 1988-89 and in the 2010s. The two simpler forms of a published study, written out
here and fitted again, give the study's own numbers: so the data and the fitting are the same. Then our form, fitted
to the later counts; and the tour golfer, who was not fitted to them but to mean putts. The two eras are not to be
mixed: putting was poorer in the earlier one by more than any residual here.
"""


def page(effort: Effort) -> Page:
    return Page("putts-made", "Putts made", TEXT, [*study_checks(), *our_checks()], figures={WORDS: drawn()})


def study_checks() -> list[Check]:
    """Its forms fitted by us against its numbers."""
    angle_only = fit_angle_only(BERRY_1995)
    angle, distance, extra = fit_angle_and_distance(BROADIE_2018)
    rms, largest = residuals(angle_and_distance(BROADIE_2018[0], angle, distance), BROADIE_2018)
    rows = [
        ("1995, angle only, radians", published.ANGLE_ONLY_1995_RAD, angle_only, 0.0004, VERIFIED),
        ("1995, angle only, degrees", published.ANGLE_ONLY_1995_DEG, angle_only / DEGREE_RAD, 0.01, MEMORY),
        ("2018, angle, degrees", published.ANGLE_2018_DEG, angle / DEGREE_RAD, 0.01, MEMORY),
        ("2018, distance", published.DISTANCE_2018, distance, 0.001, VERIFIED),
        ("2018, extra error", published.EXTRA_2018, extra, 0.0005, MEMORY),
        ("2018, root mean square residual", published.RMS_2018, rms, 0.0005, COMPUTED),
        ("2018, largest residual", published.LARGEST_2018, largest, 0.001, COMPUTED),
    ]
    return [
        Check(
            what=f"the study's form, {what}", published=value, model=float(got), goal=goal, unit="",
            source=published.STUDY, status=status, decimals=4,
        )
        for what, value, got, goal, status in rows
    ]  # fmt: skip


def our_checks() -> list[Check]:
    """Root mean square and largest residual of makes, in per cent, as good as the published two-parameter form's."""
    distance, tries, made = BROADIE_2018
    fitted = make_probability(distance * FOOT_M, fit_makes(distance * FOOT_M, tries, made).skill)
    unfitted = make_probability(distance * FOOT_M, tour_putting())
    checks = []
    for name, share, goals in (
        ("our form fitted to 2018", fitted, (0.4, 1.0)),
        ("tour golfer, not fitted to 2018", unfitted, (1.0, 2.0)),
    ):
        for words, got, goal in zip(
            ("root mean square", "largest"), residuals(share, BROADIE_2018), goals, strict=True
        ):
            checks.append(
                Check(
                    what=f"{name}, {words} residual of makes", published=0.0, model=100 * got, goal=goal, unit="%",
                    source=published.BROADIE_SOURCE, status=VERIFIED, decimals=2,
                )
            )  # fmt: skip
    return checks


WORDS = "Putts holed by distance: the line is the tour golfer, hollow circles 2010s, crosses 1988-89"


def drawn() -> Figure:
    figure, ax = panels(width=6.4)
    fine = np.linspace(1.0, 30.0, 117)
    ax.plot(fine, 100 * make_probability(fine * FOOT_M, tour_putting()), color=COLOURS[0])
    near = BROADIE_2018[0] <= 30.0
    ax.plot(BROADIE_2018[0][near], (100 * BROADIE_2018[2] / BROADIE_2018[1])[near], **PUBLISHED)
    ax.plot(BERRY_1995[0], 100 * BERRY_1995[2] / BERRY_1995[1], **{**PUBLISHED, "marker": "x"})
    ax.set_title("holed at the first try (%)")
    ax.set_xlabel("feet")
    ax.set_ylim(0.0, 102.0)
    return figure
