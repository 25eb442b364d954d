"""The professional tour: expected strokes by lie, season averages, proximity.

Each figure's source and status stand beside it.
"""

from __future__ import annotations

from typing import NamedTuple

from comparison import COMMON_PRACTICE, MEMORY, SECONDARY, Status

from rangework.lie import Lie

#: Broadie (2014) Every Shot Counts, table 5.2; the baseline of Broadie (2012) Interfaces 42:146-165, tour shots of
#: 2003-2012. MEMORY: no stored copy was found. One outside check passed: Broadie's column of May 2018 gives 2.94
#: strokes for 125-175 yd (here 2.91-2.99). It is not monotone at tee 120-140, sand 90-120 and recovery 80-120 yd, as
#: remembered, and is not smoothed. Its long rows other than the tee look like a straight line drawn on.
EXPECTED_STROKES_SOURCE = "Broadie (2014) Every Shot Counts, table 5.2"
#: Strokes to hole out by yards to the hole.
EXPECTED_STROKES: dict[Lie, dict[int, float]] = {
    Lie.TEE: {
        100: 2.92, 120: 2.99, 140: 2.97, 160: 2.99, 180: 3.05, 200: 3.12, 220: 3.17, 240: 3.25, 260: 3.45,
        280: 3.65, 300: 3.71, 320: 3.79, 340: 3.86, 360: 3.92, 380: 3.96, 400: 3.99, 420: 4.02, 440: 4.08,
        460: 4.17, 480: 4.28, 500: 4.41, 520: 4.54, 540: 4.65, 560: 4.74, 580: 4.79, 600: 4.82,
    },
    Lie.FAIRWAY: {
        10: 2.18, 20: 2.40, 30: 2.52, 40: 2.60, 50: 2.66, 60: 2.70, 70: 2.72, 80: 2.75, 90: 2.77,
        100: 2.80, 120: 2.85, 140: 2.91, 160: 2.98, 180: 3.08, 200: 3.19, 220: 3.32, 240: 3.45, 260: 3.58,
        280: 3.69, 300: 3.78,
    },
    Lie.ROUGH: {
        10: 2.34, 20: 2.59, 30: 2.70, 40: 2.78, 50: 2.87, 60: 2.91, 70: 2.93, 80: 2.96, 90: 2.99,
        100: 3.02, 120: 3.08, 140: 3.15, 160: 3.23, 180: 3.31, 200: 3.42, 220: 3.53, 240: 3.64, 260: 3.74,
        280: 3.83, 300: 3.90,
    },
    Lie.SAND: {
        10: 2.43, 20: 2.53, 30: 2.66, 40: 2.82, 50: 2.92, 60: 3.15, 70: 3.21, 80: 3.24, 90: 3.24,
        100: 3.23, 120: 3.21, 140: 3.22, 160: 3.28, 180: 3.40, 200: 3.55, 220: 3.70, 240: 3.84, 260: 3.93,
        280: 4.00, 300: 4.04,
    },
    Lie.RECOVERY: {
        10: 3.45, 20: 3.51, 30: 3.57, 40: 3.71, 50: 3.79, 60: 3.83, 70: 3.84, 80: 3.84, 90: 3.82,
        100: 3.80, 120: 3.78, 140: 3.80, 160: 3.81, 180: 3.82, 200: 3.87, 220: 3.92, 240: 3.97, 260: 4.03,
        280: 4.10, 300: 4.20,
    },
}  # fmt: skip

SEASON_2009 = "PGA TOUR averages of 2009, as quoted in a secondary page"


class Average(NamedTuple):
    published: float
    goal: float  #: about the range of a decade's seasons, or of two pages that give the same figure
    unit: str
    source: str
    status: Status


#: A round of 18 holes, by the names that ``played.averages`` uses.
AVERAGES = {
    "greens": Average(64.7, 3.0, "%", SEASON_2009, SECONDARY),
    "fairways": Average(62.91, 3.0, "%", SEASON_2009, SECONDARY),
    "putts": Average(29.2, 0.5, "", SEASON_2009, SECONDARY),
    "scrambling": Average(57.52, 4.0, "%", SEASON_2009, SECONDARY),
    "drive": Average(287.9, 5.0, "yd", SEASON_2009, SECONDARY),
    "three-putts": Average(0.5, 0.15, "", "a secondary page", SECONDARY),
    "penalties": Average(0.3, 0.2, "", "rule of thumb", COMMON_PRACTICE),
    "score of a par 5": Average(4.68, 0.08, "", "PGA TOUR 2011, quoted in a forum (4.78 in 1983)", SECONDARY),
    "sand saves": Average(50.0, 5.0, "%", "PGA TOUR averages of the 2010s", MEMORY),
    "one-putts of holes": Average(39.0, 4.0, "%", "PGA TOUR averages of the 2010s", MEMORY),
}

PROXIMITY_SOURCE = "PGA TOUR season averages of the 2010s"
#: Mean feet from the hole by lie and band (yd). MEMORY, except 75-100 yd fairway (18 ft 1 in, 2021/22; best 11 ft 10,
#: worst 23 ft 10) and 100-125 yd fairway (20 ft, 2017): SECONDARY.
PROXIMITY_FT: dict[Lie, dict[tuple[int, int], float]] = {
    Lie.FAIRWAY: {
        (50, 75): 16,
        (75, 100): 18,
        (100, 125): 20,
        (125, 150): 23.5,
        (150, 175): 28,
        (175, 200): 34,
    },
    Lie.ROUGH: {(50, 75): 24, (75, 100): 27, (100, 125): 30, (125, 150): 35, (150, 175): 41, (175, 200): 49},
}
PROXIMITY_SECONDARY = {(Lie.FAIRWAY, (75, 100)), (Lie.FAIRWAY, (100, 125))}

#: Greens hit (%) from a band (yd), all lies: a secondary page, 2021. It conflicts with Broadie's 72 % from 150 yd.
GREENS_BY_BAND = {(75, 100): 76.6, (100, 125): 70.8, (125, 150): 63.5}
#: Greens hit from 150 yd. SECONDARY.
GREENS_FROM_150, GREENS_FROM_150_SOURCE = (
    72.0,
    "Broadie, quoted in a secondary page (conflicts with the other figures)",
)
GREENS_BY_BAND_SOURCE = (
    "PGA TOUR 2021, a secondary page (all lies; conflicts with 72 % at 150 yd in Broadie's)"
)
