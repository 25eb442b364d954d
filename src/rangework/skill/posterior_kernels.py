"""Kernels of the fit: log posterior density of a player with its gradient, and Hamiltonian Monte Carlo.

Inputs are the arrays of ``evidence``; coordinates and latents are those of ``coordinates`` and ``latents``.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from rangework.compiled import kernel
from rangework.skill.aimed_kernels import aimed_kernel
from rangework.skill.kernel_arrays import N_FITTED, Evidence, Prior, Whitening
from rangework.skill.logged_kernels import approach_kernel, drive_kernel
from rangework.skill.putted_kernels import cubic_weights_kernel, holed_kernel, leave_kernel
from rangework.skill.strike_kernels import point_kernel

FloatArray = NDArray[np.float64]


@kernel
def log_likelihood(evidence: Evidence, c: FloatArray, z: FloatArray, g: FloatArray, gz: FloatArray) -> float:
    """Log likelihood of all records at coordinates ``c`` and session effects ``z``; adds its gradient."""
    form, sessions = evidence.form, evidence.sessions
    point = point_kernel(c)
    total = aimed_kernel(evidence.aimed, sessions, form, point, z, g, gz)
    total += approach_kernel(evidence.logged, evidence.poor_places, sessions, form, point, z, g, gz)
    total += drive_kernel(evidence.logged, evidence.drive_places, sessions, form, point, z, g, gz)
    total += holed_kernel(evidence.putts, sessions, point, z, g, gz)
    total += leave_kernel(evidence.measured, sessions, form, point, z, g, gz)
    total += leave_kernel(evidence.circles, sessions, form, point, z, g, gz)
    return total


@kernel
def at_level_kernel(
    first: float, prior: Prior, table: FloatArray, value: FloatArray, slope: FloatArray
) -> None:
    """A row of ``table`` ``[level, column]`` at the level of the first latent, and its slope in that latent."""
    last = table.shape[0] - 1
    place = (prior.level + prior.level_sd * first - prior.first_level) / prior.level_step
    inside = 0.0 < place < last
    place = min(max(place, 0.0), float(last))
    cell = min(int(place), last - 1)
    before, after = max(cell - 1, 0), min(cell + 2, last)
    weights = cubic_weights_kernel(place - cell)
    rows = (before, cell, cell + 1, after)
    for i in range(table.shape[1]):
        total = change = 0.0
        for k in range(4):
            total += weights[k] * table[rows[k], i]
            change += weights[4 + k] * table[rows[k], i]
        value[i] = total
        slope[i] = change * prior.level_sd / prior.level_step if inside else 0.0


@kernel
def coordinates_kernel(x: FloatArray, prior: Prior, c: FloatArray, by_level: FloatArray) -> None:
    """Coordinates of latents, and their slopes in the first latent (the level)."""
    at_level_kernel(x[0], prior, prior.levels, c, by_level)
    for i in range(prior.loadings.shape[0]):
        total = 0.0
        for k in range(prior.loadings.shape[1]):
            total += prior.loadings[i, k] * x[k]
        c[i] += total


@kernel
def log_posterior(x: FloatArray, prior: Prior, evidence: Evidence, gradient: FloatArray) -> float:
    """Log posterior density at latents and session effects ``x``; its gradient replaces ``gradient``."""
    n = prior.loadings.shape[1]
    c, by_level = np.empty(N_FITTED), np.empty(N_FITTED)
    coordinates_kernel(x, prior, c, by_level)
    g = np.zeros(N_FITTED)
    for k in range(x.size):
        gradient[k] = 0.0
    total = log_likelihood(evidence, c, x[n:], g, gradient[n:])
    for i in range(N_FITTED):
        gradient[0] += by_level[i] * g[i]
        for k in range(n):
            gradient[k] += prior.loadings[i, k] * g[i]
    for k in range(x.size):
        total -= 0.5 * x[k] * x[k]
        gradient[k] -= x[k]
    return total


@kernel
def unwhitened_kernel(u: FloatArray, way: Whitening, prior: Prior, slope: FloatArray) -> FloatArray:
    """Latents and effects at whitened ``u``; the slope of their bend in the first latent replaces ``slope``."""
    n = way.golfer.shape[0]
    x = way.mode.copy()
    x[:n] += way.golfer @ u[:n]
    x[n:] += way.lean @ u[:n]
    for i in range(way.blocks.shape[0]):
        for k in range(way.blocks.shape[1]):
            x[n + i] += way.blocks[i, k] * u[n + way.partners[i, k]]
    shift, at_mode = np.empty(n), np.empty(n)
    at_level_kernel(way.mode[0], prior, prior.shifts, at_mode, slope)
    at_level_kernel(x[0], prior, prior.shifts, shift, slope)
    for k in range(n):
        x[k] -= way.centred[k] * (shift[k] - at_mode[k])
        slope[k] *= way.centred[k]
    return x


@kernel
def _at(u: FloatArray, way: Whitening, prior: Prior, evidence: Evidence, slope: FloatArray) -> float:
    """Log posterior at whitened ``u``; its gradient in u replaces ``slope``."""
    n = way.golfer.shape[0]
    gradient, bend = np.empty(u.size), np.empty(n)
    value = log_posterior(unwhitened_kernel(u, way, prior, bend), prior, evidence, gradient)
    for k in range(n):
        gradient[0] -= bend[k] * gradient[k]
    slope[:n] = way.golfer.T @ gradient[:n] + way.lean.T @ gradient[n:]
    slope[n:] = 0.0
    for i in range(way.blocks.shape[0]):
        for k in range(way.blocks.shape[1]):
            slope[n + way.partners[i, k]] += way.blocks[i, k] * gradient[n + i]
    return value


@kernel
def hamiltonian_kernel(
    way: Whitening,
    prior: Prior,
    evidence: Evidence,
    momenta: FloatArray,
    uniforms: FloatArray,
    lengths: FloatArray,
    n_warm_up: int,
    target_acceptance: float,
) -> tuple[FloatArray, FloatArray, float]:
    """Hamiltonian Monte Carlo in the whitened latents, from the mode.

    ``momenta`` ``[iteration, latent]``, ``uniforms`` and ``lengths`` (of trajectories) ``[iteration]`` hold
    all its chance. The step is tuned during warm-up by dual averaging (Hoffman and Gelman 2014) and fixed
    after it. Returns draws ``[iteration - warm-up, latent]``, acceptance of each and the step.
    """
    n_iterations, n = momenta.shape
    draws = np.empty((n_iterations - n_warm_up, n))
    acceptance = np.empty(n_iterations - n_warm_up)
    u, slope, bend = np.zeros(n), np.empty(n), np.empty(way.golfer.shape[0])
    value = _at(u, way, prior, evidence, slope)
    step = 1.2 / n**0.25
    centre, error_sum, log_mean = math.log(1.5 * step), 0.0, math.log(step)
    for t in range(n_iterations):
        n_steps = max(1, int(lengths[t] / step + 0.5))
        place, force, p = u.copy(), slope.copy(), momenta[t].copy()
        start = value - 0.5 * np.sum(p * p)
        reached = value
        for _ in range(n_steps):
            p += 0.5 * step * force
            place += step * p
            reached = _at(place, way, prior, evidence, force)
            p += 0.5 * step * force
        change = reached - 0.5 * np.sum(p * p) - start
        # a comparison, for the compiler may take it that isfinite(x) always holds
        chance = math.exp(min(change, 0.0)) if -700.0 < change < 1e12 else 0.0
        if uniforms[t] < chance:
            u, slope, value = place, force, reached
        if t < n_warm_up:
            error_sum += target_acceptance - chance
            log_step = centre - error_sum * math.sqrt(t + 1.0) / (0.1 * (t + 11.0))
            weight = (t + 1.0) ** -0.75
            log_mean = weight * log_step + (1.0 - weight) * log_mean
            step = math.exp(log_step if t < n_warm_up - 1 else log_mean)
            step = min(max(step, 0.02), 1.5)
        else:
            draws[t - n_warm_up] = unwhitened_kernel(u, way, prior, bend)
            acceptance[t - n_warm_up] = chance
    return draws, acceptance, step
