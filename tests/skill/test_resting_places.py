"""What logged drives leave, round the hole, against simulation and against adaptive quadrature over the angle."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import integrate, stats

from rangework.skill.kernel_arrays import PLACES
from rangework.skill.logged_kernels import turned_drive_kernel
from rangework.skill.resting_places import drive_places

FloatArray = NDArray[np.float64]


@pytest.mark.parametrize("to_hole", [1.4, 1.8])
def test_turned_drives_leave_what_simulated_ones_leave(to_hole: float) -> None:
    length, sd, turn, n = 180.0, 16.0, 0.16, 400_000
    z = np.random.default_rng(0).standard_normal((2, n))
    distance, angle = length + sd * z[0], turn * z[1]
    hole = to_hole * length
    left = np.hypot(hole - distance * np.cos(angle), distance * np.sin(angle))
    edges = np.quantile(left, np.linspace(0.02, 0.98, 9))
    observed = np.histogram(left, edges)[0] / n
    for low, high, share in zip(edges[:-1], edges[1:], observed, strict=True):
        places = np.linspace(low, high, 41)
        density = _left_by_drives(np.full(41, hole), places, length, (length, sd, turn))
        assert np.trapezoid(density, places) == pytest.approx(share, rel=0.02)


def _left_by_drives(
    to_hole: FloatArray, left: FloatArray, guess_m: float, drive: tuple[float, float, float]
) -> FloatArray:
    """Density of what drives leave, as the fit has it: ``drive`` is their mean length, its sd, and the turn's sd."""
    places = drive_places(to_hole, left, guess_m)
    length, sd, turn = drive
    found = [turned_drive_kernel(places, i, length, sd, turn**2)[0] for i in range(left.size)]
    return np.array(found) / math.sqrt(2.0 * math.pi)


def _left_by_angle(to_hole: float, left: float, drive: tuple[float, float, float]) -> float:
    """The same by adaptive quadrature over the angle at the tee, which meets the circle round the hole twice.

    With ``sin(angle) = left / to_hole sin(v)`` nothing is infinite where the line only touches the circle.
    """
    length, sd, turn = drive

    def ends(v: float) -> float:
        angle = math.asin(left / to_hole * math.sin(v))
        along, half_chord = to_hole * math.cos(angle), left * math.cos(v)
        far = math.exp(-0.5 * ((along + half_chord - length) / sd) ** 2)
        near = math.exp(-0.5 * ((along - half_chord - length) / sd) ** 2)
        return (far + near) * math.exp(-0.5 * (angle / turn) ** 2) / math.cos(angle)

    quarters = np.linspace(-0.5 * math.pi, 0.5 * math.pi, 9)
    found = sum(integrate.quad(ends, a, b, epsabs=1e-13)[0] for a, b in itertools.pairwise(quarters))
    return float(found * left / to_hole / (2.0 * math.pi * sd * turn))


def _left_by_seven_turns(to_hole: float, left: float, drive: tuple[float, float, float]) -> float:
    """Seven angles a side, each with the advance of a drive taken as straight in its length: a rule not good enough."""
    length, sd, turn = drive
    nodes, weights = np.polynomial.hermite_e.hermegauss(14)
    angle = turn * nodes
    ends = np.sqrt(to_hole**2 + length**2 - 2.0 * to_hole * length * np.cos(angle))
    worth = np.maximum((to_hole * np.cos(angle) - length) / ends, 0.3)
    density = stats.norm.pdf(left, ends, worth * sd)
    return float(weights @ density / weights.sum())


@pytest.fixture(scope="module")
def drives() -> tuple[FloatArray, FloatArray]:
    """To the hole and left, of drives of 200 m: solid, wild and poor."""
    rng = np.random.default_rng(1)
    n = 60
    to_hole = 200.0 * rng.uniform(1.12, 2.2, n)
    poor = rng.random(n) < 0.15
    distance = np.where(poor, 130.0, 200.0) + np.where(poor, 30.0, 16.0) * rng.standard_normal(n)
    angle = np.where(poor, 0.3, 0.14) * rng.standard_normal(n)
    return to_hole, np.hypot(to_hole - distance * np.cos(angle), distance * np.sin(angle))


#: Means, sds and turns (m, m, radians) of usual, wild and poor drives of a golfer, and another a posterior sd away.
_DRIVES = ((200.0, 16.0, 0.14), (200.0, 29.0, 0.26), (130.0, 30.0, 0.29))
_OTHER_DRIVES = ((206.0, 13.5, 0.12), (206.0, 23.0, 0.22), (134.0, 25.0, 0.25))
_SHARES = (0.88, 0.03, 0.09)


@pytest.mark.parametrize("guess_m", [180.0, 200.0, 220.0])
def test_densities_of_drives_are_those_of_adaptive_quadrature(
    drives: tuple[FloatArray, FloatArray], guess_m: float
) -> None:
    """Wherever drives are looked for; and moving a golfer's parameters moves the log likelihood as it should."""
    totals = []
    for golfer in (_DRIVES, _OTHER_DRIVES):
        kernels = sum(
            share * _left_by_drives(*drives, guess_m, drive)
            for share, drive in zip(_SHARES, golfer, strict=True)
        )
        exact = _mixed(_left_by_angle, drives, golfer)
        assert np.log(kernels) == pytest.approx(np.log(exact), abs=2e-3)
        totals.append((np.log(kernels).sum(), np.log(exact).sum()))
    moved = np.subtract(*totals)
    assert moved[0] == pytest.approx(moved[1], abs=5e-3)


def test_seven_turns_are_too_few(drives: tuple[FloatArray, FloatArray]) -> None:
    """Negative control: a coarse rule is far off for some of the same drives."""
    coarse, exact = (_mixed(rule, drives, _DRIVES) for rule in (_left_by_seven_turns, _left_by_angle))
    assert np.abs(np.log(coarse / exact)).max() > 0.1


def _mixed(
    rule: Callable[[float, float, tuple[float, float, float]], float],
    drives: tuple[FloatArray, FloatArray],
    golfer: tuple[tuple[float, float, float], ...],
) -> FloatArray:
    """Density of what each drive left, solid, wild and poor together, by a rule."""
    return np.array(
        [
            sum(share * rule(to_hole, left, one) for share, one in zip(_SHARES, golfer, strict=True))
            for to_hole, left in zip(*drives, strict=True)
        ]
    )


@pytest.mark.parametrize("driver_m", [140.0, 260.0])
def test_every_place_of_a_drive_leaves_what_it_should(driver_m: float) -> None:
    to_hole = driver_m * np.array([1.12, 1.5, 2.5, 1.5, 1.5])
    left = to_hole - driver_m * np.array([1.0, 1.1, 0.9, 0.02, -0.2])
    places = drive_places(to_hole, left, driver_m)
    angle = np.sqrt(places.angle_square)
    along = to_hole[:, None] - places.distance_m * np.cos(angle)
    assert np.hypot(along, places.distance_m * np.sin(angle)) == pytest.approx(np.tile(left[:, None], PLACES))
    assert (places.weight > 0.0).all()
