"""Evenly spread standard normal pairs, the fixed table of errors that expectations are taken over."""

from __future__ import annotations

from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from rangework.play.kernels import MOST_POINTS, Points

#: The plastic constant's powers: the two-dimensional golden-ratio sequence.
_STEP = np.array([0.7548776662466927, 0.5698402909980532])


@cache
def error_points(solid: int, poor: int, shift: float = 0.5, sets: int = 1) -> Points:
    """``sets`` sets of ``solid`` and ``poor`` standard normal pairs from a low-discrepancy sequence.

    Each set is centred and scaled so that its means are 0, its variances 1 and its correlation 0. Another
    ``shift`` gives fresh points, for valuing what the first ones chose. Raises ValueError for more than
    ``MOST_POINTS`` in a set.
    """
    if max(solid, poor) > MOST_POINTS:
        raise ValueError(f"{max(solid, poor)} points in a set; the kernels have room for {MOST_POINTS}")
    return Points(_normal_sets(solid, sets, shift), _normal_sets(poor, sets, shift + 0.25))


def _normal_sets(count: int, sets: int, shift: float) -> NDArray[np.float64]:
    places = np.arange(1, count * sets + 1).reshape(sets, count, 1)
    uniforms = np.clip((shift + places * _STEP) % 1.0, 1e-6, 1.0 - 1e-6)
    return np.stack([_standardised(normal_quantile(pairs)) for pairs in uniforms])


def _standardised(pairs: NDArray[np.float64]) -> NDArray[np.float64]:
    centred = pairs - pairs.mean(axis=0)
    whitening = np.linalg.inv(np.linalg.cholesky(np.cov(centred.T, bias=True)))
    return np.ascontiguousarray(whitening @ centred.T)


def normal_quantile(probability: NDArray[np.float64]) -> NDArray[np.float64]:
    """Standard normal quantiles, by the standard library's algorithm AS 241."""
    quantile = NormalDist().inv_cdf
    flat = [quantile(p) for p in probability.ravel()]
    return np.array(flat).reshape(probability.shape)
