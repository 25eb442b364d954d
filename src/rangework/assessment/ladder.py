"""Ladders: rungs to make one after another, as exact Markov chains.

The state is the rung that the next ball is hit at. A ball made leads one rung up, from the last one to the end; a
miss leads where the ladder's rule says. Absorbing chains: Kemeny & Snell, Finite Markov Chains (1960), chapter 3.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import beta

FloatArray = NDArray[np.float64]

#: Rungs of a ladder, and the least chance of one: beyond, no one would live to see the end.
MOST_RUNGS, LEAST_CHANCE = 50, 0.001
#: The cap that is set: so many attempts of a hundred meet it.
MET_BY = 0.8
#: Caps are looked for up to this many balls; a longer ladder has none worth stating.
_DOUBLINGS = 40
_NODES, _TOWARDS_POOR = 128, 4.0


class OnMiss(Enum):
    """Where a miss leads."""

    DOWN = "down"  #: one rung down; the first rung holds
    START = "start"  #: back to the first rung
    STAY = "stay"  #: the rung is hit until it is made


@dataclass(frozen=True, slots=True)
class LadderOdds:
    """What a ladder asks before anyone hits a ball.

    ``expected_balls`` and ``sd_balls`` are infinite where chances near 0 leave them without a bound;
    ``cap_for_80_percent`` is the fewest balls within which 80 % of attempts are done, None beyond 10^12.
    """

    expected_balls: float
    sd_balls: float
    cap_for_80_percent: int | None


class Ladder:
    """A ladder, for one player or for several plausible ones at once.

    ``chances`` [rung] or [player, rung]: the chance to make each rung, first to last. ``weights`` [player] sum to 1
    (even unless given). An attempt is one player's from beginning to end.
    """

    def __init__(self, chances: ArrayLike, on_miss: OnMiss, weights: ArrayLike | None = None) -> None:
        self.chances: FloatArray = np.atleast_2d(np.asarray(chances, dtype=np.float64))
        self.on_miss = on_miss
        players = len(self.chances)
        self.weights: FloatArray = (
            np.full(players, 1.0 / players) if weights is None else np.asarray(weights, dtype=np.float64)
        )
        self._powers = [_moves(self.chances, on_miss)]

    @property
    def rungs(self) -> int:
        """How many rungs there are."""
        return len(self.chances[0])

    def odds(self) -> LadderOdds:
        """Expected balls, their spread, and the cap to set."""
        mean, variance = _moments(self.chances, self.on_miss)
        expected = float(self.weights @ mean)
        with np.errstate(over="ignore", invalid="ignore"):
            spread = float(self.weights @ (variance + (mean - expected) ** 2))
        return LadderOdds(expected, math.sqrt(spread), self.cap_met_by(MET_BY))

    def chance_within(self, balls: int, rung: int = 0) -> float:
        """The chance to finish with at most so many balls, from a rung on."""
        return float(self.weights @ (1.0 - self._unfinished(balls)[:, rung]))

    def cap_met_by(self, share: float) -> int | None:
        """The fewest balls within which that share of attempts is done; None where there is no such cap."""
        left = np.ones((len(self.chances), self.rungs))
        level = 0
        while self._done(self._power(level) @ left[:, :, None]) < share:
            level += 1
            if level > _DOUBLINGS:
                return None
        balls = 0
        for step in range(level, -1, -1):
            further = (self._power(step) @ left[:, :, None])[:, :, 0]
            if self._done(further[:, :, None]) < share:
                left, balls = further, balls + 2**step
        return balls + 1

    def _done(self, left: FloatArray) -> float:
        return float(self.weights @ (1.0 - left[:, 0, 0]))

    def _unfinished(self, balls: int) -> FloatArray:
        """[player, rung] the chance to be still at it after so many balls."""
        left = np.ones((len(self.chances), self.rungs, 1))
        for step in range(max(balls, 0).bit_length()):
            if balls >> step & 1:
                left = self._power(step) @ left
        return np.asarray(left[:, :, 0])

    def _power(self, level: int) -> FloatArray:
        """The moves of 2^level balls."""
        while len(self._powers) <= level:
            self._powers.append(self._powers[-1] @ self._powers[-1])
        return self._powers[level]


def _moves(chances: FloatArray, on_miss: OnMiss) -> FloatArray:
    """[player, from rung, to rung] the chance that one ball leads from one rung to another; the end is left out."""
    players, rungs = chances.shape
    at = np.arange(rungs)
    moves = np.zeros((players, rungs, rungs))
    moves[:, at[:-1], at[1:]] = chances[:, :-1]
    to = {OnMiss.DOWN: np.maximum(at - 1, 0), OnMiss.START: np.zeros_like(at), OnMiss.STAY: at}[on_miss]
    moves[:, at, to] += 1.0 - chances
    return moves


def _moments(chances: FloatArray, on_miss: OnMiss) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of the balls from the first rung to the end, by player.

    A rung takes a ball, and for each miss one more and the way back up: a geometric number of sums. Unlike the inverse
    of the chain's matrix (which the tests compare) that subtracts nothing, so that long odds keep their digits.
    """
    mean, variance = np.zeros_like(chances), np.zeros_like(chances)
    with np.errstate(over="ignore"):
        for rung, chance in enumerate(chances.T):
            first = {OnMiss.DOWN: max(rung - 1, 0), OnMiss.START: 0, OnMiss.STAY: rung}[on_miss]
            back, varied = (way[:, first:rung].sum(axis=1) for way in (mean, variance))
            misses, spread = (1.0 - chance) / chance, (1.0 - chance) / chance**2
            mean[:, rung] = 1.0 + misses * (1.0 + back)
            variance[:, rung] = misses * varied + spread * (1.0 + back) ** 2
        return mean.sum(axis=1), variance.sum(axis=1)


def uncertain_ladder(chances: ArrayLike, seen: float, on_miss: OnMiss) -> Ladder:
    """The ladder for chances that rest on ``seen`` balls each: Beta(seen p, seen (1 - p)), all high or low together.

    A player who is better than thought at one rung is taken to be so at the others.
    """
    node, weight = np.polynomial.legendre.leggauss(_NODES)
    even = 0.5 * (node + 1.0)
    # most nodes go to the players who are worse than thought: their attempts are the long ones
    share, weight = even**_TOWARDS_POOR, 0.5 * weight * _TOWARDS_POOR * even ** (_TOWARDS_POOR - 1.0)
    stated = np.asarray(chances, dtype=np.float64)
    drawn = beta.ppf(share[:, None], seen * stated, np.maximum(seen * (1.0 - stated), 1e-9))
    return Ladder(np.clip(drawn, LEAST_CHANCE, 1.0), on_miss, weight)
