"""What one player's tests and logged hours say of a group's response: the likelihood of the group's factors.

The player differs from the group as the assumption says (`plan.response`), and a drill may do nothing for the player
(`plan.working_drills`); over draws of both the likelihood is averaged. It is told at one place with its slope and
curvature, which is what finding the group's most likely factors takes, or at many places at once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline
from scipy.special import logsumexp

from rangework.assessment.learning import (
    bias_log_density,
    foretold_steps,
    months,
    spread_covariance,
    tested_twice,
)
from rangework.assessment.part_tests import PartMeasure
from rangework.assessment.practice_log import PracticeLog
from rangework.plan.drills import Drill
from rangework.plan.response import (
    GROUP_SHARE,
    HALF_HOURS_LOG_SD,
    MOST_LOG_SD,
    Response,
    ResponseDraws,
    correlated_normals,
)
from rangework.plan.working_drills import draw_working
from rangework.skill.parts import PART_BY_ID, PART_IDS, STEP_FACTOR

FloatArray = NDArray[np.float64]

#: Draws of how a player differs from the group.
OWN_DRAWS = 256
#: What is asked: the logarithm of the group's factor of each part, and the drift of all spreads in four weeks.
QUESTIONS = len(PART_IDS) + 1
DRIFT = len(PART_IDS)
#: Half the distance over which a bias's slope and curvature are taken.
_ASIDE = 0.05
#: Where a bias's likelihood is worked out; between these places it is a cubic spline, and beyond them it stays.
_BIAS_PLACES = np.linspace(-2.5, 2.5, 21)


@dataclass(frozen=True, slots=True)
class Curve:
    """A log likelihood at one place: its value, slope [QUESTIONS] and curvature [QUESTIONS, QUESTIONS]."""

    value: float
    slope: FloatArray
    curvature: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Spreads:
    """All spreads of a player: values [entry], what the player's draws foretell at the assumption [draw, entry], the
    questions that they ask [own], the drift last, and which entry asks which [entry, own], months since the first
    test [entry], and precision [entry, entry]."""

    values: FloatArray
    foretold: FloatArray
    questions: list[int]
    asks: FloatArray
    months: FloatArray
    precision: FloatArray


class ResponseEvidence:
    """The likelihood of a group's factors from one player; ``hours`` by part that was tested twice.

    ``drills``: those that may do nothing for the player; ``working``: the share of a part's hours that is to be
    expected to have done something.
    """

    def __init__(
        self,
        responses: Sequence[Response],
        measures: Sequence[PartMeasure],
        log: PracticeLog,
        *,
        drills: Sequence[Drill] = (),
        seed: int | Sequence[int] = 0,
    ) -> None:
        tested = tested_twice(measures)
        self.tested = tested
        self.hours = {
            part: float(log.between(own[0].day, own[-1].day)[PART_IDS.index(part)])
            for part, own in tested.items()
        }
        sure = {drill.id: np.array([1.0 - drill.chance_useless]) for drill in drills}
        expected = {
            part: float(log.between_draws(own[0].day, own[-1].day, sure)[0, PART_IDS.index(part)])
            for part, own in tested.items()
        }
        self.working = {part: expected[part] / hours if hours else 1.0 for part, hours in self.hours.items()}
        drawn = _own_draws(responses, drills, np.random.default_rng(seed))
        steps = {part: foretold_steps(part, own, drawn, log) for part, own in tested.items()}
        spreads = {part: own for part, own in tested.items() if PART_BY_ID[part].kind != "bias"}
        self._spreads = _spreads(spreads, steps) if spreads else None
        self._biases = {part: (own, steps[part]) for part, own in tested.items() if part not in spreads}

    @property
    def speaks(self) -> bool:
        """Whether a part was practised between two tests of it."""
        return any(hours > 0.0 for hours in self.hours.values())

    @property
    def asks(self) -> set[int]:
        """The questions that this player's tests say something of."""
        biases = {PART_IDS.index(part) for part in self._biases}
        return biases | set(self._spreads.questions if self._spreads else ())

    def heights(self, places: FloatArray) -> FloatArray:
        """[place] logarithm of the likelihood at each of ``places`` [place, QUESTIONS]."""
        value = np.zeros((len(places), OWN_DRAWS))
        if self._spreads:
            value += _spread_heights(self._spreads, places)
        for part, (tests, steps) in self._biases.items():
            table = [bias_log_density(tests, steps * math.exp(place)) for place in _BIAS_PLACES]
            along = places[:, PART_IDS.index(part)].clip(_BIAS_PLACES[0], _BIAS_PLACES[-1])
            value += make_interp_spline(_BIAS_PLACES, table)(along)
        return np.asarray(logsumexp(value, axis=1) - math.log(OWN_DRAWS))

    def at(self, place: FloatArray) -> Curve:
        """The likelihood at ``place`` [QUESTIONS]."""
        value, slope = np.zeros(OWN_DRAWS), np.zeros((OWN_DRAWS, QUESTIONS))
        bent = np.zeros((OWN_DRAWS, QUESTIONS))  # curvature of each draw, where it is along one question
        along = None
        if own := self._spreads:
            value, pull, along = _spread_curve(own, place)
            slope[:, own.questions] = np.einsum("ke,kei->ki", pull, along)
            bent[:, own.questions[:-1]] = slope[:, own.questions[:-1]]
        for part, (tests, steps) in self._biases.items():
            at = PART_IDS.index(part)
            one, slope[:, at], bent[:, at] = _bias_curve(tests, steps, float(place[at]))
            value = value + one
        weight = np.exp(value - value.max())
        mean = float(value.max() + math.log(weight.mean()))
        weight /= weight.sum()
        # the curvature of a logarithm of a mean: the mean curvature, and how the slopes differ
        total = weight @ slope
        curvature = np.diag(weight @ bent) + (weight[:, None] * slope).T @ slope - np.outer(total, total)
        if own and along is not None:
            pulled = np.einsum("ef,kfj->kej", own.precision, along)
            square = np.einsum("kei,kej->ij", weight[:, None, None] * along, pulled)
            curvature[np.ix_(own.questions, own.questions)] -= square
        return Curve(mean, total, curvature)


def _own_draws(
    responses: Sequence[Response], drills: Sequence[Drill], rng: np.random.Generator
) -> ResponseDraws:
    """How a player may differ from a group that answers as assumed.

    Shares that cannot be are not cut off as in a plan: nothing comes near them here.
    """
    parts = len(responses)
    most, half = (correlated_normals(OWN_DRAWS, parts, rng) for _ in range(2))
    own_sd = math.sqrt(1.0 - GROUP_SHARE) * MOST_LOG_SD
    return ResponseDraws(
        np.array([each.most_steps for each in responses]) * np.exp(own_sd * most),
        np.array([each.half_hours for each in responses]) * np.exp(HALF_HOURS_LOG_SD * half),
        np.array([each.fade_per_week for each in responses]),
        np.array([each.maintenance_hours_per_week for each in responses]),
        tuple(dict.fromkeys(each.basis for each in responses)),
        working=draw_working(drills, OWN_DRAWS, rng),
    )


def _spreads(tested: dict[str, list[PartMeasure]], steps: dict[str, FloatArray]) -> _Spreads:
    entries = [(part, measure, own[0].day) for part, own in tested.items() for measure in own]
    asks = np.array([[float(part == each) for each in tested] + [0.0] for part, _, _ in entries])
    logs = {part: math.log(STEP_FACTOR[PART_BY_ID[part].kind]) for part in tested}
    return _Spreads(
        np.array([measure.value for _, measure, _ in entries]),
        np.concatenate([logs[part] * steps[part] for part in tested], axis=1),
        [*(PART_IDS.index(part) for part in tested), DRIFT],
        asks,
        np.array([months(first, measure.day) for _, measure, first in entries]),
        np.asarray(np.linalg.inv(spread_covariance(tested))),
    )


def _spread_curve(own: _Spreads, place: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """[draw] log density of all spreads, how what is off pulls [draw, entry], and how each entry moves along each of
    the player's own questions [draw, entry, own]."""
    foretold = own.foretold * np.exp(own.asks @ place[own.questions])
    along = foretold[:, :, None] * own.asks
    along[:, :, -1] = own.months
    off = own.values - foretold - place[DRIFT] * own.months
    pull = np.einsum("ke,ef->kf", off, own.precision)
    return -0.5 * (pull * off).sum(axis=1), pull, along


def _spread_heights(own: _Spreads, places: FloatArray) -> FloatArray:
    """[place, draw] log density of all spreads: a square in the factors, whose terms are worked out once."""
    factor, drift = np.exp(places[:, own.questions[:-1]]), places[:, [DRIFT]]
    foretold = own.foretold[:, :, None] * own.asks[:, :-1]
    weighed = np.einsum("ef,kfi->kei", own.precision, foretold)
    square = np.einsum("kei,kej->kij", foretold, weighed).reshape(len(foretold), -1)
    off = own.values - drift * own.months
    still = -0.5 * ((off @ own.precision) * off).sum(axis=1)
    seen, drifted = (np.einsum("kei,e->ik", weighed, entries) for entries in (own.values, own.months))
    both = (factor[:, :, None] * factor[:, None, :]).reshape(len(places), -1)
    return np.asarray(still[:, None] + factor @ seen - (drift * factor) @ drifted - 0.5 * both @ square.T)


def _bias_curve(
    own: Sequence[PartMeasure], steps: FloatArray, place: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """[draw] log density of a part's biases, its slope and its curvature."""
    low, middle, high = (bias_log_density(own, steps * math.exp(place + by)) for by in (-_ASIDE, 0.0, _ASIDE))
    return middle, (high - low) / (2.0 * _ASIDE), (high - 2.0 * middle + low) / _ASIDE**2
