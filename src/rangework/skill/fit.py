"""Fit a player: records in, a posterior of plausible players out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rangework.errors import FitError, Problem
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.evidence import Gathered, expected_driver_m, gather
from rangework.skill.latents import (
    HIGHEST_LEVEL,
    LN_DRIVER_SD,
    LN_DRIVER_SD_UNSURE,
    LOWEST_LEVEL,
    N_LATENTS,
    STATED_LEVEL_SD,
    LatentPrior,
)
from rangework.skill.posterior import Posterior
from rangework.skill.sampler import Method, Sample, sample_posterior, split_r_hat

_ADULT_AGES = (18, 60)
#: Reference golfers up to this handicap have been played; beyond it their forms only go on.
CHECKED_LEVEL = 36.0
_GOOD_R_HAT = 1.1
_LEAST_ACCEPTANCE = 0.4
_FEW_SHOTS = 15
#: Drives this far (logarithm) from the level's length call the length itself into question.
_ODD_DRIVES = 0.18


def make_prior(handicap: float | None, profile: PlayerProfile | None = None) -> LatentPrior:
    """The prior of a player: the stated handicap (or the profile's), hand and age.

    Without a handicap the level is nearly open. Driver length goes by the level for men and women; juniors and
    seniors of one level differ in it far more, so that the records decide it.
    """
    profile = profile or PlayerProfile()
    stated = profile.handicap if handicap is None else handicap
    prior = LatentPrior(hand=profile.hand, group=profile.reference)
    if stated is not None:
        level = float(np.clip(stated, LOWEST_LEVEL, HIGHEST_LEVEL))
        prior = replace(prior, level=level, level_sd=STATED_LEVEL_SD)
    if _driver_unsure(profile):
        prior = replace(prior, ln_driver_sd=LN_DRIVER_SD_UNSURE)
    return prior


def _driver_unsure(profile: PlayerProfile) -> bool:
    return profile.age is not None and not _ADULT_AGES[0] <= profile.age < _ADULT_AGES[1]


def fit_player(
    records: ShotRecords,
    *,
    handicap: float | None = None,
    profile: PlayerProfile | None = None,
    seed: int = 0,
    n_draws: int = 400,
    method: Method = "hmc",
    session_effects: bool = True,
) -> Posterior:
    """The posterior of a player, from all records together.

    ``method="laplace"`` is a quick preview. ``session_effects=False`` treats all days alike, which makes
    intervals too narrow; it is there to show just that. Raises FitError when no record informs the fit.
    """
    prior = make_prior(handicap, profile)
    gathered = gather(records, prior, session_effects=session_effects)
    if gathered.n_used == 0:
        raise FitError(
            "No usable record: the fit needs aimed balls with a result, practice putts, or a course log."
            f" Records hold {records.n_balls} rows, none of them usable."
        )
    odd = math.log(gathered.driver_guess_m / expected_driver_m(prior))
    if abs(odd) > _ODD_DRIVES:
        prior = replace(prior, ln_driver_sd=max(LN_DRIVER_SD_UNSURE, abs(odd)))
    sample = sample_posterior(
        prior,
        gathered.evidence,
        gathered.n_effects,
        n_draws=n_draws,
        seed=seed,
        method=method,
        driver_start=odd / prior.ln_driver_sd,
    )
    return _posterior(prior, gathered, sample, handicap, profile or PlayerProfile())


def _posterior(
    prior: LatentPrior, gathered: Gathered, sample: Sample, handicap: float | None, profile: PlayerProfile
) -> Posterior:
    stated = profile.handicap if handicap is None else handicap
    r_hat = float(split_r_hat(sample.draws[:, :N_LATENTS]).max())
    return Posterior(
        latents=sample.draws,
        prior=prior,
        handicap=stated,
        shots=gathered.shots,
        aimed_shots=gathered.aimed_shots,
        shots_from=gathered.shots_from,
        has_range=gathered.has_range,
        has_course=gathered.has_course,
        laplace=sample.laplace,
        diagnostics={"r_hat": r_hat, "acceptance": sample.acceptance, "step": sample.step},
        warnings=tuple(_warnings(prior, gathered, sample, stated, profile, r_hat)),
    )


def _warnings(
    prior: LatentPrior,
    gathered: Gathered,
    sample: Sample,
    stated: float | None,
    profile: PlayerProfile,
    r_hat: float,
) -> list[Problem]:
    found = []
    if _driver_unsure(profile):
        expected = "driver length by handicap is known for adults only: the records decide it"
        found.append(_warning("reference", f"age {profile.age}", expected))
    elif prior.ln_driver_sd > LN_DRIVER_SD:
        length = f"{gathered.driver_guess_m:.0f} m"
        found.append(_warning("driver length", length, "a length usual at this handicap; records decide it"))
    if stated is None:
        found.append(
            _warning("handicap", "", "a stated handicap: it would sharpen what few shots leave open")
        )
    elif abs(prior.level_of(sample.draws).mean() - stated) > 1.5 * prior.level_sd:
        found.append(
            _warning("handicap", golfers_index(stated), "a handicap nearer to what the records show")
        )
    if stated is not None and stated > CHECKED_LEVEL:
        known = f"one up to {CHECKED_LEVEL:g}: golfers beyond that are the forms' straight lines, not checked"
        found.append(_warning("handicap", f"{stated:g}", known))
    if gathered.has_range and not gathered.has_course:
        found.append(_warning("range", "", "shots from the course too: how much wider they are is assumed"))
    if 0 < gathered.n_used < _FEW_SHOTS:
        found.append(
            _warning("records", str(gathered.n_used), f"at least {_FEW_SHOTS} balls; the prior leads")
        )
    if r_hat > _GOOD_R_HAT or sample.acceptance < _LEAST_ACCEPTANCE:
        found.append(_warning("sampling", f"{r_hat:.2f}", "an R-hat near 1; use more draws"))
    return found


def golfers_index(index: float) -> str:
    """A handicap index as golfers write it: better than scratch with a plus."""
    return f"+{-index:g}" if index < 0.0 else f"{index:g}"


def _warning(place: str, value: str, expected: str) -> Problem:
    return Problem("fit", place, value, expected)
