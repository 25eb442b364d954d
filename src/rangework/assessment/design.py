"""A practice test designed for a player: balls, pins, order of play, success zones, and what it can show."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.landing import green_to_work_with
from rangework.assessment.ball_draw import (
    AskedBand,
    DistanceWish,
    DrawnBall,
    asked_bands,
    draw_balls,
    practisable,
)
from rangework.assessment.balls_to_see import Sight, sight
from rangework.assessment.pin_values import PinValues, ShotValues
from rangework.assessment.play_order import play_order, running_alike
from rangework.assessment.seen_pin import SeenPin, green_in_front_m, seen_pin
from rangework.assessment.success_zone import SuccessZone, success_zone
from rangework.course.geometry import Course, Hole
from rangework.course.pin_words import PIN_WORDS
from rangework.errors import InputError, Problem
from rangework.play.asked_shots import AskedShots
from rangework.skill.model import CARRY_SHARE, STANDARD, Golfer, compile_golfer

FloatArray = NDArray[np.float64]

#: Greens that one test is played at: more would make a card that nobody can read.
MOST_GREENS = 12
#: Balls of one test; seconds for a ball of a test (it is aimed anew each time, and noted: common practice, no source).
MOST_BALLS, SECONDS_A_BALL = 200, 36.0
#: Green and fringe between ball and pin: a chip is played from beyond them.
_FRINGE_M = 2.0


@dataclass(frozen=True, slots=True)
class CardWords:
    """What a card says of all its balls."""

    name: str
    date: str
    tee: str
    reference: float | str
    group: str
    margin: float
    measured: str
    measured_by: str
    unit: str


@dataclass(frozen=True, slots=True, eq=False)
class AssessedBall:
    """A ball of a test, in the order of play from 1.

    ``green`` is the place of its green in the test's greens; ``run_m`` what a solid shot of the player runs after it
    lands, where the landing is measured, else 0.
    """

    number: int
    drawn: DrawnBall
    green: int
    values: ShotValues
    pin: SeenPin
    zone: SuccessZone
    run_m: float

    @property
    def target_m(self) -> float:
        """The distance aimed at: the pin's, less the run where the landing is measured."""
        return self.drawn.distance_m - self.run_m


@dataclass(frozen=True, slots=True, eq=False)
class AssessedGreen:
    """A green of the course with one of its pins; ``room_m`` the green around it (``green_to_work_with``)."""

    hole: Hole
    pin: str
    values: PinValues
    room_m: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class AssessmentDesign:
    """A designed test. ``asked`` tells the shots the course asks for beside the balls drawn; ``alike`` how many balls
    could not be kept from following one of their kind."""

    words: CardWords
    course: Course
    greens: tuple[AssessedGreen, ...]
    balls: tuple[AssessedBall, ...]
    wish: DistanceWish
    asked: tuple[AskedBand, ...]
    alike: int
    sight: Sight


def draw_up(
    course: Course,
    golfer: Golfer,
    reference: Golfer,
    asked: AskedShots,
    wish: DistanceWish,
    words: CardWords,
    *,
    balls: int,
    pins: Sequence[str] = PIN_WORDS,
    most_greens: int = MOST_GREENS,
    unit_m: float,
    seed: int,
    threads: int = 2,
) -> AssessmentDesign:
    """A test of so many balls for a player on a course, scored from ``reference``. Raises InputError."""
    luck = np.random.default_rng([seed, 5])
    drawn = draw_balls(asked, wish, balls, unit_m, luck)
    greens = _greens(course, words.tee, pins, min(balls, most_greens), reference, luck, threads)
    placed = _place_balls(drawn, greens, luck)
    order = play_order([ball.distance_m for ball in drawn], luck)
    played = [
        _ball(number, drawn[which], placed[which], greens, golfer, words)
        for number, which in enumerate(order, 1)
    ]
    return AssessmentDesign(
        words,
        course,
        tuple(greens),
        tuple(played),
        wish,
        tuple(asked_bands(practisable(asked, wish), drawn)),
        running_alike([ball.drawn.distance_m for ball in played]),
        sight([ball.values for ball in played], golfer, balls, words.margin),
    )


def _greens(
    course: Course,
    tee: str,
    pins: Sequence[str],
    count: int,
    reference: Golfer,
    luck: np.random.Generator,
    threads: int,
) -> list[AssessedGreen]:
    """Greens of the course, as different as there are, each with one of the pins in turn. Raises InputError."""
    _check_pins(course, pins)
    holes = [course.holes[each] for each in luck.permutation(len(course.holes))]
    turns = [pins[each] for each in luck.permutation(len(pins))]
    pairs: dict[tuple[int, str], Hole] = {}
    for step in range(count * len(pins) * len(holes)):
        hole, pin = holes[step % len(holes)], turns[(step + step // len(holes)) % len(turns)]
        if (pin in PIN_WORDS or pin in hole.pins) and len(pairs) < count:
            pairs.setdefault((hole.number, pin), hole)

    def solved(pair: tuple[tuple[int, str], Hole]) -> AssessedGreen:
        (_, pin), hole = pair
        values = PinValues.of(hole, tee, pin, reference)
        return AssessedGreen(hole, pin, values, green_to_work_with(values.played))

    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(solved, pairs.items()))


def _check_pins(course: Course, pins: Sequence[str]) -> None:
    own = sorted({name for hole in course.holes for name in hole.pins})
    expected, remedy = (
        "a pin of this course or a place on any green",
        f"Such a place is {', '.join(PIN_WORDS)}.",
    )
    unknown = [pin for pin in pins if pin not in PIN_WORDS and pin not in own]
    problems = [Problem("--pins", "", pin, expected, remedy) for pin in unknown]
    if problems:
        raise InputError(problems)


def _place_balls(
    drawn: Sequence[DrawnBall], greens: Sequence[AssessedGreen], luck: np.random.Generator
) -> list[int]:
    """The green of each ball: those with room for it, all as often as can be."""
    played = np.zeros(len(greens))
    placed = []
    for ball in drawn:
        fits = np.array([_fits(ball, green) for green in greens])
        if not fits.any():
            fits[:] = True
        tired = np.where(fits, played + luck.random(len(greens)) * 0.5, np.inf)
        placed.append(int(np.argmin(tired)))
        played[placed[-1]] += 1.0
    return placed


def _fits(ball: DrawnBall, green: AssessedGreen) -> bool:
    """Whether a ball from that far lies off the green."""
    played = green.values.played
    at = played.before_pin(ball.distance_m)
    return at is None or ball.distance_m > green_in_front_m(played, green.room_m, at) + _FRINGE_M


def _ball(
    number: int,
    drawn: DrawnBall,
    green: int,
    greens: Sequence[AssessedGreen],
    golfer: Golfer,
    words: CardWords,
) -> AssessedBall:
    values = greens[green].values.shot(drawn.lie, drawn.distance_m)
    run_m = run_after_landing_m(golfer, drawn) if words.measured == "carry" else 0.0
    place = seen_pin(values.pin.played, greens[green].room_m, values.ball.place_m)
    return AssessedBall(number, drawn, green, values, place, success_zone(values, words.margin), run_m)


def run_after_landing_m(golfer: Golfer, drawn: DrawnBall) -> float:
    """What a golfer's solid shot at a pin that far runs after it lands."""
    row = compile_golfer(golfer).table[drawn.lie, STANDARD]
    return float(drawn.distance_m * (1.0 - row[round(drawn.distance_m), CARRY_SHARE]))
