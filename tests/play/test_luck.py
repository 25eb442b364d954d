"""Keyed luck: even, normal, and independent from one use to the next."""

from __future__ import annotations

import numpy as np
import pytest
from numba import njit
from numpy.typing import NDArray
from scipy import stats

from rangework.play import kernels

N = 50_000


@njit
def fill_uniforms(seed: int, rounds: int, hole: int, stroke: int, use: int, out: NDArray[np.float64]) -> None:
    for i in range(rounds):
        key = kernels.luck_key(seed, i, hole)
        out[i] = kernels.uniform(key, kernels.luck_counter(stroke, use))


@njit
def fill_normals(u: NDArray[np.float64], v: NDArray[np.float64], out: NDArray[np.float64]) -> None:
    for i in range(u.size):
        out[i, 0], out[i, 1] = kernels.normal_pair(u[i], v[i])


def uniforms(hole: int = 1, stroke: int = 0, use: int = 0, seed: int = 3) -> NDArray[np.float64]:
    out = np.empty(N)
    fill_uniforms(seed, N, hole, stroke, use, out)
    return out


def normals(u: NDArray[np.float64], v: NDArray[np.float64]) -> NDArray[np.float64]:
    out = np.empty((u.size, 2))
    fill_normals(u, v, out)
    return out


@pytest.mark.parametrize(("stroke", "use"), [(0, 0), (0, 1), (3, 2), (7, 3)])
def test_uniform_numbers_are_even(stroke: int, use: int) -> None:
    u = uniforms(stroke=stroke, use=use)
    assert u.min() > 0.0
    assert u.max() <= 1.0
    assert stats.kstest(u, "uniform").pvalue > 1e-3
    assert stats.kstest(u**1.04, "uniform").pvalue < 1e-3  # negative control


def test_normal_pairs_are_box_and_mullers() -> None:
    """Closed form: sqrt(-2 ln u) (cos 2 pi v, sin 2 pi v), Box and Muller (1958)."""
    u, v = uniforms(use=0), uniforms(use=1)
    radius, angle = np.sqrt(-2.0 * np.log(u)), 2.0 * np.pi * v
    expected = np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])
    assert np.abs(normals(u, v) - expected).max() < 1e-6


@pytest.mark.parametrize("u", [2.0**-54, 1e-12, 0.5, 1.0 - 2.0**-53, 1.0])
@pytest.mark.parametrize("v", [2.0**-54, 0.125, 0.25, 0.5, 0.75, 0.875, 1.0])
def test_normal_pairs_at_the_ends(u: float, v: float) -> None:
    radius = np.sqrt(-2.0 * np.log(u))
    got = normals(np.array([u]), np.array([v]))[0]
    assert got == pytest.approx([radius * np.cos(2 * np.pi * v), radius * np.sin(2 * np.pi * v)], abs=1e-5)


def test_shots_errors_are_normal() -> None:
    z = normals(uniforms(use=0), uniforms(use=1))
    for column in z.T:
        assert stats.kstest(column, "norm").pvalue > 1e-3
        assert stats.kstest(column * 1.05, "norm").pvalue < 1e-3  # negative control
    assert abs(np.corrcoef(z.T)[0, 1]) < 4.0 / np.sqrt(N)
    assert abs(np.corrcoef((z**2).T)[0, 1]) < 4.0 / np.sqrt(N)


def test_uses_strokes_holes_rounds_and_seeds_are_independent() -> None:
    first = uniforms()
    others = {
        "use": uniforms(use=1),
        "strike": uniforms(use=2),
        "stroke": uniforms(stroke=1),
        "hole": uniforms(hole=2),
        "seed": uniforms(seed=4),
        "round": np.roll(first, 1),
    }
    for name, other in others.items():
        assert abs(np.corrcoef(first, other)[0, 1]) < 4.0 / np.sqrt(N), name
        counts, _, _ = np.histogram2d(first, other, bins=8, range=[[0, 1], [0, 1]])
        assert stats.chisquare(counts.ravel()).pvalue > 1e-3, name
    counts, _, _ = np.histogram2d(first, first, bins=8, range=[[0, 1], [0, 1]])
    assert stats.chisquare(counts.ravel()).pvalue < 1e-3  # negative control


def test_luck_has_no_state() -> None:
    assert np.array_equal(uniforms(hole=5, stroke=2), uniforms(hole=5, stroke=2))
