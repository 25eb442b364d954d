"""How many balls it takes to see a change: by the normal formula, and with solid and poor strikes as they are.

Two tests of the same balls are compared, before and after. A change is seen where the difference is outside what
luck does 95 times in 100; it should be seen 80 times in 100 (two-sided, by the normal distribution of means of many
balls: common practice).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.landing import finishes
from rangework.aim.targets import Aiming, Shot
from rangework.aim.values import StrokesOutlook, balanced_points, best_height
from rangework.assessment.pin_values import ShotValues
from rangework.play.kernels import Player
from rangework.play.strategy import compile_player
from rangework.skill.model import POOR_LENGTH, POOR_SPREAD, Golfer, wider

FloatArray = NDArray[np.float64]

#: Standard errors between no change and one that is seen: 5 % two-sided, 80 % power.
SEEN_AT = 1.959964 + 0.841621
CHANGES = (0.1, 0.2, 0.3)
#: Days differ by so much in all spreads (sources.toml: prior.sessions).
DAY_SPREAD = 0.10
#: Balls of a long test that stand for all.
_MOST_BALLS = 40


@dataclass(frozen=True, slots=True)
class BallsToSee:
    """Balls before and as many after to see all spreads shrink by ``change``.

    ``normal_formula``: as if every ball were a solid strike and only its length were looked at; ``spread``: the same
    with this player's poor strikes among them; ``gained``: by the mean strokes gained of this test; ``days``: the least
    days that the balls of each test should be spread over, since days differ.
    """

    change: float
    normal_formula: int
    spread: int
    gained: int
    days: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a test is expected to show of a player: strokes gained a ball, its standard deviation, successes."""

    gained: float
    sd: float
    success: float


@dataclass(frozen=True, slots=True)
class Sight:
    """``rows`` for three changes; ``least_change``: the least that the test's own balls would show; None under 60 %."""

    now: Outlook
    rows: tuple[BallsToSee, ...]
    least_change: float | None


def shrunk(golfer: Golfer, change: float) -> Golfer:
    """The golfer with every spread off the tee, of approaches and of the short game smaller by that share."""
    return wider(golfer, 1.0 - change)


def outlook(shots: Sequence[ShotValues], golfer: Golfer, margin: float = 0.0) -> Outlook:
    """Strokes gained of a golfer who plays every ball of a test at its pin."""
    player = compile_player(golfer)
    means, squares, successes = np.array([_moments(shot, player, margin) for shot in shots]).T
    return Outlook(
        float(means.mean()), math.sqrt(float((squares - means**2).mean())), float(successes.mean())
    )


def _moments(values: ShotValues, player: Player, margin: float) -> tuple[float, float, float]:
    long, right, weight = ball_finishes(values, player)
    gained = values.gained(long, right)
    return float(weight @ gained), float(weight @ gained**2), float(weight @ (gained >= -margin))


def ball_finishes(values: ShotValues, player: Player) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Where balls played at the pin finish, beyond it and right of it as seen from the ball, with weights."""
    pin = values.pin.played.pin_m
    aiming = Aiming(values.pin.played, values.ball, player)
    reach = min(1.0, aiming.longest_m / max(aiming.to_pin_m, 1e-9))
    place = tuple(start + reach * (end - start) for start, end in zip(values.ball.place_m, pin, strict=True))
    shot = _shot(values, aiming, (place[0], place[1]))
    found = finishes(aiming, shot, balanced_points(1000, 400, 0.37, 2))
    x, y = found.x_m - pin[0], found.y_m - pin[1]
    ahead = np.subtract(pin, values.ball.place_m) / max(aiming.to_pin_m, 1e-9)
    return x * ahead[0] + y * ahead[1], x * ahead[1] - y * ahead[0], found.weight


def _shot(values: ShotValues, aiming: Aiming, place: tuple[float, float]) -> Shot:
    costs = StrokesOutlook(aiming, aiming.player, values.pin.strategy.cost)
    return best_height(costs, place, balanced_points(160, 40, 0.1, 1))


def sight(shots: Sequence[ShotValues], golfer: Golfer, balls: int, margin: float = 0.0) -> Sight:
    """What a test of these shots would show of a golfer who changes, with ``balls`` before and after."""
    chosen = shots[:: max(1, math.ceil(len(shots) / _MOST_BALLS))]
    now = outlook(chosen, golfer, margin)
    poor, ratio = _mixture(chosen, golfer)
    slope = _gain_of_day(chosen, golfer)
    rows, needed = [], []
    for change in CHANGES:
        then = outlook(chosen, shrunk(golfer, change))
        gained = _balls(now, then)
        needed.append(gained)
        days = math.ceil(2.0 * (SEEN_AT * slope / (then.gained - now.gained)) ** 2)
        rows.append(
            BallsToSee(change, normal_formula(change), spread_balls(change, poor, ratio), gained, days)
        )
    return Sight(now, tuple(rows), _least_change(chosen, golfer, now, balls))


def normal_formula(change: float) -> int:
    """Balls before and after by n = 1 + (z / ln(1 - change))^2: a normal sample's ln(sd) has variance 1/2(n-1)."""
    return math.ceil(1.0 + (SEEN_AT / math.log(1.0 - change)) ** 2)


def spread_balls(change: float, poor: float, ratio: float) -> int:
    """The same for the sd of lengths of solid and poor strikes together.

    ``poor``: their share; ``ratio``: target over the sd of solid strikes. Poor strikes fall short by a share of the
    target that does not shrink, and their long tail makes the sd unsteady: its log has variance (kurtosis - 1) / 4n.
    """
    before, after = (_sd_and_kurtosis(poor, ratio, left) for left in (1.0, 1.0 - change))
    variance = 0.25 * (before[1] + after[1] - 2.0)
    return math.ceil(1.0 + variance * (SEEN_AT / math.log(after[0] / before[0])) ** 2)


def _sd_and_kurtosis(poor: float, ratio: float, scale: float) -> tuple[float, float]:
    """Of lengths in units of the solid sd before the change."""
    weights = np.array([1.0 - poor, poor])
    means, sds = np.array([0.0, (POOR_LENGTH - 1.0) * ratio]), np.array([1.0, POOR_SPREAD]) * scale
    off = means - weights @ means
    second = weights @ (off**2 + sds**2)
    fourth = weights @ (off**4 + 6.0 * off**2 * sds**2 + 3.0 * sds**4)
    return math.sqrt(float(second)), float(fourth / second**2)


def _mixture(shots: Sequence[ShotValues], golfer: Golfer) -> tuple[float, float]:
    """Mean share of poor strikes, and mean ratio of target to the solid sd of length, over the balls of a test."""
    player = compile_player(golfer)
    rows = []
    for values in shots:
        distance = values.ball.distance_m(values.pin.played.pin_m)
        depth, _, _, _, poor, _ = player.table[values.ball.row, 1, round(distance)]
        rows.append((float(poor), distance / float(depth)))
    poor, ratio = np.mean(rows, axis=0).tolist()
    return poor, ratio


def _gain_of_day(shots: Sequence[ShotValues], golfer: Golfer) -> float:
    """Standard deviation of a day's mean strokes gained, from days that differ in spread."""
    wide, narrow = (outlook(shots, shrunk(golfer, change)) for change in (-DAY_SPREAD, DAY_SPREAD))
    return 0.5 * (narrow.gained - wide.gained)


def _balls(now: Outlook, then: Outlook) -> int:
    """Balls before and after to see one mean beside the other."""
    return math.ceil((now.sd**2 + then.sd**2) * (SEEN_AT / (then.gained - now.gained)) ** 2)


def _least_change(shots: Sequence[ShotValues], golfer: Golfer, now: Outlook, balls: int) -> float | None:
    """The least change that so many balls would show."""
    low, high = 0.0, 0.6
    if _balls(now, outlook(shots, shrunk(golfer, high))) > balls:
        return None
    for _ in range(6):
        middle = 0.5 * (low + high)
        enough = _balls(now, outlook(shots, shrunk(golfer, middle))) <= balls
        low, high = (low, middle) if enough else (middle, high)
    return high
