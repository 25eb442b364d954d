"""The group's most likely factors on what practice is assumed to do, and how surely they are known there.

Newton's steps on the prior and everybody's tests; the curvature at the top tells the rest (Laplace's approximation).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.response_evidence import DRIFT, QUESTIONS, Curve, ResponseEvidence
from rangework.plan.response import group_covariance

FloatArray = NDArray[np.float64]

#: How much all spreads of a roster may drift together in four weeks, by season or by the place (logarithm, sd;
#: assumption.roster.pooling).
DRIFT_SD = 0.03
_ROUNDS, _SETTLED = 60, 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Normal:
    """A normal distribution of the questions: ``mean`` [QUESTIONS] and ``covariance`` [QUESTIONS, QUESTIONS]."""

    mean: FloatArray
    covariance: FloatArray


def known_before() -> Normal:
    """The factors and the drift before any test."""
    covariance = np.zeros((QUESTIONS, QUESTIONS))
    covariance[:DRIFT, :DRIFT] = group_covariance()
    covariance[DRIFT, DRIFT] = DRIFT_SD**2
    return Normal(np.zeros(QUESTIONS), covariance)


def likeliest(evidence: Mapping[int, ResponseEvidence]) -> Normal:
    """The most likely factors after everybody's tests, with the curvature there."""
    known = np.asarray(np.linalg.inv(known_before().covariance))
    place: FloatArray = np.zeros(QUESTIONS)
    size = 1.0
    curves = [each.at(place) for each in evidence.values()]
    for _ in range(_ROUNDS):
        slope = sum(curve.slope for curve in curves) - known @ place
        step = np.linalg.solve(_sound(curves, known) + known, slope)
        step *= min(1.0, 1.0 / max(float(np.abs(step).max()), 1e-300))
        further = place + size * step
        there = [each.at(further) for each in evidence.values()]
        if _height(there, further, known) < _height(curves, place, known) - 1e-9:
            size /= 2.0
            if size < _SETTLED:
                break
            continue
        place, curves, size = further, there, min(1.0, 2.0 * size)
        if float(np.abs(step).max()) < _SETTLED:
            break
    covariance = np.linalg.inv(_sound(curves, known) + known)
    return Normal(place, (covariance + covariance.T) / 2.0)


def _height(curves: list[Curve], place: FloatArray, known: FloatArray) -> float:
    return sum(curve.value for curve in curves) - 0.5 * float(place @ known @ place)


def _sound(curves: list[Curve], known: FloatArray) -> FloatArray:
    """The information of tests, measured in that of before, with nothing negative in it."""
    told = np.asarray(sum(-curve.curvature for curve in curves))
    root = np.linalg.cholesky(known)
    inner = np.linalg.solve(root, np.linalg.solve(root, told).T)
    values, vectors = np.linalg.eigh((inner + inner.T) / 2.0)
    return np.asarray(root @ (vectors * values.clip(0.0)) @ vectors.T @ root.T)
