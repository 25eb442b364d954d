"""What is expected of a player's strokes gained, cell by cell, before a ball of an assessment is hit.

A cell is a distance band with a pin position. The moments come from plausible players hitting the very balls of
the card on days as days go: so a cell is shrunk toward what the player's records (or the handicap) say of it,
and cells that the same fault reaches move together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CellPrior:
    """Moments of strokes gained a ball by cell, in the order of ``cells``.

    ``mean`` [c] over plausible players; ``players`` [c, c] covariance of their usual means; ``days`` [c, c]
    covariance of what one day adds for all of its balls; ``ball_variance`` [c] of single balls on one day.
    """

    cells: tuple[str, ...]
    mean: FloatArray
    players: FloatArray
    days: FloatArray
    ball_variance: FloatArray

    def without_sharing(self) -> CellPrior:
        """A prior that knows nothing: huge spread between players, days all alike. For tests: it over-reads."""
        n = len(self.cells)
        return CellPrior(self.cells, np.zeros(n), 1e4 * np.eye(n), np.zeros((n, n)), self.ball_variance)


def prior_from_days(cells: tuple[str, ...], means: FloatArray, ball_variance: FloatArray) -> CellPrior:
    """Moments of imagined days: ``means`` [player, 2 days, cell] and the variance of a ball [cell].

    Two days of one player share the player and nothing else, so what they have in common is the player's, and half
    the variance of their difference is a day's.
    """
    flat = means.mean(axis=(0, 1))
    first, second = means[:, 0] - flat, means[:, 1] - flat
    shared = (first.T @ second + second.T @ first) / (2.0 * len(means))
    apart = (first - second).T @ (first - second) / (2.0 * len(means))
    return CellPrior(cells, flat, positive(shared), positive(apart), ball_variance)


def positive(matrix: FloatArray) -> FloatArray:
    """The nearest covariance matrix: negative eigenvalues, which only luck makes, become nothing."""
    values, vectors = np.linalg.eigh(0.5 * (matrix + matrix.T))
    return np.asarray((vectors * np.maximum(values, 0.0)) @ vectors.T)
