"""Sampling a posterior: mode, joint Laplace approximation, Hamiltonian Monte Carlo preconditioned by it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import scipy.linalg
import scipy.optimize
from numpy.typing import NDArray

from rangework.errors import FitError
from rangework.skill import coordinates as c
from rangework.skill.kernel_arrays import Evidence, Prior, Sessions, Whitening
from rangework.skill.latents import (
    LATENT_NAMES,
    LEVEL_STEP,
    LOWEST_LEVEL,
    N_LATENTS,
    SESSION_SD_LATENTS,
    LatentPrior,
    effects,
    level_table,
)
from rangework.skill.posterior_kernels import (
    at_level_kernel,
    hamiltonian_kernel,
    log_posterior,
    unwhitened_kernel,
)

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
Method = Literal["hmc", "laplace"]

WARM_UP = 60
#: Bounds of a trajectory's length in whitened units.
TRAJECTORY = (1.5, 2.5)
TARGET_ACCEPTANCE = 0.8
#: Draws whose halves differ more than this (split R-hat) are taken anew from a chain so many times as long.
GOOD_R_HAT, LONGER = 1.1, 4
_DIFFERENCE = 1e-4
#: Wide enough to see past the kinks that reference golfers have in the level.
_LEVEL_DIFFERENCE = 0.2


@dataclass(frozen=True, slots=True)
class Laplace:
    """Mode of a posterior with the sds of session effects held at their prior median, and the curvature there.

    ``mode`` holds latents and session effects. ``precision`` ``[latent, latent]`` is that of the latents with the
    effects left open, after the bend that `Whitening` describes; given the latents, the effects of a session have
    the precision ``blocks`` and hang on the latents by ``cross``.
    """

    mode: FloatArray
    centred: FloatArray  #: [latent] share of a latent's shift with the level that the bend takes off
    precision: FloatArray
    cross: FloatArray  #: [effect, latent]
    blocks: FloatArray  #: [session, 3, 3]
    members: IntArray  #: [session, 3] effects of a session, -1 for none

    def with_session_sds_held(self) -> Laplace:
        """The same as if the sds of session effects hung on nothing else: they keep their prior."""
        precision, cross, held = self.precision.copy(), self.cross.copy(), list(SESSION_SD_LATENTS)
        precision[held, :] = 0.0
        precision[:, held] = 0.0
        precision[held, held] = 1.0
        cross[:, held] = 0.0
        return Laplace(self.mode, self.centred, precision, cross, self.blocks, self.members)

    def whitening(self) -> Whitening:
        """Latents and effects from unit normals, with the covariance of the curvature."""
        upper = scipy.linalg.cholesky(self.precision, lower=False)
        golfer = np.ascontiguousarray(scipy.linalg.solve_triangular(upper, np.eye(len(upper))))
        blocks, partners = np.zeros((len(self.cross), 3)), np.zeros((len(self.cross), 3), dtype=np.int64)
        # blocks = L L', so L^-T turns unit normals into effects
        roots = np.linalg.inv(np.linalg.cholesky(self.blocks)).transpose(0, 2, 1)
        for row in range(3):
            known = self.members[:, row] >= 0
            at = self.members[known, row]
            blocks[at], partners[at] = roots[known, row], np.maximum(self.members[known], 0)
        lean = np.ascontiguousarray(-_solve_blocks(self.blocks, self.members, self.cross) @ golfer)
        return Whitening(self.mode, golfer, lean, blocks, partners, self.centred)


def _solve_blocks(blocks: FloatArray, members: IntArray, right: FloatArray) -> FloatArray:
    """``right`` ``[effect, column]`` divided by the block diagonal matrix of sessions' precisions."""
    rows = np.where((members >= 0)[:, :, None], right[np.maximum(members, 0)], 0.0)
    solved = np.linalg.solve(blocks, rows)
    found = np.zeros_like(right)
    found[members[members >= 0]] = solved[members >= 0]
    return found


@dataclass(frozen=True, slots=True)
class Sample:
    """Draws ``[draw, latent]`` with how they came about."""

    draws: FloatArray
    acceptance: float
    step: float
    laplace: Laplace


def kernel_prior(prior: LatentPrior) -> Prior:
    """A prior as the kernels read it."""
    loadings, levels = prior.loadings(), np.array(level_table(prior.group))
    return Prior(
        loadings,
        levels,
        LOWEST_LEVEL,
        LEVEL_STEP,
        float(prior.level),
        float(prior.level_sd),
        _shifts(loadings, levels),
    )


def _shifts(loadings: FloatArray, levels: FloatArray) -> FloatArray:
    """By level, what each latent would have to lose for the coordinates to stay where they are.

    Only latents of one coordinate, and those of poor strikes by lie, take part: they move one part of the game.
    """
    own = [k for k, effect in enumerate(effects(), start=1) if _moves_one_part(effect.coordinates)]
    shifts = np.zeros((len(levels), loadings.shape[1]))
    shifts[:, own] = levels @ np.linalg.pinv(loadings[:, own]).T
    return shifts


def _moves_one_part(coordinates: tuple[int, ...]) -> bool:
    lies_together = (c.FULL_POOR, c.SHORT_POOR)
    return len(coordinates) == 1 or (len(coordinates) == 3 and coordinates[0] in lies_together)


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
    return _curvature(mode, prior, evidence)


def _curvature(mode: FloatArray, prior: Prior, evidence: Evidence) -> Laplace:
    """Minus the Hessian at the mode by central differences of the gradient.

    Effects of different sessions never meet in the likelihood, so those of one kind are moved all at once.
    """
    members = _members(evidence.sessions)
    blocks = _blocks(mode, members, prior, evidence)
    rows = np.empty((N_LATENTS, mode.size))
    for k in range(1, N_LATENTS):
        step = np.zeros(mode.size)
        step[k] = _DIFFERENCE
        rows[k] = _slope(mode, step, prior, evidence) / _DIFFERENCE
    centred = np.zeros(N_LATENTS)
    centred[1:] = 1.0 - 1.0 / np.maximum(rows[range(1, N_LATENTS), range(1, N_LATENTS)], 1.0)
    rows[0] = _level_row(mode, centred, prior, evidence)
    cross = rows[:, N_LATENTS:].T
    precision = rows[:, :N_LATENTS].copy()
    precision[1:, 0] = precision[0, 1:]
    precision = 0.5 * (precision + precision.T)
    precision -= cross.T @ _solve_blocks(blocks, members, cross)
    return Laplace(mode, centred, _positive(precision), cross, blocks, members)


def _slope(mode: FloatArray, step: FloatArray, prior: Prior, evidence: Evidence) -> FloatArray:
    """Half the loss of gradient from a step before the mode to a step behind it."""
    above = value_and_gradient(mode + step, prior, evidence)[1]
    below = value_and_gradient(mode - step, prior, evidence)[1]
    return np.asarray(0.5 * (below - above))


def _level_row(mode: FloatArray, centred: FloatArray, prior: Prior, evidence: Evidence) -> FloatArray:
    """The row of the level, along the bend, over a step that is wide enough to pass kinks."""
    ahead, behind = (
        _bent_gradient(mode, step, centred, prior, evidence)
        for step in (_LEVEL_DIFFERENCE, -_LEVEL_DIFFERENCE)
    )
    return np.asarray((behind - ahead) / (2.0 * _LEVEL_DIFFERENCE))


def _bent_gradient(
    mode: FloatArray, step: float, centred: FloatArray, prior: Prior, evidence: Evidence
) -> FloatArray:
    """Gradient at the mode with the level ``step`` further, other latents as the bend takes them along."""
    here, there, bend = np.empty((3, N_LATENTS))
    at_level_kernel(mode[0], prior, prior.shifts, here, bend)
    at_level_kernel(mode[0] + step, prior, prior.shifts, there, bend)
    x = mode.copy()
    x[:N_LATENTS] -= centred * (there - here)
    x[0] += step
    gradient = value_and_gradient(x, prior, evidence)[1]
    gradient[0] -= (centred * bend) @ gradient[:N_LATENTS]
    return gradient


def _members(sessions: Sessions) -> IntArray:
    """Effects of each session that has any, ``[session, 3]``: direction, depth, spread."""
    members = np.column_stack([sessions.direction, sessions.depth, sessions.spread])
    return np.asarray(members[(members >= 0).any(axis=1)])


def _blocks(mode: FloatArray, members: IntArray, prior: Prior, evidence: Evidence) -> FloatArray:
    """Precision of each session's effects given the latents; missing effects have a precision of 1."""
    blocks = np.tile(np.eye(3), (len(members), 1, 1))
    for kind in range(3):
        moved = members[members[:, kind] >= 0, kind]
        if not moved.size:
            continue
        step = np.zeros(mode.size)
        step[N_LATENTS + moved] = _DIFFERENCE
        slope = _slope(mode, step, prior, evidence)[N_LATENTS:] / _DIFFERENCE
        with_kind = members[:, kind] >= 0
        rows = np.where(members >= 0, slope[np.maximum(members, 0)], 0.0)
        blocks[with_kind, kind] = rows[with_kind]
    return _positive(0.5 * (blocks + blocks.transpose(0, 2, 1)))


def _positive(precision: FloatArray) -> FloatArray:
    """The nearest precision that is no smaller than half the prior's in any direction."""
    values, vectors = np.linalg.eigh(precision)
    return np.asarray((vectors * np.maximum(values, 0.5)[..., None, :]) @ np.swapaxes(vectors, -1, -2))


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
        way, bend = laplace.whitening(), np.empty(N_LATENTS)
        draws = np.array([unwhitened_kernel(u, way, kernel, bend) for u in rng.standard_normal((n_draws, n))])
        draws[:, list(SESSION_SD_LATENTS)] = 0.0
        return Sample(draws, 1.0, 0.0, laplace)
    way = laplace.whitening()
    sample = _walk(laplace, way, kernel, evidence, rng, n_draws, 1)
    if split_r_hat(sample.draws[:, :N_LATENTS]).max() > GOOD_R_HAT:
        sample = _walk(laplace, way, kernel, evidence, rng, n_draws, LONGER)
    return sample


def _walk(
    laplace: Laplace,
    way: Whitening,
    prior: Prior,
    evidence: Evidence,
    rng: np.random.Generator,
    n_draws: int,
    times: int,
) -> Sample:
    """``n_draws`` draws, every one of ``times`` kept, after a warm-up so many times as long."""
    warm_up, n = times * WARM_UP, laplace.mode.size
    iterations = warm_up + times * n_draws
    draws, acceptance, step = hamiltonian_kernel(
        way,
        prior,
        evidence,
        rng.standard_normal((iterations, n)),
        rng.random(iterations),
        rng.uniform(*TRAJECTORY, iterations),
        warm_up,
        TARGET_ACCEPTANCE,
    )
    return Sample(draws[::times].copy(), float(acceptance.mean()), float(step), laplace)


def split_r_hat(draws: FloatArray) -> FloatArray:
    """Potential scale reduction of the halves of one chain (Gelman et al., Bayesian Data Analysis 11.4)."""
    half = len(draws) // 2
    halves = np.stack([draws[:half], draws[half : 2 * half]])
    within = halves.var(axis=1, ddof=1).mean(axis=0)
    between = half * halves.mean(axis=1).var(axis=0, ddof=1)
    safe = np.where(within > 0.0, within, 1.0)
    return np.asarray(np.where(within > 0.0, np.sqrt((half - 1.0) / half + between / half / safe), 1.0))
