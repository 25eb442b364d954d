"""How a roster's players answer to practice, learned from all their tests and logged hours together.

Three levels: the assumption; the group's factor on it by part; each player about the group. Every player's tests say
how likely each factor is (`assessment.response_evidence`). The likelihood is lopsided, since a factor near nothing and
one of nothing foretell the same, so that its top is no fair middle: mean and covariance are taken over thousands of
places, spread evenly about the top and weighed by how likely each is. For a player's own plan what the others say is
the prior, and the player's own tests are counted once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from rangework.assessment.response_evidence import DRIFT, QUESTIONS, ResponseEvidence
from rangework.plan.response import GroupResponse
from rangework.roster.likeliest_factors import Normal, known_before, likeliest

FloatArray = NDArray[np.float64]

#: Players of a part, practised between two tests, from which the roster speaks.
FEWEST = 2
#: Two to this many places are weighed.
_LOG2_PLACES = 10
#: They lie so many times as wide as what is known, so that its tails are seen too, also without a player.
_WIDER = 1.15
#: Places are laid anew about what was found while their weights amount to less than this share of them.
_FAIR_SHARE, _PASSES = 0.3, 4


@dataclass(frozen=True, slots=True, eq=False)
class LearnedGroup:
    """The group's factors, and what they are without one of the players who speak, by player.

    ``effective_places``: how many places of equal weight the sums amount to; few would make them rough.
    """

    group: GroupResponse
    without: Mapping[int, GroupResponse]
    effective_places: float

    def of(self, player: int) -> GroupResponse:
        """What the others say: the prior of this player's own tests."""
        return self.without.get(player, self.group)


def learn_group(evidence: Mapping[int, ResponseEvidence]) -> LearnedGroup | None:
    """What the tests of players tell together; None with fewer than two who practised between tests."""
    speaking = sum(each.speaks for each in evidence.values())
    if speaking < FEWEST:
        return None
    asked = sorted(set().union(*(each.asks for each in evidence.values())))
    before, about = known_before(), likeliest(evidence)
    for _ in range(_PASSES):
        places, log_weight = _places(asked, before, about)
        told = {player: each.heights(places) for player, each in evidence.items()}
        log_weight += sum(told.values())
        found, effective = _weighed(asked, before, places, log_weight)
        if effective >= _FAIR_SHARE * len(places):
            break
        about = found
    without = {
        player: _group(_weighed(asked, before, places, log_weight - own)[0], speaking)
        for player, own in told.items()
    }
    return LearnedGroup(_group(found, speaking), without, effective)


def _places(asked: list[int], before: Normal, about: Normal) -> tuple[FloatArray, FloatArray]:
    """[place, QUESTIONS] places about a distribution, those not ``asked`` 0, and [place] logarithm of the weight that
    the prior gives each, for every place would stand for as much otherwise."""
    normals = ndtri(qmc.Sobol(len(asked), seed=0).random_base2(_LOG2_PLACES))
    root = _WIDER * np.linalg.cholesky(about.covariance[np.ix_(asked, asked)])
    places = np.zeros((len(normals), QUESTIONS))
    places[:, asked] = about.mean[asked] + normals @ root.T
    known = np.linalg.inv(before.covariance[np.ix_(asked, asked)])
    own = places[:, asked]
    return places, 0.5 * (normals**2).sum(axis=1) - 0.5 * ((own @ known) * own).sum(axis=1)


def _weighed(
    asked: list[int], before: Normal, places: FloatArray, log_weight: FloatArray
) -> tuple[Normal, float]:
    """Mean and covariance over weighed places, and how many of equal weight they amount to.

    What is not ``asked`` follows from what is, as far as the prior says that they have something in common.
    """
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = weight @ places[:, asked]
    off = places[:, asked] - mean
    covariance = (weight[:, None] * off).T @ off
    follow = np.linalg.solve(before.covariance[np.ix_(asked, asked)], before.covariance[asked]).T
    left = before.covariance - follow @ before.covariance[asked]
    return Normal(follow @ mean, left + follow @ covariance @ follow.T), float(1.0 / (weight @ weight))


def _group(found: Normal, players: int) -> GroupResponse:
    covariance = found.covariance[:DRIFT, :DRIFT]
    return GroupResponse(found.mean[:DRIFT], (covariance + covariance.T) / 2.0, players)
