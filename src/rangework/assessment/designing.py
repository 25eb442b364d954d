"""From a wish to a designed test: what the course asks of the player in simulated rounds, and the test from it."""

from __future__ import annotations

from collections.abc import Sequence

from rangework.assessment.design import AssessmentDesign, CardWords, draw_up
from rangework.assessment.design_words import DesignWish
from rangework.course.geometry import Course
from rangework.play.asked_shots import asked_shots
from rangework.play.strategy import Strategy
from rangework.skill.model import Golfer
from rangework.units import METRES_PER, shot_unit

#: Rounds that tell which shots a course asks of a player.
ASKED_ROUNDS = 200


def card_words(wish: DesignWish, tee: str, level: float | str, group: str) -> CardWords:
    """What the card of a wish says of all its balls."""
    return CardWords(
        wish.name, wish.date, tee, level, group, wish.margin, wish.measured, wish.measured_by, shot_unit(wish.units)
    )  # fmt: skip


def design_for(
    course: Course,
    golfer: Golfer,
    strategies: Sequence[Strategy],
    reference: Golfer,
    words: CardWords,
    wish: DesignWish,
    *,
    seed: int = 0,
    threads: int = 2,
) -> AssessmentDesign:
    """A test for ``golfer``, who plays the course with ``strategies``, scored from ``reference``. Raises InputError."""
    asked = asked_shots(strategies, golfer, ASKED_ROUNDS, seed=seed)
    unit_m = METRES_PER[shot_unit(wish.units)]
    return draw_up(
        course, golfer, reference, asked, wish.distances, words,
        balls=wish.balls, pins=wish.pins, unit_m=unit_m, seed=seed, threads=threads,
    )  # fmt: skip
