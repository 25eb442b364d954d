"""A posterior sampled a second time by a general ensemble sampler, and how far figures may differ by chance.

The ensemble needs no gradient, no mode and no whitening: of the fit it shares the log density and the evidence alone.
Its moves are differences of walkers (ter Braak 2006). emcee's own snooker move is left out: with emcee 3.1.6 it draws a
standard normal in 58 dimensions with a standard deviation of 0.7 (a test shows it).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import emcee
import numpy as np
from numba import njit
from numpy.typing import NDArray

from rangework.skill.kernel_arrays import Evidence, Prior
from rangework.skill.posterior_kernels import log_posterior

FloatArray = NDArray[np.float64]
Density = Callable[[FloatArray], FloatArray]

#: Statistics that are compared, in this order.
STATISTICS = ("mean", "sd", "5 % quantile", "95 % quantile")
#: Share of an ensemble's steps that are thrown away.
_SETTLING = 0.2
#: Half the share of draws between the two quantiles that a density is read off.
_AROUND = 0.02
_WINDOW = 5.0


class Estimates(NamedTuple):
    """``value`` and Monte Carlo ``error`` of each of ``STATISTICS``; ``draws``: independent ones they are worth."""

    value: FloatArray
    error: FloatArray
    draws: float


def posterior_density(prior: Prior, evidence: Evidence) -> Density:
    """Log posterior density ``[point]`` at ``[point, latent]``; minus infinity where it is not a number."""

    def density(points: FloatArray) -> FloatArray:
        found = np.empty(len(points))
        _fill(np.ascontiguousarray(points), prior, evidence, found)
        return np.where(np.isfinite(found), found, -np.inf)

    return density


@njit
def _fill(points: Any, prior: Any, evidence: Any, found: Any) -> None:
    gradient = np.empty(points.shape[1])
    for i in range(points.shape[0]):
        found[i] = log_posterior(points[i], prior, evidence, gradient)


def sample_ensemble(
    density: Density, start: FloatArray, steps: int, *, seed: int, moves: Any = None
) -> FloatArray:
    """Draws ``[step, walker, latent]`` of an ensemble that starts at ``[walker, latent]``, settling left out."""
    sampler = emcee.EnsembleSampler(
        *start.shape, density, moves=moves or emcee.moves.DEMove(), vectorize=True
    )
    # emcee knows no generator of the newer kind
    sampler.random_state = np.random.RandomState(seed).get_state()
    sampler.run_mcmc(start, steps)
    chain: FloatArray = sampler.get_chain(discard=round(_SETTLING * steps))
    return chain


def estimates(series: FloatArray) -> Estimates:
    """The statistics of a series ``[step, walker]`` with errors that allow for its autocorrelation.

    The error of each is that of the mean of its influence function: x for the mean, the squared deviation for the
    standard deviation, below or above for a quantile.
    """
    mean, sd = float(series.mean()), float(series.std())
    low, high = np.quantile(series, (0.05, 0.95))
    influences = (
        series - mean,
        ((series - mean) ** 2 - sd**2) / (2.0 * sd),
        _quantile_influence(series, 0.05, low),
        _quantile_influence(series, 0.95, high),
    )
    error = np.array([_error_of_mean(influence) for influence in influences])
    return Estimates(np.array([mean, sd, low, high]), error, (sd / error[0]) ** 2)


def _quantile_influence(series: FloatArray, share: float, at: float) -> FloatArray:
    below, above = np.quantile(series, (share - _AROUND, share + _AROUND))
    density = 2.0 * _AROUND / (above - below)
    return np.asarray((share - (series <= at)) / density)


def _error_of_mean(series: FloatArray) -> float:
    return float(series.std() * np.sqrt(autocorrelation_time(series) / series.size))


def autocorrelation_time(series: FloatArray) -> float:
    """Steps that count as one independent draw, of a series ``[step, walker]`` (Sokal's window of five times that).

    Covariances are taken over all walkers together: a walker that never passed a quantile has none of its own.
    """
    steps = len(series)
    spectrum = np.fft.rfft(series - series.mean(), 2 * steps, axis=0)
    covariance = np.fft.irfft(np.abs(spectrum) ** 2, axis=0)[:steps].sum(axis=1)
    times = 2.0 * np.cumsum(covariance / covariance[0]) - 1.0
    return float(times[np.argmax(np.arange(steps) >= _WINDOW * times)])


def differences(first: Estimates, second: Estimates) -> FloatArray:
    """Differences of the statistics in standard errors of the difference."""
    return np.asarray((first.value - second.value) / np.hypot(first.error, second.error))
