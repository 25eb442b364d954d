"""Reference golfers: a tour professional and golfers of a stated handicap index, from published figures."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal, NamedTuple

import numpy as np
import scipy.optimize

from rangework.skill.by_index import TOUR_INDEX, amateur_index, toward_tour
from rangework.skill.model import TOUR_DRIVER_YD, Golfer
from rangework.skill.putting import reference_putting, tour_putting
from rangework.units import DEGREE_RAD, YARD_M

#: Whose handicap index it is: men and women are rated from different tables.
Group = Literal["men", "women"]

HIGHEST_INDEX = 54.0

_TOUR_POOR_FULL = np.array([0.047, 0.197, 0.06])
_TOUR_POOR_SHORT = np.array([0.045, 0.08, 0.08])
_TOUR_TEE_DEPTH, _TOUR_TEE_DIRECTION_DEG, _TOUR_TEE_POOR = 0.05, 3.4, 0.03
_ROUGH_SPREAD = 1.29
_RECOVERY_SHARE = 0.58
_RECOVERY_POOR = 0.22


class _Forms(NamedTuple):
    """What men and women differ in: driver length by index (yd, from scratch up), spread, poor strikes, short bias."""

    tour_driver_yd: float
    driver_yd: tuple[float, float, float]
    scratch_spread: (
        float  #: spread multiplier that a scratch golfer has more than the tour, apart from the growth
    )
    spread_growth: float
    spread_saturation: float
    poor: float  #: more poor strikes for each index
    tee_poor: float
    short_bias: float


# Driver lengths: the rating manual's tee shots (250 and 200 yd men, 210 and 150 yd women, scratch and bogey) and the
# mean drives by handicap of a governing bodies' survey, which poor strikes shorten by a few per cent.
_FORMS: dict[Group, _Forms] = {
    "men": _Forms(TOUR_DRIVER_YD, (250.0, -2.6, 0.02), 0.0, 0.070, 0.0218, 0.0035, 0.004, 0.003),
    "women": _Forms(250.0, (212.0, -3.35, 0.0205), 0.18, 0.0752, 0.0556, 0.0020, 0.0025, 0.0018),
}


def tour_golfer(group: Group = "men") -> Golfer:
    """The golfer whose expected strokes meet the published tour tables (sources.toml: published.tour_form).

    The women's has the same spreads and putting with the length of a women's tour, from memory.
    """
    return reference_golfer(TOUR_INDEX, group)


def reference_golfer(handicap_index: float, group: Group = "men", *, driver_m: float | None = None) -> Golfer:
    """The reference golfer of a handicap index (+2 is -2.0), up to 54.

    Every quantity runs smoothly in the index (sources.toml ``prior.reference_golfer``) and meets the tour golfer
    at -5, where better ones stay.

    ``driver_m`` is for golfers whose length does not go by their handicap, juniors and seniors above all: the
    golfer of that index who drives so far, and whose other parts are those of the level that makes up for it.
    """
    if driver_m is not None:
        return replace(
            _golfer(level_beside_length(handicap_index, driver_m, group), group), driver_m=driver_m
        )
    return _golfer(handicap_index, group)


def level_beside_length(handicap_index: float, driver_m: float, group: Group = "men") -> float:
    """The level of all parts but length with which a golfer who drives ``driver_m`` has the handicap index.

    A driver shorter than usual at some level costs ``(24 + 0.4 level) x (1 + 0.45 x)`` indices, x being the logarithm
    of usual over own length; a longer one saves as much with x below 0 (fitted here to the best 8 of 20
    scores of reference golfers with 75, 85 and 110 per cent of their length). Kept within the tour and 54.
    """

    def too_high(level: float) -> float:
        short = math.log(_driver_m(level, group) / driver_m)
        return (
            level + (24.0 + 0.4 * max(level, 0.0)) * short * (1.0 + 0.45 * max(short, -0.4)) - handicap_index
        )

    if too_high(TOUR_INDEX) >= 0.0:
        return TOUR_INDEX
    if too_high(HIGHEST_INDEX) <= 0.0:
        return HIGHEST_INDEX
    return float(scipy.optimize.brentq(too_high, TOUR_INDEX, HIGHEST_INDEX, xtol=1e-6))


def _driver_m(index: float, group: Group) -> float:
    forms = _FORMS[group]
    return _by_index(max(index, TOUR_INDEX), forms.driver_yd, forms.tour_driver_yd) * YARD_M


def _golfer(handicap_index: float, group: Group) -> Golfer:
    forms, h = _FORMS[group], max(handicap_index, TOUR_INDEX)
    amateur = amateur_index(h)
    spread = np.float64(1.0 + forms.spread_growth * amateur / (1.0 + forms.spread_saturation * amateur))
    spread += _by_index(h, (forms.scratch_spread, 0.0, 0.0), 0.0)
    tee_direction_deg = _by_index(h, (4.2, 0.155, 0.0), _TOUR_TEE_DIRECTION_DEG)
    more_poor, short_bias = forms.poor * amateur, forms.short_bias * amateur
    return Golfer(
        driver_m=_driver_m(h, group),
        tee_depth=_by_index(h, (0.052, 0.001, 0.0), _TOUR_TEE_DEPTH),
        tee_direction_rad=tee_direction_deg * DEGREE_RAD,
        tee_bias_rad=0.0,
        tee_poor=_TOUR_TEE_POOR + forms.tee_poor * amateur,
        approach_depth=np.full(4, spread),
        approach_direction=np.full(4, spread),
        approach_bias_rad=np.zeros(4),
        approach_bias_depth=np.full(4, -short_bias),
        full_poor=_TOUR_POOR_FULL + more_poor,
        rough_spread=_ROUGH_SPREAD,
        chip=spread,
        pitch=spread,
        bunker=spread,
        short_poor=_TOUR_POOR_SHORT + more_poor,
        recovery_share=_RECOVERY_SHARE,
        recovery_poor=_RECOVERY_POOR,
        sand_level=1.0,
        putting=tour_putting() if h <= TOUR_INDEX else reference_putting(h),
    )


def _by_index(index: float, form: tuple[float, float, float], tour: float) -> float:
    """A quadratic in the index from scratch up, bent to the tour golfer's value below it."""
    scratch, per_index, per_square = form
    if index >= 0.0:
        return scratch + per_index * index + per_square * index * index
    return toward_tour(index, scratch, per_index, tour)
