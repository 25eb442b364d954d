"""Sampling a posterior: mode, joint Laplace approximation, Hamiltonian Monte Carlo preconditioned by it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import scipy.linalg
import scipy.optimize
from numpy.typing import NDArray

from rangework.errors import FitError
from rangework.skill.latents import (
    LATENT_NAMES,
    LEVEL_STEP,
    LOWEST_LEVEL,
    N_LATENTS,
    SESSION_SD_LATENTS,
    LatentPrior,
    level_table,
)
from rangework.skill.likelihood_kernels import Evidence, Prior, hamiltonian_kernel, log_posterior

FloatArray = NDArray[np.float64]
Method = Literal["hmc", "laplace"]

WARM_UP = 60
#: Bounds of a trajectory's length in whitened units.
TRAJECTORY = (1.5, 2.5)
TARGET_ACCEPTANCE = 0.8
_DIFFERENCE = 1e-4


@dataclass(frozen=True, slots=True)
class Laplace:
    """Mode of a posterior with the sds of session effects held at their prior median, and the precision there."""

    mode: FloatArray
    precision: FloatArray

    def with_session_sds_held(self) -> Laplace:
        """The same as if the sds of session effects hung on nothing else: they keep their prior."""
        precision, held = self.precision.copy(), list(SESSION_SD_LATENTS)
        precision[held, :] = 0.0
        precision[:, held] = 0.0
        precision[held, held] = 1.0
        return Laplace(self.mode, precision)

    def factor(self) -> FloatArray:
        """Triangular F with ``F F' =`` covariance: ``mode + F u`` has it for standard normal u."""
        upper = scipy.linalg.cholesky(self.precision, lower=False)
        return np.ascontiguousarray(scipy.linalg.solve_triangular(upper, np.eye(self.mode.size)))


@dataclass(frozen=True, slots=True)
class Sample:
    """Draws ``[draw, latent]`` with how they came about."""

    draws: FloatArray
    acceptance: float
    step: float
    laplace: Laplace


def kernel_prior(prior: LatentPrior) -> Prior:
    """A prior as the kernels read it."""
    return Prior(
        prior.loadings(),
        np.array(level_table(prior.group)),
        LOWEST_LEVEL,
        LEVEL_STEP,
        float(prior.level),
        float(prior.level_sd),
    )


def value_and_gradient(x: FloatArray, prior: Prior, evidence: Evidence) -> tuple[float, FloatArray]:
    """Log posterior density at ``x`` and its gradient."""
    gradient = np.empty(x.size)
    return float(log_posterior(x, prior, evidence, gradient)), gradient


def find_laplace(prior: Prior, evidence: Evidence, n: int, *, driver_start: float = 0.0) -> Laplace:
    """Mode and precision of the posterior of ``n`` latents and session effects.

    The sds of session effects stay at their prior median: the joint mode would read them far too large.
    """
    free = np.setdiff1d(np.arange(n), SESSION_SD_LATENTS)

    def downhill(y: FloatArray) -> tuple[float, FloatArray]:
        x = np.zeros(n)
        x[free] = y
        value, gradient = value_and_gradient(x, prior, evidence)
        return -value, -gradient[free]

    start = np.zeros(free.size)
    start[LATENT_NAMES.index("driver_length")] = driver_start
    found = scipy.optimize.minimize(
        downhill, start, jac=True, method="L-BFGS-B", options={"maxiter": 500, "maxcor": 30}
    )
    if not np.isfinite(found.fun):
        raise FitError("The records lead to no finite likelihood: check their units.")
    mode = np.zeros(n)
    mode[free] = found.x
    return Laplace(mode, _positive(_precision(mode, prior, evidence)))


def _precision(mode: FloatArray, prior: Prior, evidence: Evidence) -> FloatArray:
    """Minus the Hessian at the mode by central differences of the gradient."""
    n = mode.size
    precision = np.empty((n, n))
    for k in range(n):
        step = np.zeros(n)
        step[k] = _DIFFERENCE
        above = value_and_gradient(mode + step, prior, evidence)[1]
        below = value_and_gradient(mode - step, prior, evidence)[1]
        precision[k] = (below - above) / (2.0 * _DIFFERENCE)
    return np.asarray(0.5 * (precision + precision.T))


def _positive(precision: FloatArray) -> FloatArray:
    """The nearest precision that is no smaller than half the prior's in any direction."""
    values, vectors = np.linalg.eigh(precision)
    return np.asarray((vectors * np.maximum(values, 0.5)) @ vectors.T)


def sample_posterior(
    prior: LatentPrior,
    evidence: Evidence,
    n_effects: int,
    *,
    n_draws: int,
    seed: int,
    method: Method,
    driver_start: float = 0.0,
) -> Sample:
    """Draws from the posterior; the same seed gives the same draws.

    ``driver_start`` is where the search for the mode starts in the latent of driver length.
    """
    kernel = kernel_prior(prior)
    n = N_LATENTS + n_effects
    laplace = find_laplace(kernel, evidence, n, driver_start=driver_start)
    rng = np.random.default_rng(seed)
    if method == "laplace":
        laplace = laplace.with_session_sds_held()
        draws = laplace.mode + rng.standard_normal((n_draws, n)) @ laplace.factor().T
        draws[:, list(SESSION_SD_LATENTS)] = 0.0
        return Sample(draws, 1.0, 0.0, laplace)
    iterations = WARM_UP + n_draws
    draws, acceptance, step = hamiltonian_kernel(
        laplace.mode,
        laplace.factor(),
        kernel,
        evidence,
        rng.standard_normal((iterations, n)),
        rng.random(iterations),
        rng.uniform(*TRAJECTORY, iterations),
        WARM_UP,
        TARGET_ACCEPTANCE,
    )
    return Sample(draws, float(acceptance.mean()), float(step), laplace)


def split_r_hat(draws: FloatArray) -> FloatArray:
    """Potential scale reduction of the halves of one chain (Gelman et al., Bayesian Data Analysis 11.4)."""
    half = len(draws) // 2
    halves = np.stack([draws[:half], draws[half : 2 * half]])
    within = halves.var(axis=1, ddof=1).mean(axis=0)
    between = half * halves.mean(axis=1).var(axis=0, ddof=1)
    safe = np.where(within > 0.0, within, 1.0)
    return np.asarray(np.where(within > 0.0, np.sqrt((half - 1.0) / half + between / half / safe), 1.0))
