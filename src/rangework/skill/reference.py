"""Reference golfers: a tour professional and golfers of a stated handicap index, from published figures."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np

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


def reference_golfer(handicap_index: float, group: Group = "men") -> Golfer:
    """The reference golfer of a handicap index (+2 is -2.0), up to 54.

    Every quantity runs smoothly in the index (sources.toml ``prior.reference_golfer``) and meets the tour golfer
    at -5, where better ones stay.
    """
    forms, h = _FORMS[group], max(handicap_index, TOUR_INDEX)
    amateur = amateur_index(h)
    spread = np.float64(1.0 + forms.spread_growth * amateur / (1.0 + forms.spread_saturation * amateur))
    spread += _by_index(h, (forms.scratch_spread, 0.0, 0.0), 0.0)
    tee_direction_deg = _by_index(h, (4.2, 0.155, 0.0), _TOUR_TEE_DIRECTION_DEG)
    more_poor, short_bias = forms.poor * amateur, forms.short_bias * amateur
    return Golfer(
        driver_m=_by_index(h, forms.driver_yd, forms.tour_driver_yd) * YARD_M,
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
