"""Golfers of different levels: putts, greens, driving, what separates them, what longer driving is worth.

Each figure's source and status stand beside it. *90-golfer* means average score on a normal course.
"""

from __future__ import annotations

from typing import NamedTuple, TypeVar

import numpy as np
from comparison import MEMORY, SECONDARY, Status
from numpy.typing import NDArray

Score = TypeVar("Score", float, NDArray[np.float64])

GOLF_SCIENCE_JOURNAL = "Broadie (2014), quoted in Golf Science Journal"
#: Putts a round by average score.
PUTTS_OF_NINETY, PUTTS_OF_TOUR = 33.0, 29.0  # SECONDARY
#: Three-putts a round of a scratch golfer: Soley, quoted in a secondary page. SECONDARY.
SCRATCH_THREE_PUTTS, SCRATCH_THREE_PUTTS_SOURCE = 0.9, "Soley on putting, quoted in a secondary page"
#: Penalty strokes a round of middle and high handicaps. COMMON PRACTICE.
AMATEUR_PENALTIES = (1.0, 3.0)


def riccio_greens(score: Score) -> Score:
    """Greens hit a round that go with an average score: score = 95 - 2 x greens. MEMORY."""
    return (95.0 - score) / 2.0


RICCIO_SOURCE = (
    "Riccio (1990) Statistical analysis of the average golfer, Science and Golf: score = 95 - 2 x greens"
)

DISTANCE_INSIGHTS = "R&A and USGA driving distance by handicap (UK clubs), quoted in golf magazines"


class Drive(NamedTuple):
    """Mean measured drive of a group: two flat holes, about 2,000 shots a year, not all with a driver."""

    group: str
    index: float  #: middle of the group, as far as it has one
    yards: float


#: SECONDARY.
DRIVES_MEN = (
    Drive("men under 6, 2018", 3, 240),
    Drive("men 6-12, 2018", 9, 220),
    Drive("men 13-20, 2018", 16.5, 204),
    Drive("men 21 and over, 2018", 24.5, 187),
)
DRIVES_WOMEN = (
    Drive("women under 6, 2018", 3, 196),
    Drive("women 6-12, 2018", 9, 178),
    Drive("women 13-20, 2018", 16.5, 153),
    Drive("women 21-28, 2018", 24.5, 138),
    Drive("women 29 and over, 2018", 33, 118),
)

#: Handicaps 0-9, another set. SECONDARY.
DRIVE_0_TO_9, DRIVE_0_TO_9_SOURCE = (
    Drive("men 0-9, another set", 5, 248),
    "Broadie (2008), quoted by the New York Times",
)

USGA_SLOPE_CHARTS = "USGA slope charts (older than the 2020 manual), quoted by Brauer"
#: Width that holds two thirds of tee shots: index, length (yd), width (yd). SECONDARY.
FAIRWAY_OF_TWO_THIRDS = ((0.0, 250.0, 32.0), (20.0, 200.0, 40.0))

#: Share of the strokes that the best forty of the tour gained in 2004-2012. MEMORY.
FAMILIES = ("driving", "approach", "short game", "putting")
BEST_SHARES, BEST_SHARES_SOURCE = (
    (28.0, 40.0, 17.0, 15.0),
    "Broadie (2014) Every Shot Counts, top 40 of 2004-2012",
)
PUTTING_80_TO_100 = 15.0  # % of the twenty strokes: SECONDARY
PUTTING_80_TO_100_SOURCE = "Broadie, quoted by a teaching page: 3 of the 20 strokes"
HANDICAP_OF_A_PUTT = 6.0  # strokes of handicap that go with one stroke of putting: SECONDARY
HANDICAP_OF_A_PUTT_SOURCE = "Broadie, quoted in a professional golf magazine"
#: Share of the differences in score on tour: shots from beyond 100 yd (VERIFIED, abstract); putting (VERIFIED).
LONG_GAME_SHARE, LONG_GAME_SOURCE = 66.7, "Broadie (2012) Interfaces 42:146-165, abstract"
PUTTING_VARIATION, PUTTING_VARIATION_SOURCE = 15.0, "Broadie and Shin (2014), citing Broadie (2012)"
#: Strokes a round that the best putter of a season, and of four seasons, gained on the tour. SECONDARY.
BEST_PUTTER, BEST_PUTTER_SOURCE = (0.871, 0.869), "golf.com 2011 (season of 2010); Golf World on 2008-11"


class Longer(NamedTuple):
    """Strokes a round for 20 yd more driving."""

    golfer: str
    strokes: float
    goal: float  #: a fifth of the figure: about what two sources of the tour's figure differ by
    source: str
    status: Status


CHAPTER_6 = "Broadie (2014) Every Shot Counts, chapter 6"
KO_THESIS = "Ko (2012), thesis with Broadie, abstract (simulation)"
LONGER_DRIVES = (
    Longer("tour", 0.75, 0.15, "Broadie (2014), quoted by record-bee.com 2015", SECONDARY),
    Longer("80", 1.3, 0.26, CHAPTER_6, MEMORY),
    Longer("90", 1.6, 0.32, CHAPTER_6, MEMORY),
    Longer("100", 2.3, 0.46, CHAPTER_6, MEMORY),
    Longer("115", 2.7, 0.54, CHAPTER_6, MEMORY),
)
#: "Slightly under 1" and "almost 3", read as ranges. VERIFIED (abstract).
KO_TOUR, KO_HIGH_HANDICAP = (0.85, 1.0), (2.7, 3.0)

#: Spread of tee shots in degrees, average score or tour; 80 and 100 are of low confidence. MEMORY.
TEE_DIRECTION_DEG = {"tour": 3.4, "80": 5.25, "90": 6.5, "100": 7.5}
TEE_DIRECTION_SOURCE = "Broadie (2014) Every Shot Counts"
