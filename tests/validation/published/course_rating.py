"""The course rating system: accuracy areas, shot lengths, yardage ratings.

Source: World Handicap System, The Course Rating System Manual (2020). VERIFIED, but for the yardage formulas.
"""

from __future__ import annotations

MANUAL = "The Course Rating System Manual (2020), section 4 Accuracy Pattern"
#: Width and depth (yd) of the area that holds two of three shots of a length (yd), by golfer. VERIFIED.
ACCURACY_AREAS: dict[str, dict[int, tuple[int, int]]] = {
    "scratch men": {
        90: (11, 14), 110: (12, 15), 130: (13, 15), 150: (15, 16), 170: (18, 17), 190: (23, 18), 210: (29, 19),
        230: (35, 20), 250: (41, 21),
    },
    "scratch women": {
        90: (12, 15), 110: (14, 16), 130: (17, 17), 150: (20, 18), 170: (26, 20), 190: (30, 24), 210: (34, 28),
    },
    "bogey men": {
        90: (16, 19), 110: (17, 21), 130: (18, 23), 150: (20, 25), 170: (24, 28), 190: (29, 34),
    },
    "bogey women": {90: (17, 22), 110: (19, 24), 130: (21, 27), 150: (24, 30)},
}  # fmt: skip
#: Handicap index of the golfers that courses are rated for, and their tee shot, two shots and three (yd). VERIFIED.
INDEX_OF = {"scratch men": 0.0, "scratch women": 0.0, "bogey men": 20.0, "bogey women": 24.0}
TEE_SHOT_YD = {"scratch men": 250, "scratch women": 210, "bogey men": 200, "bogey women": 150}
TWO_SHOTS_YD = {"scratch men": 470, "scratch women": 400, "bogey men": 370, "bogey women": 280}
SHOT_LENGTHS_SOURCE = "The Course Rating System Manual (2020), section 9"

#: Yardage ratings before obstacles: yards a stroke, strokes at none. MEMORY (high confidence).
YARDAGE_RATINGS = {
    "scratch men": (220.0, 40.9),
    "bogey men": (160.0, 50.7),
    "scratch women": (180.0, 40.1),
    "bogey women": (120.0, 51.3),
}
YARDAGE_SOURCE = "USGA course rating system, yardage ratings before obstacles"


def yardage_rating(golfer: str, length_yd: float) -> float:
    """Rating of 18 holes of an effective length, before obstacles."""
    per_stroke, base = YARDAGE_RATINGS[golfer]
    return length_yd / per_stroke + base


#: "Average score above index": a golfer's average differential lies 2 to 5 above the index. VERIFIED.
AVERAGE_ABOVE_INDEX, GUIDANCE = (2.0, 5.0), "USGA guidance: average scores lie 2-5 strokes above the index"
