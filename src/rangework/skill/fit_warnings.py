"""What is odd about a fit: warnings that name what limits it or what the records hold beyond the model."""

from __future__ import annotations

import numpy as np

from rangework.errors import Problem
from rangework.records.profile import PlayerProfile
from rangework.skill import coordinates as c
from rangework.skill.evidence import Gathered
from rangework.skill.kernel_arrays import SLIPS, WILD
from rangework.skill.latents import LN_DRIVER_SD, LatentPrior
from rangework.skill.sampler import GOOD_R_HAT, Sample

_ADULT_AGES = (18, 60)
#: Reference golfers up to this handicap have been played; beyond it their forms only go on.
CHECKED_LEVEL = 36.0
_LEAST_ACCEPTANCE = 0.4
_FEW_SHOTS = 15
#: A share of slips, or of wild strikes, that is surely above this is named (5 % quantile of the posterior).
MANY_SLIPS, MANY_WILD = 0.01, 0.05
_SURELY = 0.05


def length_unsure(profile: PlayerProfile) -> bool:
    """Whether the handicap says little of driver length: juniors and seniors."""
    return profile.age is not None and not _ADULT_AGES[0] <= profile.age < _ADULT_AGES[1]


def fit_warnings(
    prior: LatentPrior,
    gathered: Gathered,
    sample: Sample,
    stated: float | None,
    profile: PlayerProfile,
    r_hat: float,
) -> list[Problem]:
    """All that a reader of this fit should know."""
    return [
        *_of_length(prior, gathered, profile),
        *_of_level(prior, sample, stated),
        *_of_records(prior, gathered, sample),
        *_of_sampling(sample, r_hat),
    ]


def golfers_index(index: float) -> str:
    """A handicap index as golfers write it: better than scratch with a plus."""
    return f"+{-index:g}" if index < 0.0 else f"{index:g}"


def _warning(place: str, value: str, expected: str) -> Problem:
    return Problem("fit", place, value, expected)


def _of_length(prior: LatentPrior, gathered: Gathered, profile: PlayerProfile) -> list[Problem]:
    if length_unsure(profile):
        expected = "driver length by handicap is known for adults only: the records decide it"
        return [_warning("reference", f"age {profile.age}", expected)]
    if prior.ln_driver_sd > LN_DRIVER_SD:
        length = f"{gathered.driver_guess_m:.0f} m"
        return [_warning("driver length", length, "a length usual at this handicap; records decide it")]
    return []


def _of_level(prior: LatentPrior, sample: Sample, stated: float | None) -> list[Problem]:
    if stated is None:
        return [_warning("handicap", "", "a stated handicap: it would sharpen what few shots leave open")]
    found = []
    if abs(prior.level_of(sample.draws).mean() - stated) > 1.5 * prior.level_sd:
        found.append(
            _warning("handicap", golfers_index(stated), "a handicap nearer to what the records show")
        )
    if stated > CHECKED_LEVEL:
        known = f"one up to {CHECKED_LEVEL:g}: golfers beyond that are the forms' straight lines, not checked"
        found.append(_warning("handicap", f"{stated:g}", known))
    return found


def _of_records(prior: LatentPrior, gathered: Gathered, sample: Sample) -> list[Problem]:
    found = []
    if gathered.has_range and not gathered.has_course:
        found.append(_warning("range", "", "shots from the course too: how much wider they are is assumed"))
    if 0 < gathered.n_used < _FEW_SHOTS:
        found.append(
            _warning("records", str(gathered.n_used), f"at least {_FEW_SHOTS} balls; the prior leads")
        )
    drawn = prior.coordinates(sample.draws)
    slips, wild = c.expit(drawn[:, SLIPS]), c.expit(drawn[:, WILD])
    if np.quantile(slips, _SURELY) > MANY_SLIPS:
        expected = (
            "rows that are shots at their targets: so many are nothing like it and were left out of spreads"
        )
        found.append(_warning("stray rows", f"about {100.0 * np.median(slips):.0f} %", expected))
    if np.quantile(wild, _SURELY) > MANY_WILD:
        expected = (
            "balls that scatter evenly: a few fly far wider, so that the usual shot is better than its spread"
        )
        found.append(_warning("balls far out", f"about {100.0 * np.median(wild):.0f} %", expected))
    return found


def _of_sampling(sample: Sample, r_hat: float) -> list[Problem]:
    if r_hat > GOOD_R_HAT or sample.acceptance < _LEAST_ACCEPTANCE:
        return [_warning("sampling", f"{r_hat:.2f}", "an R-hat near 1; use more draws")]
    return []
