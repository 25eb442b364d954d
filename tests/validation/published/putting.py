"""Putts by distance: tour, scratch and the golfer who shoots 90; makes of two eras.

Table: Broadie (2014) Every Shot Counts. Tour one-putt shares at 2-10, 15, 20, 30, 40, 50, 60 ft and the means
1.04, 1.50, 1.87, 2.00 at 3, 8, 20, 33 ft SECONDARY; every other tour cell, scratch and the 90-golfer MEMORY;
three-putt shares of scratch and the 90-golfer of LOW confidence (2 to 4 points).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from comparison import COMPUTED, MEMORY, SECONDARY, Status
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

TABLE_SOURCE = "Broadie (2014) Every Shot Counts, putting tables"
DISTANCE_FT = np.array([2, 3, 4, 5, 6, 7, 8, 9, 10, 15, 20, 30, 40, 50, 60.0])
Shares = dict[str, list[float]]
#: One-putts and three-putts in per cent, mean putts.
TOUR: Shares = {
    "one": [99, 96, 88, 77, 66, 58, 50, 45, 40, 23, 15, 7, 4, 3, 2],
    "three": [0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 5, 10, 17, 23],
    "mean": [1.01, 1.04, 1.13, 1.23, 1.34, 1.42, 1.50, 1.56, 1.61, 1.78, 1.87, 1.98, 2.06, 2.14, 2.21],
}
# Means of the next two are COMPUTED: 2 - one + three.
SCRATCH: Shares = {
    "one": [99, 93, 80, 66, 55, 47, 41, 36, 33, 21, 14, 6, 2, 1, 1],
    "three": [0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 4, 9, 17, 26, 34],
    "mean": [1.01, 1.07, 1.20, 1.34, 1.45, 1.53, 1.60, 1.65, 1.68, 1.81, 1.90, 2.03, 2.15, 2.25, 2.33],
}
NINETY: Shares = {
    "one": [95, 84, 65, 50, 39, 32, 27, 23, 20, 11, 6, 2, 1, 1, 0],
    "three": [0, 1, 1, 1, 2, 2, 2, 2, 3, 5, 8, 18, 30, 41, 51],
    "mean": [1.05, 1.17, 1.36, 1.51, 1.63, 1.70, 1.75, 1.79, 1.83, 1.94, 2.02, 2.16, 2.29, 2.40, 2.51],
}


def status_of(golfer: str, column: str) -> Status:
    """How far a column of the table can be trusted."""
    if golfer == "tour" and column == "one":
        return SECONDARY
    return COMPUTED if golfer != "tour" and column == "mean" else MEMORY


class Quoted(NamedTuple):
    """A share or mean quoted apart from the table."""

    golfer: str
    distance_ft: float
    value: float
    goal: float
    source: str
    status: Status


#: Mean putts of the tour. The first three are in the fitted table.
TOUR_MEANS = (
    Quoted("tour", 3, 1.04, 0.012, "Broadie, quoted in a page of 2019", SECONDARY),
    Quoted("tour", 8, 1.50, 0.012, "Broadie (2011) Putts Gained, a note", SECONDARY),
    Quoted("tour", 20, 1.87, 0.012, "Broadie, quoted in a page of 2019", SECONDARY),
    Quoted("tour", 33, 2.00, 0.012, "Broadie (2011) Putts Gained, a note", SECONDARY),
)
GOLF_SCIENCE_JOURNAL = "Broadie (2014), quoted in Golf Science Journal"
NEW_YORK_TIMES = "Broadie (2008), quoted by the New York Times and a page on it"
#: Share holed. Handicaps 0-9 are not fitted; the goal is half the step to the next foot.
HOLED = (
    Quoted("tour", 8, 0.50, 0.02, GOLF_SCIENCE_JOURNAL, SECONDARY),
    Quoted("90-golfer", 5, 0.50, 0.03, GOLF_SCIENCE_JOURNAL, SECONDARY),
    Quoted("90-golfer", 8, 0.26, 0.03, GOLF_SCIENCE_JOURNAL, SECONDARY),
    Quoted("handicaps 0-9", 6, 0.50, 0.03, NEW_YORK_TIMES, SECONDARY),
)
#: Feet, one, two, three putts or more in per cent: tour shares. Its first row is "7-8 ft". SECONDARY. Not fitted.
ANOTHER_TABLE = ((7.5, 50, 49, 0.5), (12, 30, 69, 0.9), (20, 14, 84, 2), (32, 6, 88, 6), (40, 4, 86, 10))
ANOTHER_TABLE_SOURCE = "a page of 2015 on tour shares (its own table not seen)"

#: Pace over distance: repeated and varied putts, 43 golfers of mean handicap 2.8. VERIFIED (abstract).
KARLSEN_NILSSON = "Karlsen and Nilsson (2008) Int J Sports Sci Coach, abstract"
PACE_REPEATED, PACE_VARIED, PACE_HANDICAP, PACE_DISTANCE_M = 0.068, 0.106, 2.8, 6.0
#: Direction sd of elite strokes, degrees: Karlsen and others (2008). MEMORY.
STROKE_DIRECTION_DEG = 0.39
#: Mean leave of a first putt on tour in 2019, best and worst player, feet. SECONDARY.
LEAVE_FT, LEAVE_SOURCE = (1.0 + 10 / 12, 2.0 + 8 / 12), "a secondary page on PGA TOUR figures of 2019"
