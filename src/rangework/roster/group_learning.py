"""How a roster's players answer to practice, learned from all their tests and logged hours together.

Three levels: the assumption; the group's factor on it by part; each player about the group. Every player's tests say
how likely each factor is (`assessment.response_evidence`); the most likely factors and the curvature there are what is
known of the group (Laplace's approximation). For a player's own plan what the others say is the prior, and the player's
own tests are counted once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.response_evidence import DRIFT, QUESTIONS, Curve, ResponseEvidence
from rangework.plan.response import GroupResponse, group_covariance

FloatArray = NDArray[np.float64]

#: How much all spreads of a roster may drift together in four weeks, by season or by the place (logarithm, sd;
#: assumption.roster.pooling).
DRIFT_SD = 0.03
#: Players of a part, practised between two tests, from which the roster speaks.
FEWEST = 2
_ROUNDS, _SETTLED = 60, 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class LearnedGroup:
    """The group's factors, and what they are without one of the players who speak, by player."""

    group: GroupResponse
    without: Mapping[int, GroupResponse]

    def of(self, player: int) -> GroupResponse:
        """What the others say: the prior of this player's own tests."""
        return self.without.get(player, self.group)


def learn_group(evidence: Mapping[int, ResponseEvidence]) -> LearnedGroup | None:
    """What the tests of players tell together; None with fewer than two who practised between tests."""
    speaking = [player for player, each in evidence.items() if each.speaks]
    if len(speaking) < FEWEST:
        return None
    known = _known_before()
    place, curves = _most_likely(evidence, known)
    slopes = {player: curve.slope for player, curve in curves.items()}
    told = {player: -curve.curvature for player, curve in curves.items()}
    total = np.asarray(sum(told.values()))
    return LearnedGroup(
        _group(place, _inverse(_sound(total, known) + known), len(speaking)),
        {
            player: _without(
                place, slopes[player], _sound(total - told[player], known) + known, len(speaking)
            )
            for player in evidence
        },
    )


def _known_before() -> FloatArray:
    """[QUESTIONS, QUESTIONS] precision of the factors and the drift before any test."""
    known = np.zeros((QUESTIONS, QUESTIONS))
    known[:DRIFT, :DRIFT] = np.linalg.inv(group_covariance())
    known[DRIFT, DRIFT] = DRIFT_SD**-2
    return known


def _most_likely(
    evidence: Mapping[int, ResponseEvidence], known: FloatArray
) -> tuple[FloatArray, dict[int, Curve]]:
    """The most likely factors by Newton's steps, halved where they go too far, and each player's curve there."""
    place, size = np.zeros(QUESTIONS), 1.0
    curves = {player: each.at(place) for player, each in evidence.items()}
    for _ in range(_ROUNDS):
        slope = sum(curve.slope for curve in curves.values()) - known @ place
        told = np.asarray(sum(-curve.curvature for curve in curves.values()))
        step = np.linalg.solve(_sound(told, known) + known, slope)
        step *= min(1.0, 1.0 / max(float(np.abs(step).max()), 1e-300))
        further = place + size * step
        there = {player: each.at(further) for player, each in evidence.items()}
        if _height(there, further, known) < _height(curves, place, known) - 1e-9:
            size /= 2.0
            if size < _SETTLED:
                break
            continue
        place, curves, size = further, there, min(1.0, 2.0 * size)
        if float(np.abs(step).max()) < _SETTLED:
            break
    return place, curves


def _height(curves: Mapping[int, Curve], place: FloatArray, known: FloatArray) -> float:
    return sum(curve.value for curve in curves.values()) - 0.5 * float(place @ known @ place)


def _sound(told: FloatArray, known: FloatArray) -> FloatArray:
    """The information of tests, measured in that of before, with nothing negative in it."""
    root = np.linalg.cholesky(known)
    inner = np.linalg.solve(root, np.linalg.solve(root, told).T)
    values, vectors = np.linalg.eigh((inner + inner.T) / 2.0)
    return np.asarray(root @ (vectors * values.clip(0.0)) @ vectors.T @ root.T)


def _without(place: FloatArray, slope: FloatArray, precision: FloatArray, players: int) -> GroupResponse:
    """The group where one player's slope and curvature are taken out again."""
    covariance = _inverse(precision)
    return _group(place - covariance @ slope, covariance, players)


def _inverse(precision: FloatArray) -> FloatArray:
    inverse = np.linalg.inv(precision)
    return np.asarray((inverse + inverse.T) / 2.0)


def _group(place: FloatArray, covariance: FloatArray, players: int) -> GroupResponse:
    return GroupResponse(place[:DRIFT], covariance[:DRIFT, :DRIFT], players)
