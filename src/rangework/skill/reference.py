"""Reference golfers: a tour professional and golfers of a stated handicap index, from published figures."""

from __future__ import annotations

import numpy as np

from rangework.skill.model import TOUR_DRIVER_YD, Golfer
from rangework.skill.putting import reference_putting, tour_putting
from rangework.units import DEGREE_RAD, YARD_M

#: The handicap index at which every part of the reference golfer meets the tour golfer.
TOUR_INDEX = -5.0
HIGHEST_INDEX = 54.0

_TOUR_POOR_FULL = np.array([0.047, 0.197, 0.06])
_TOUR_POOR_SHORT = np.array([0.045, 0.08, 0.08])
_ROUGH_SPREAD = 1.29
_RECOVERY_SHARE = 0.58
_RECOVERY_POOR = 0.22


def tour_golfer() -> Golfer:
    """The golfer whose expected strokes meet the published tour tables (sources.toml: published.tour_form)."""
    return _golfer(
        driver_yd=TOUR_DRIVER_YD,
        tee_depth=0.05,
        tee_direction_deg=3.4,
        tee_poor=0.03,
        spread=1.0,
        more_poor=0.0,
        short_bias=0.0,
        index=None,
    )


def reference_golfer(handicap_index: float) -> Golfer:
    """The men's reference golfer of a handicap index (+2 is -2.0).

    From scratch up the forms of sources.toml ``prior.reference_golfer``; below scratch every quantity
    goes in a straight line to the tour golfer, which it meets at an index of -5 (better ones are the tour golfer).
    """
    if handicap_index <= TOUR_INDEX:
        return tour_golfer()
    h = max(0.0, handicap_index)
    toward_tour = max(0.0, -handicap_index) / -TOUR_INDEX

    def bend(amateur: float, tour: float) -> float:
        return amateur + (tour - amateur) * toward_tour

    return _golfer(
        driver_yd=bend(250.0 - 2.6 * h + 0.02 * h * h, TOUR_DRIVER_YD),
        tee_depth=bend(0.052 + 0.001 * h, 0.05),
        tee_direction_deg=bend(4.2 + 0.155 * h, 3.4),
        tee_poor=bend(0.03 + 0.004 * h, 0.03),
        spread=bend(1.04 + 0.0525 * h, 1.0),
        more_poor=bend(0.0035 * h, 0.0),
        short_bias=bend(0.003 * h, 0.0),
        index=handicap_index,
    )


def _golfer(
    *,
    driver_yd: float,
    tee_depth: float,
    tee_direction_deg: float,
    tee_poor: float,
    spread: float,
    more_poor: float,
    short_bias: float,
    index: float | None,
) -> Golfer:
    return Golfer(
        driver_m=driver_yd * YARD_M,
        tee_depth=tee_depth,
        tee_direction_rad=tee_direction_deg * DEGREE_RAD,
        tee_bias_rad=0.0,
        tee_poor=tee_poor,
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
        putting=tour_putting() if index is None else reference_putting(index),
    )
