"""How this player answers to practice, learned from tests before and after logged hours.

The prior is the plan's assumption: many draws of every part's response, and of drills that do nothing for the player.
Each draw says how many steps the logged hours should have brought; the tests say how much a part changed, as surely as
their balls allow. A day has its own spread and its own turn, and parts change for other reasons too. Each draw is
weighed by how well it foretells the tests; what parts have in common (a quick learner) passes from those that were
tested to those that were not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rangework.assessment.part_tests import PartMeasure
from rangework.assessment.practice_log import PracticeLog
from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.response import GroupResponse, Response, ResponseDraws, draw_responses
from rangework.plan.returns import net_steps
from rangework.plan.working_drills import BASIS as USELESS_BASIS
from rangework.plan.working_drills import draw_working
from rangework.skill.parts import PART_BY_ID, PART_IDS, STEP_FACTOR
from rangework.units import DEGREE_RAD

FloatArray = NDArray[np.float64]

#: Draws of the prior that are weighed.
DRAWS = 6000
#: What a day adds: to the logarithm of all spreads alike, and to the bias (sources.toml ``prior.sessions``).
DAY_LOG_SPREAD, DAY_TURN_RAD = 0.10, 1.0 * DEGREE_RAD
#: Change of a part within four weeks for other reasons than practice: logarithm of a spread, and bias
#: (assumption.assessment.other_change).
OTHER_LOG_SPREAD, OTHER_TURN_RAD = 0.05, 0.4 * DEGREE_RAD
#: How little is known beforehand of a part's level against the fit, and of the size of a bias.
_LEVEL_LOG, _BIAS_RAD = 0.5, 2.0 * DEGREE_RAD
BASIS = "data+assumption.assessment.other_change+prior.sessions"


@dataclass(frozen=True, slots=True)
class LearnedPart:
    """A part that was tested twice or more: effective hours between first and last test, the change that the tests show
    in steps (better is positive; None of a bias), and the steps that practice can bring at most, before and after."""

    part: str
    hours: float
    tests: int
    balls: int
    measured_steps: Estimate | None
    most_steps_before: float
    most_steps: Estimate


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """The responses after the tests, and what was learned of the parts that were tested.

    ``effective_draws``: how many draws of the prior the weights amount to; few means that the tests surprised it.
    """

    responses: ResponseDraws
    weight: FloatArray
    parts: tuple[LearnedPart, ...]
    effective_draws: float

    def draws(self, n: int, rng: np.random.Generator) -> ResponseDraws:
        """``n`` plausible sets of responses after the tests."""
        places = (rng.random() + np.arange(n)) / n
        chosen = rng.permutation(
            np.searchsorted(np.cumsum(self.weight), places).clip(0, len(self.weight) - 1)
        )
        return self.responses.taken(chosen)


def learn(
    responses: Sequence[Response],
    measures: Sequence[PartMeasure],
    log: PracticeLog,
    *,
    group: GroupResponse | None = None,
    drills: Sequence[Drill] = (),
    seed: int = 0,
) -> Learned:
    """Weigh the prior's responses by what tests before and after logged hours show.

    ``measures`` as ``part_measures`` gives them; parts tested on one day only teach nothing. ``group``: what other
    players' tests tell, which is part of the prior then; ``drills``: those that may do nothing for the player. What the
    responses return goes on from the hours practised.
    """
    rng = np.random.default_rng([seed, 8])
    prior = draw_responses(responses, DRAWS, rng, group)
    useless = (USELESS_BASIS,) if drills else ()
    bases = (*prior.bases, *useless, "assumption.plan.practised_hours", "assumption.assessment.other_change")
    prior = replace(prior, working=draw_working(drills, DRAWS, rng), bases=bases)
    tested = tested_twice(measures)
    spreads = {part: own for part, own in tested.items() if PART_BY_ID[part].kind != "bias"}
    log_weight = _spread_weights(spreads, prior, log)
    for part, own in tested.items():
        if part not in spreads:
            log_weight = log_weight + _bias_weights(part, own, prior, log)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    parts = tuple(_learned(part, own, prior, weight, log) for part, own in tested.items())
    before = np.broadcast_to(log.recent(prior.working), prior.most_steps.shape)
    return Learned(replace(prior, hours_before=before), weight, parts, float(1.0 / (weight @ weight)))


def tested_twice(measures: Sequence[PartMeasure]) -> dict[str, list[PartMeasure]]:
    """The measures of the parts that were tested on two days or more, by part and in the order of days."""
    by_part = {
        part: sorted((m for m in measures if m.part == part), key=lambda m: m.day) for part in PART_IDS
    }
    return {part: own for part, own in by_part.items() if len(own) > 1}


def foretold_steps(
    part: str, own: Sequence[PartMeasure], responses: ResponseDraws, log: PracticeLog
) -> FloatArray:
    """[draw, test] steps of a part since its first test that each draw foretells the balls of the tests to show."""
    at, first = PART_IDS.index(part), own[0].day
    steps = np.zeros((len(responses.most_steps), len(own)))
    for number, measure in enumerate(own[1:], 1):
        weeks = max((measure.day - first).days / 7.0, 1.0 / 7.0)
        hours = log.between_draws(first, measure.day, responses.working) / weeks
        steps[:, number] = measure.share * net_steps(hours, responses, weeks)[:, at]
    return steps


def _spread_weights(
    tested: dict[str, list[PartMeasure]], responses: ResponseDraws, log: PracticeLog
) -> FloatArray:
    """[draw] log likelihood of all spreads and poor strikes together: a day widens all of them alike."""
    if not tested:
        return np.zeros(len(responses.most_steps))
    logs = {part: np.log(STEP_FACTOR[PART_BY_ID[part].kind]) for part in tested}
    changes = [logs[part] * foretold_steps(part, own, responses, log) for part, own in tested.items()]
    foretold = np.concatenate(changes, axis=1)
    values = np.array([measure.value for own in tested.values() for measure in own])
    return _log_normal(values - foretold, spread_covariance(tested))


def spread_covariance(tested: dict[str, list[PartMeasure]]) -> FloatArray:
    """[entry, entry] covariance of the spreads of ``tested``, part after part, beyond what practice does."""
    every = [measure for own in tested.values() for measure in own]
    return np.array([[_shared(one, other, tested) for other in every] for one in every])


def _shared(one: PartMeasure, other: PartMeasure, tested: dict[str, list[PartMeasure]]) -> float:
    """Covariance of two measures of spread beyond what practice does."""
    found = DAY_LOG_SPREAD**2 if one.day == other.day else 0.0
    if one.part == other.part:
        first = tested[one.part][0].day
        found += _LEVEL_LOG**2 + OTHER_LOG_SPREAD**2 * months(first, min(one.day, other.day))
        found += one.standard_error**2 if one is other else 0.0
    return found


def _bias_weights(
    part: str, own: Sequence[PartMeasure], responses: ResponseDraws, log: PracticeLog
) -> FloatArray:
    """[draw] log likelihood of a part's biases: what was there at first, halved by every step."""
    return bias_log_density(own, foretold_steps(part, own, responses, log))


def bias_log_density(own: Sequence[PartMeasure], steps: FloatArray) -> FloatArray:
    """[draw] log density, up to a constant, of a part's biases after ``steps`` [draw, test] since the first test."""
    kept = STEP_FACTOR["bias"] ** steps
    seen = np.array([measure.value for measure in own])
    noise = np.diag([measure.standard_error**2 + DAY_TURN_RAD**2 for measure in own])
    passed = [[OTHER_TURN_RAD**2 * months(own[0].day, min(a.day, b.day)) for b in own] for a in own]
    covariance = _BIAS_RAD**2 * kept[:, :, None] * kept[:, None, :] + noise + np.array(passed)
    pulled = np.linalg.solve(covariance, np.broadcast_to(seen, kept.shape)[..., None])[..., 0]
    return np.asarray(-0.5 * (pulled @ seen) - 0.5 * np.linalg.slogdet(covariance)[1])


def _log_normal(off: FloatArray, covariance: FloatArray) -> FloatArray:
    """[draw] log density, up to a constant, of normal deviations [draw, entry]."""
    return np.asarray(-0.5 * np.einsum("di,id->d", off, np.linalg.solve(covariance, off.T)))


def months(first: date, last: date) -> float:
    """Times four weeks between two days."""
    return max((last - first).days, 0) / 28.0


def _learned(
    part: str, own: Sequence[PartMeasure], responses: ResponseDraws, weight: FloatArray, log: PracticeLog
) -> LearnedPart:
    most = responses.most_steps[:, PART_IDS.index(part)]
    first, last = own[0], own[-1]
    hours = float(log.between(first.day, last.day)[PART_IDS.index(part)])
    return LearnedPart(
        part,
        hours,
        len(own),
        sum(measure.balls for measure in own),
        measured_steps(first, last) if PART_BY_ID[part].kind != "bias" else None,
        float(np.median(most)),
        weighted_estimate(most, weight),
    )


def measured_steps(first: PartMeasure, last: PartMeasure) -> Estimate:
    """Steps of a spread from one test to another, with what their balls and their days leave open."""
    step = np.log(STEP_FACTOR[PART_BY_ID[first.part].kind])
    sd = np.sqrt(first.standard_error**2 + last.standard_error**2 + 2.0 * DAY_LOG_SPREAD**2) / abs(step)
    value = (last.value - first.value) / step
    return Estimate(
        float(value), float(value - 1.645 * sd), float(value + 1.645 * sd), "steps", "data+prior.sessions"
    )


def weighted_estimate(values: FloatArray, weight: FloatArray) -> Estimate:
    """Median and central 90 % of weighted draws of the most steps."""
    order = values.argsort()
    reached = np.cumsum(weight[order])
    low, middle, high = (float(values[order][np.searchsorted(reached, chance).clip(0, len(values) - 1)])
                         for chance in (0.05, 0.5, 0.95))  # fmt: skip
    return Estimate(middle, low, high, "steps", BASIS)
