"""Tests designed for reference golfers: what a course asks is made up, so that nothing has to be played."""

from __future__ import annotations

from typing import Any

import numpy as np

from rangework.assessment.ball_draw import DistanceWish
from rangework.assessment.design import AssessmentDesign, CardWords, draw_up
from rangework.course import Course
from rangework.lie import Lie
from rangework.play.asked_shots import AskedShots
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M

#: A quarter of the shots are chips, a quarter pitches, half full shots; some from rough, few from sand, some lay-ups.
DISTANCES_YD = np.concatenate([np.linspace(9, 19, 40), np.linspace(22, 48, 40), np.linspace(60, 190, 80)])


def asked_of_nobody() -> AskedShots:
    """The shots of ten rounds."""
    count = len(DISTANCES_YD)
    lie = np.where(np.arange(count) % 3 == 0, Lie.ROUGH, Lie.FAIRWAY)
    lie[np.arange(count) % 20 == 7] = Lie.SAND
    metres = DISTANCES_YD * YARD_M
    at_green = np.arange(count) % 10 != 9
    return AskedShots(10, np.ones(count, dtype=np.int64), lie.astype(np.int64), metres, metres, at_green)


def words(course: Course, **changed: Any) -> CardWords:
    """What a card says of all its balls."""
    usual: dict[str, Any] = {
        "name": "June test", "date": "2026-06-01", "tee": course.tees[1].name, "reference": 12.0, "group": "men",
        "margin": 0.0, "measured": "finish", "measured_by": "device", "unit": "yd",
    }  # fmt: skip
    return CardWords(**{**usual, **changed})


def design(
    course: Course, wish: DistanceWish, *, balls: int, seed: int = 1, pins: Any = None, **changed: Any
) -> AssessmentDesign:
    """A test for a golfer of handicap 15, scored from one of 12."""
    more = {} if pins is None else {"pins": pins}
    return draw_up(
        course, reference_golfer(15.0), reference_golfer(12.0), asked_of_nobody(), wish, words(course, **changed),
        balls=balls, most_greens=3, unit_m=YARD_M, seed=seed, **more,
    )  # fmt: skip
