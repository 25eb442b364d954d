"""How a quantity of the reference golfers runs from the tour golfer to the amateurs, smoothly in the handicap index."""

from __future__ import annotations

import math

#: The handicap index at which, and below which, every part of a reference golfer is the tour golfer's.
TOUR_INDEX = -5.0

# The bend of ``amateur_index``: where its two straight lines would meet, and how wide it is (indices).
_BEND_AT, _BEND_WIDTH = 0.62, 1.5


def amateur_index(handicap_index: float) -> float:
    """How far an amateur is from the tour in what hardly tells a scratch golfer from it: 0 at the tour.

    About 0.7 at scratch, and the index less 0.65 from about 5 up: a softplus, smooth everywhere above -5.
    """
    return max(_softplus(handicap_index) - _softplus(TOUR_INDEX), 0.0)


def _softplus(index: float) -> float:
    u = (index - _BEND_AT) / _BEND_WIDTH
    return _BEND_WIDTH * (max(u, 0.0) + math.log1p(math.exp(-abs(u))))


def toward_tour(handicap_index: float, scratch: float, per_index: float, tour: float) -> float:
    """A quantity below scratch that differs plainly between scratch and tour.

    It leaves the amateurs' form at scratch with that form's slope there, and arrives level at -5: a cubic
    Hermite curve, monotone because both end slopes are below three times the mean slope (Fritsch and Carlson
    1980, SIAM J. Numer. Anal. 17:238).
    """
    u = min(handicap_index / TOUR_INDEX, 1.0)
    blend = u * u * (3.0 - 2.0 * u)
    return scratch + (tour - scratch) * blend + per_index * TOUR_INDEX * u * (1.0 - u) ** 2
