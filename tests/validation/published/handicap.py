"""Rules of Handicapping and their worked examples.

Source unless a row names another: Rules of Handicapping, USGA and The R&A (usga.org: rules 5.1, 5.2, 5.8, 6
with local guidance, and frequently asked questions; definitions at randa.org).
"""

from __future__ import annotations

from typing import NamedTuple

from comparison import COMPUTED, MEMORY, SECONDARY, VERIFIED, Status

RULES = "Rules of Handicapping (USGA and The R&A), rules 3.1, 5.1, 5.2, 5.8 and 6 with their worked examples"
ORDER_STATISTICS = "mean of the lowest k of n standard normals, by numerical integration"


class Differential(NamedTuple):
    score: int
    course_rating: float
    slope: float
    playing_conditions: float
    differential: float
    status: Status


DIFFERENTIALS = (
    Differential(94, 73.0, 125, 0.0, 19.0, VERIFIED),
    Differential(80, 68.7, 105, 0.0, 12.2, VERIFIED),  # old system, same formula
    Differential(94, 73.0, 125, 1.0, 18.1, COMPUTED),  # from (113/slope) x (score - rating - PCC), VERIFIED
)
#: exact, rounded to 0.1: a negative half goes toward zero. VERIFIED.
ROUNDED = ((-1.54, -1.5), (-1.55, -1.5))


class Cap(NamedTuple):
    average: float
    low_index: float
    index: float
    status: Status


CAPS = (
    Cap(11.6, 6.5, 10.6, VERIFIED),  # excess 2.1, 10.55 -> 10.6
    Cap(13.4, 10.0, 13.2, VERIFIED),
    Cap(18.2, 10.2, 15.2, COMPUTED),  # inputs VERIFIED: 15.7 after the soft cap, held at 5.0
)


class Nine(NamedTuple):
    index: float
    slope: float
    course_rating: float
    par: float
    exact: float
    whole: float


NINE_HOLES = Nine(8.7, 121, 35.3, 36, 4.011, 4.0)  # VERIFIED
#: differentials, index: inputs VERIFIED, result COMPUTED (15.2 - 2.0)
THREE_SCORES = ((15.3, 15.2, 16.6), 13.2)
STANDARD_SLOPE, LOWEST_SLOPE, HIGHEST_SLOPE = 113.0, 55.0, 155.0  # VERIFIED
#: strokes of slope for a stroke between bogey rating and course rating. VERIFIED.
SLOPE_PER_STROKE = {"men": 5.381, "women": 4.24}
HIGHEST_INDEX = 54.0  # VERIFIED
#: pars, stroke indices, course handicap, highest hole scores. Par + 2 + strokes MEMORY; par + 5 SECONDARY.
HIGHEST_HOLE_SCORES = (
    ((4, 4, 5), (1, 2, 3), 1, (7, 6, 7), MEMORY),
    ((4, 4, 5), (1, 2, 3), None, (9, 9, 10), SECONDARY),
)


class Fewer(NamedTuple):
    scores: int
    lowest: int
    adjustment: float
    expectation: float  #: mean of the lowest of n standard normals


#: Rule 5.2a (VERIFIED); expectation COMPUTED.
FEWER_THAN_TWENTY = (
    Fewer(3, 1, -2.0, -0.8463),
    Fewer(4, 1, -1.0, -1.0294),
    Fewer(5, 1, 0.0, -1.163),
    Fewer(6, 2, -1.0, -0.9545),
    Fewer(7, 2, 0.0, -1.055),
    Fewer(8, 2, 0.0, -1.138),
    Fewer(9, 3, 0.0, -0.996),
    Fewer(10, 3, 0.0, -1.065),
    Fewer(11, 3, 0.0, -1.126),
    Fewer(12, 4, 0.0, -1.019),
    Fewer(13, 4, 0.0, -1.071),
    Fewer(14, 4, 0.0, -1.119),
    Fewer(15, 5, 0.0, -1.032),
    Fewer(16, 5, 0.0, -1.075),
    Fewer(17, 6, 0.0, -1.003),
    Fewer(18, 6, 0.0, -1.042),
    Fewer(19, 7, 0.0, -0.9808),
    Fewer(20, 8, 0.0, -0.9282),
)
#: Best 8 of 20 normal scores, in standard deviations: index, sd of the index, share at or below it. COMPUTED.
BEST_8_OF_20 = (-0.9282, 0.2765, 0.1766)
#: The older system's ten. COMPUTED.
BEST_10_OF_20 = -0.767
