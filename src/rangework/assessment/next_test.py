"""The test that would most change the plan: what its balls are worth, beside practising in the same minutes.

Before a test is hit it can be said how it may turn out. For a kind of ball the information of so many balls (effects
of sessions allowed for) says how far the player's latents would be known afterwards. Worth of steps is regressed on
what the balls tell of the latents over posterior draws, so that each imagined result gives a worth of every part; the
best of many candidate weeks is chosen for it, and again for the worths of today. The mean difference is what the balls
are worth (expected value of sample information: Raiffa and Schlaifer 1961, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.hours_program import HoursProblem, solve_relaxed
from rangework.plan.limit_rows import available_drills, limit_rows
from rangework.plan.limits import Limits
from rangework.plan.response import ResponseDraws
from rangework.plan.returns import pair_draws
from rangework.skill.balls_needed import session_information
from rangework.skill.imagined_balls import BALL_KINDS, BallKind
from rangework.skill.latents import N_LATENTS
from rangework.skill.posterior import Posterior

FloatArray = NDArray[np.float64]

#: Time for a ball of a test, set up, hit and noted; a putt or chip takes less (common practice, no source).
SECONDS_A_BALL, SECONDS_A_PUTT = 36.0, 24.0
#: Results imagined of each test, weeks that are candidates, and balls of a session.
_RESULTS, _WEEKS, _SESSION_BALLS = 2000, 40, 30
#: Directions of the latents that balls tell less of than this (in prior sds' information) are left out.
_LEAST_INFORMATION, _MOST_DIRECTIONS = 0.05, 4
BASIS = "data+prior.player+prior.sessions+assumption.plan.shares+assumption.plan.response_width"


@dataclass(frozen=True, slots=True)
class NextTest:
    """One test: kind of ball, balls and minutes, and what it is worth.

    ``worth``: strokes a round that the plan gains by knowing the result, with the error of the simulation;
    ``practising``: what the same minutes of practice would save instead; ``changes_plan``: the chance that the week
    would be another one.
    """

    kind: str
    balls: int
    minutes: float
    worth: Estimate
    practising: float
    changes_plan: float

    @property
    def pays(self) -> bool:
        """Whether the test is worth more than practising in its time."""
        return self.worth.value > self.practising


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Weeks to choose among: expected steps [week, part] of each, and strokes that one more hour a week saves."""

    steps: FloatArray
    hour: float


def candidate_weeks(
    saved: FloatArray, responses: ResponseDraws, drills: Sequence[Drill], limits: Limits, weeks: float, *, seed: int
) -> Candidates:  # fmt: skip
    """The best week for the mean of ``saved`` [draw, part] first, then for single draws and means of few."""
    available = available_drills(limits, drills)
    rows = limit_rows(limits, available)
    rng = np.random.default_rng([seed, 12])
    wanted = [saved.mean(axis=0)]
    wanted += [
        saved[rng.integers(0, len(saved), size)].mean(axis=0) for size in np.resize([1, 2, 4, 8], _WEEKS - 1)
    ]
    steps, hour = [], 0.0
    for number, worths in enumerate(wanted):
        problem = HoursProblem(available, pair_draws(worths, responses, weeks), rows, limits.budget)
        solved = solve_relaxed(problem)
        steps.append(problem.returns.steps(problem.part_hours(solved.hours)).mean(axis=0))
        if number == 0:
            more = (
                replace(limits, hours=limits.budget + 1.0, hours_by_place={})
                if limits.hours is not None
                else limits
            )
            hour = _one_more(problem, available, more, solved.value)
    return Candidates(np.array(steps), hour)


def _one_more(problem: HoursProblem, drills: Sequence[Drill], more: Limits, value: float) -> float:
    """Strokes that an hour more saves; where hours are by place, an hour of the mean saving of those there are."""
    if more.budget <= problem.budget:
        return max(value - problem.saving(np.zeros(len(problem.drills))), 0.0) / max(problem.budget, 1e-9)
    larger = HoursProblem(problem.drills, problem.returns, limit_rows(more, drills), more.budget)
    return max(solve_relaxed(larger).value - value, 0.0)


def next_tests(
    posterior: Posterior,
    saved: FloatArray,
    candidates: Candidates,
    *,
    balls: int,
    weeks: float,
    seed: int = 0,
) -> list[NextTest]:
    """Each kind of ball as a test of so many balls, the most valuable first.

    ``saved`` [draw, part] strokes saved by a step, of evenly spaced draws of the posterior.
    """
    places = np.linspace(0, posterior.n_draws - 1, min(len(saved), posterior.n_draws)).round().astype(int)
    latents = posterior.latents[np.unique(places), :N_LATENTS]
    found = [
        _test(
            kind,
            posterior,
            latents,
            saved,
            candidates,
            balls,
            weeks,
            np.random.default_rng([seed, 13, number]),
        )
        for number, kind in enumerate(BALL_KINDS)
    ]
    return sorted(found, key=lambda test: -test.worth.value)


def _test(
    kind: BallKind, posterior: Posterior, latents: FloatArray, saved: FloatArray, candidates: Candidates,
    balls: int, weeks: float, rng: np.random.Generator,
) -> NextTest:  # fmt: skip
    information = balls / _SESSION_BALLS * session_information(posterior, kind, _SESSION_BALLS, rng)
    imagined = imagined_worths(latents, saved, information, rng)
    values = np.maximum(imagined, 0.0) @ candidates.steps.T
    best, today = values.max(axis=1), int(values.mean(axis=0).argmax())
    gain = best - values[:, today]
    error = 1.645 * float(gain.std()) / len(gain) ** 0.5
    seconds = SECONDS_A_PUTT if kind.place != "range" else SECONDS_A_BALL
    minutes = balls * seconds / 60.0
    worth = Estimate(
        float(gain.mean()),
        max(float(gain.mean()) - error, 0.0),
        float(gain.mean()) + error,
        "strokes per round",
        BASIS,
    )
    practising = candidates.hour * minutes / 60.0 / weeks
    return NextTest(kind.name, balls, minutes, worth, practising, float((gain > 1e-6).mean()))


def imagined_worths(
    latents: FloatArray,
    saved: FloatArray,
    information: FloatArray,
    rng: np.random.Generator,
    results: int = _RESULTS,
) -> FloatArray:
    """[result, part] the worth of a step as it would be known after a test with this ``information`` [latent, latent].

    ``latents`` [draw, latent] and ``saved`` [draw, part] belong together. What the balls say nothing of stays as it is.
    """
    values, vectors = np.linalg.eigh(information)
    told = np.argsort(-values)[:_MOST_DIRECTIONS]
    told = told[values[told] > _LEAST_INFORMATION]
    mean = saved.mean(axis=0)
    if not told.size:
        return np.tile(mean, (results, 1))
    scores = latents @ vectors[:, told]
    centred = scores - scores.mean(axis=0)
    slopes = np.linalg.lstsq(centred, saved - mean, rcond=None)[0]
    known = np.cov(centred, rowvar=False).reshape(len(told), len(told))
    after = np.linalg.inv(np.linalg.inv(known) + np.diag(values[told]))
    spread = np.linalg.eigh(known - after)
    root = spread[1] * np.sqrt(np.maximum(spread[0], 0.0))
    moved = rng.standard_normal((results, len(told))) @ root.T
    return np.asarray(mean + moved @ slopes)
