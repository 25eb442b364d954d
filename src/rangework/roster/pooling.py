"""What many players' practice did, pooled: each is drawn towards the group, the more so the less is known.

A random-effects model: player i's steps an hour are normal about the group's mean, and measured with a known error. The
variance between players is the moment estimate of DerSimonian and Laird, "Meta-analysis in clinical trials",
Controlled Clinical Trials 7 (1986) 177-188.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.estimate import Estimate

FloatArray = NDArray[np.float64]

#: Half of a 90 % interval, in standard errors.
NINETY = 1.6449
UNIT = "steps per effective hour"
BASIS = "data+assumption.roster.pooling"


@dataclass(frozen=True, slots=True)
class Measured:
    """A part of one player, tested before and after ``hours`` that act on it: ``steps`` gained, and their sd."""

    player: int
    steps: float
    sd: float
    hours: float


@dataclass(frozen=True, slots=True)
class Pooled:
    """The group's steps an hour, how much players really differ (sd), and every player's figure, drawn to the group."""

    group: Estimate
    between_sd: float
    players: dict[int, Estimate]


def pool(measured: Sequence[Measured]) -> Pooled | None:
    """Pool one part over players; None with fewer than two who practised it and were tested."""
    usable = [each for each in measured if each.hours > 0.0 and each.sd > 0.0]
    if len({each.player for each in usable}) < 2:
        return None
    rate = np.array([each.steps / each.hours for each in usable])
    variance = np.array([(each.sd / each.hours) ** 2 for each in usable])
    between = between_variance(rate, variance)
    weight = 1.0 / (variance + between)
    mean, error = float(weight @ rate / weight.sum()), float(1.0 / math.sqrt(weight.sum()))
    # the smaller the real part of a deviation, the nearer to the group, whose own error then counts too
    real = between / (between + variance)
    drawn = mean + real * (rate - mean)
    sd = np.sqrt(real * variance + ((1.0 - real) * error) ** 2)
    return Pooled(
        group=_estimate(mean, error),
        between_sd=math.sqrt(between),
        players={
            each.player: _estimate(float(d), float(s)) for each, d, s in zip(usable, drawn, sd, strict=True)
        },
    )


def between_variance(values: FloatArray, variances: FloatArray) -> float:
    """The variance between players beyond what their measuring errors explain; never below 0."""
    weight = 1.0 / variances
    mean = weight @ values / weight.sum()
    q = float(weight @ (values - mean) ** 2)
    scale = float(weight.sum() - (weight @ weight) / weight.sum())
    return max(0.0, (q - (len(values) - 1)) / scale) if scale > 0.0 else 0.0


def _estimate(value: float, sd: float) -> Estimate:
    return Estimate(value, value - NINETY * sd, value + NINETY * sd, UNIT, BASIS)
