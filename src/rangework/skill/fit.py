"""Fit a player: records in, a posterior of plausible players out."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rangework.errors import FitError
from rangework.records.header_words import is_driver
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.club_carries import full_shots
from rangework.skill.evidence import (
    Gathered,
    driver_at_first_sight_m,
    expected_driver_m,
    gather,
    supposed_golfer,
)
from rangework.skill.fit_warnings import fit_warnings, length_unsure
from rangework.skill.latents import (
    DRIVER_RUN_M,
    HIGHEST_LEVEL,
    LN_DRIVER_SD_UNSURE,
    LOWEST_LEVEL,
    N_LATENTS,
    STATED_LEVEL_SD,
    LatentPrior,
)
from rangework.skill.posterior import Posterior
from rangework.skill.sampler import Method, Sample, sample_posterior, split_r_hat

#: Drives this far (logarithm) from the level's length call the length itself into question.
_ODD_DRIVES = 0.22


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
    if length_unsure(profile):
        prior = replace(prior, ln_driver_sd=LN_DRIVER_SD_UNSURE)
    return prior


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
    prior, stated_m = make_prior(handicap, profile), _stated_driver_m(profile)
    if profile and profile.clubs:
        golfer = supposed_golfer(prior, stated_m or driver_at_first_sight_m(records, prior))
        prior = replace(prior, full_shots_m=full_shots(records, profile.clubs, golfer))
    gathered = gather(records, prior, session_effects=session_effects, stated_driver_m=stated_m)
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


def _stated_driver_m(profile: PlayerProfile | None) -> float | None:
    """Total of the driver that the profile states, if it does."""
    clubs = profile.clubs if profile else {}
    carries = [carry_m for club, carry_m in clubs.items() if is_driver(club)]
    return max(carries) + DRIVER_RUN_M if carries else None


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
        warnings=tuple(fit_warnings(prior, gathered, sample, stated, profile, r_hat)),
    )
