"""Which balls a test holds: distances and lies, drawn from what a course asks, from a range, or from given targets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.errors import InputError, Problem
from rangework.lie import Lie
from rangework.play.asked_shots import AskedShots
from rangework.skill.model import SHORT_LIMIT_M
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]

#: Lies that a test ball may be played from; a par-3 tee shot is one from the fairway.
ASSESSED_LIES = (Lie.FAIRWAY, Lie.ROUGH, Lie.SAND)
#: Shorter than this there is no green between ball and pin.
SHORTEST_M = 8.0 * YARD_M
#: A shot that the course asks for is practised at a given target no farther from it than this.
_STANDS_FOR_M, _STANDS_FOR_SHARE = 8.0 * YARD_M, 0.15
#: Bands of distance that the shots asked for are told in, yards.
BANDS_YD = (0, 20, 50, 75, 100, 125, 150, 175, 200, 400)


@dataclass(frozen=True, slots=True)
class DrawnBall:
    """A ball of a test: what it is played from, and how far the pin is."""

    lie: Lie
    distance_m: float

    @property
    def place(self) -> str:
        """Where it is hit."""
        return "range" if self.distance_m >= SHORT_LIMIT_M else "short_game_area"


@dataclass(frozen=True, slots=True)
class DistanceWish:
    """What a test's distances come from.

    ``low_m`` to ``high_m`` evenly, or the targets ``available_m``, or, with neither, the shots the course asks for.
    ``lies`` are those allowed; ``place`` is where it is hit, None for both places.
    """

    low_m: float | None = None
    high_m: float | None = None
    available_m: tuple[float, ...] = ()
    lies: tuple[Lie, ...] = ASSESSED_LIES
    place: str | None = None

    @property
    def as_asked(self) -> bool:
        """Whether the shots that the course asks for decide alone."""
        return self.low_m is None and not self.available_m


def practisable(asked: AskedShots, wish: DistanceWish) -> AskedShots:
    """The shots at a green that a test can hold: those from lies of the wish, where it is hit, drives left out."""
    lie = np.where(asked.lie == Lie.TEE, Lie.FAIRWAY, asked.lie)
    held = asked.at_green & np.isin(lie, wish.lies) & (asked.to_pin_m >= SHORTEST_M)
    if wish.place:
        held &= (asked.to_pin_m >= SHORT_LIMIT_M) == (wish.place == "range")
    chosen = asked.chosen(held)
    return AskedShots(
        chosen.rounds, chosen.hole, lie[held], chosen.target_m, chosen.to_pin_m, chosen.at_green
    )


def draw_balls(
    asked: AskedShots, wish: DistanceWish, balls: int, unit_m: float, luck: np.random.Generator
) -> list[DrawnBall]:
    """So many balls for a wish, nearest first; distances are whole numbers of ``unit_m``. Raises InputError."""
    pool = practisable(asked, wish)
    if wish.low_m is not None and wish.high_m is not None:
        distances = wish.low_m + (wish.high_m - wish.low_m) * _even_shares(balls, luck)
        return _with_lies(distances, pool, wish, unit_m, luck)
    if wish.available_m:
        return _at_targets(pool, wish, balls, unit_m, luck)
    if not len(pool.hole):
        expected = "lies and a place from which this course asks for shots at a green"
        raise InputError(Problem("--lies", "", "", expected, "Give --from and --to, or --available."))
    order = np.argsort(pool.to_pin_m, kind="stable")
    chosen = order[(_even_shares(balls, luck) * len(order)).astype(np.int64)]
    return [
        DrawnBall(Lie(int(pool.lie[shot])), _whole(float(pool.to_pin_m[shot]), unit_m)) for shot in chosen
    ]


def _even_shares(balls: int, luck: np.random.Generator) -> FloatArray:
    """One share of each of so many equal parts of 0 to 1, in order."""
    return np.asarray((np.arange(balls) + luck.random(balls)) / balls)


def _whole(length_m: float, unit_m: float) -> float:
    return max(round(length_m / unit_m), 1) * unit_m


def _with_lies(
    distances: FloatArray, pool: AskedShots, wish: DistanceWish, unit_m: float, luck: np.random.Generator
) -> list[DrawnBall]:
    """Lies as the course mixes them around each distance, the lies of the wish in turn where it asks for none."""
    balls = []
    for number, distance in enumerate(distances.tolist()):
        near = np.flatnonzero(np.abs(pool.to_pin_m - distance) <= max(_STANDS_FOR_M, 0.15 * distance))
        lie = int(pool.lie[luck.choice(near)]) if len(near) else int(wish.lies[number % len(wish.lies)])
        balls.append(DrawnBall(Lie(lie), _whole(distance, unit_m)))
    return balls


def _at_targets(
    pool: AskedShots, wish: DistanceWish, balls: int, unit_m: float, luck: np.random.Generator
) -> list[DrawnBall]:
    """Balls at the targets there are: each stands for the shots that are nearest to it, and is hit at least once."""
    targets = np.sort(np.array(wish.available_m))
    nearest = np.abs(pool.to_pin_m[:, None] - targets).argmin(axis=1)
    off = np.abs(pool.to_pin_m - targets[nearest])
    stands = off <= np.maximum(_STANDS_FOR_M, _STANDS_FOR_SHARE * targets[nearest])
    weight = np.bincount(nearest[stands], minlength=len(targets)).astype(np.float64) + 1e-9
    counts = _shared_out(balls, weight)
    distances = np.repeat(targets, counts)
    return [
        DrawnBall(ball.lie, distance)
        for ball, distance in zip(
            _with_lies(distances, pool, wish, unit_m, luck), distances.tolist(), strict=True
        )
    ]


def _shared_out(balls: int, weight: FloatArray) -> NDArray[np.int64]:
    """Balls by target: one each as far as they go, the rest in proportion, and no target more than half of all."""
    counts = np.zeros(len(weight), dtype=np.int64)
    most = (balls + 1) // 2 if len(weight) > 1 else balls
    for _ in range(balls):
        behind = np.where(counts == 0, np.inf, weight / (counts + 0.5))
        behind[counts >= most] = -1.0
        behind = np.where(np.isinf(behind), 1e12 * weight.max() + weight, behind)
        counts[int(np.argmax(behind))] += 1
    return counts


@dataclass(frozen=True, slots=True)
class AskedBand:
    """Shots at greens within a band of distances: how many a round asks for, and the test's balls among them."""

    low_m: float
    high_m: float
    a_round: float
    balls: int


def asked_bands(pool: AskedShots, balls: Sequence[DrawnBall]) -> list[AskedBand]:
    """The shots that a test can hold by distance, beside the balls that it holds."""
    edges = np.array(BANDS_YD) * YARD_M
    asked, _ = np.histogram(pool.to_pin_m, edges)
    held, _ = np.histogram([ball.distance_m for ball in balls], edges)
    return [
        AskedBand(
            float(edges[band]), float(edges[band + 1]), float(asked[band]) / pool.rounds, int(held[band])
        )
        for band in range(len(edges) - 1)
        if asked[band] or held[band]
    ]
