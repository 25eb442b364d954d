"""The fit's sampler beside a general one, and its likelihood beside one written out by hand."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd
from comparison import COMPUTED, Check, Effort, Page, Table
from ensemble import (
    STATISTICS,
    Estimates,
    autocorrelation_time,
    differences,
    estimates,
    posterior_density,
    sample_ensemble,
)
from numpy.typing import NDArray
from recorded_players import SimulatedPlayer
from written_out import log_likelihoods, supposed

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill.aimed_kernels import aimed_kernel
from rangework.skill.evidence import Gathered, gather
from rangework.skill.fit import fit_player
from rangework.skill.kernel_arrays import N_FITTED, Evidence
from rangework.skill.latents import N_LATENTS, LatentPrior
from rangework.skill.logged_kernels import approach_kernel, drive_kernel
from rangework.skill.part_values import PART_UNITS, part_values
from rangework.skill.posterior import Posterior
from rangework.skill.posterior_kernels import coordinates_kernel, unwhitened_kernel
from rangework.skill.putted_kernels import holed_kernel, leave_kernel
from rangework.skill.reference import reference_golfer
from rangework.skill.sampler import kernel_prior
from rangework.skill.strike_kernels import point_kernel

FloatArray = NDArray[np.float64]

TEXT = """
The fit draws plausible players by Hamiltonian Monte Carlo of our own. Two checks that share no code with it:

- The same posterior sampled by a general ensemble sampler, [emcee](https://emcee.readthedocs.io), which needs neither
  gradient nor mode: mean, standard deviation, 5 % and 95 % quantile of all 24 parts, {count} figures, each
  difference in standard errors (the Monte Carlo errors of both samplers, autocorrelation allowed for).
- The likelihood of every kind of record written out once more in plain formulas (`tests/validation/written_out.py`),
  from the tables that rounds are played with. Its logarithm may differ from the kernels' by a constant, so what
  counts is how much the difference varies over plausible players; one that mattered would be of the size of 1.

The records are those of a simulated golfer of handicap 14 who states 10: {balls} rows (a session on the range, drives,
short game, putts, a round), {dimensions} dimensions. The ensemble's {walkers} walkers made {steps} steps after settling
in, and took {time:.0f} steps to an independent draw: {ensemble_draws} of those for the part with fewest. The fit's own
sampler made {draws} draws, worth {own_draws} independent ones or more.

So an error of {mean_seen:.0f} % of a standard deviation in any mean, or of {sd_seen:.0f} % in any standard deviation,
would have shown (three standard errors). The negative controls compare the ensemble with fits made wrong on purpose.

emcee's snooker move, which is often mixed with the one used here, was left out: version 3.1.6 draws a standard normal
of 58 dimensions with standard deviations of about 0.7 (`tests/validation/test_sampler.py`). With the move used
here it draws that normal as it is.
"""
SOURCE_ENSEMBLE = (
    "ter Braak (2006), Statistics and Computing 16:239 (from memory), as emcee 3 has it: "
    "Foreman-Mackey et al. (2013), PASP 125:306"
)
SOURCE_NORMAL = "Theory of the normal distribution"
SOURCE_CONTROL = "The same comparison, the fit's posterior made wrong on purpose"
SOURCE_WRITTEN = (
    "docs/explanation/fitting.md, written out with scipy's densities (tests/validation/written_out.py)"
)

STATED_HANDICAP, SEED = 10.0, 3
WALKERS = 256
#: Differences beyond this many standard errors in one of 96 figures would be chance once in 200 runs.
LARGEST_Z = 4.0
#: A wrong posterior must show at least this many.
CONTROL_Z = 8.0


class Compared(NamedTuple):
    """Both samplers' estimates by part, and what they rest on."""

    own: dict[str, Estimates]
    ensemble: dict[str, Estimates]
    steps: int
    time: float  #: largest autocorrelation time of the ensemble, steps

    @property
    def z(self) -> FloatArray:
        """``[part, statistic]`` differences in standard errors."""
        return np.array([differences(self.own[part], self.ensemble[part]) for part in self.own])


def few_records(seed: int = SEED) -> ShotRecords:
    """One session of each kind and a round, so that the dimensions stay few."""
    player = SimulatedPlayer(reference_golfer(14.0), seed)
    sessions = [
        player.practice([80.0, 110.0, 140.0, 165.0], 60, 1),
        player.practice([0.0], 25, 1, lie=Lie.TEE),
        player.practice([10.0, 25.0, 40.0], 30, 1, place="short_game_area"),
    ]
    return player.records(
        aimed=pd.concat(sessions, ignore_index=True),
        putts=player.putts([4.0, 8.0, 15.0, 30.0], 40, 1),
        log=player.rounds(1),
    )


def own_draws(records: ShotRecords, draws: int) -> Posterior:
    return fit_player(records, handicap=STATED_HANDICAP, n_draws=draws, seed=1)


def own_estimates(posterior: Posterior) -> dict[str, Estimates]:
    return {part: estimates(values[:, None]) for part, values in part_values(posterior.coordinates).items()}


def ensemble_draws(posterior: Posterior, gathered: Gathered, steps: int, *, seed: int = 5) -> FloatArray:
    """Draws ``[step, walker, latent]``; the walkers start as the Laplace approximation has them."""
    laplace = posterior.laplace
    normal = np.random.default_rng(seed).standard_normal((WALKERS, laplace.mode.size))
    kernel, way, bend = kernel_prior(posterior.prior), laplace.whitening(), np.empty(N_LATENTS)
    start = np.array([unwhitened_kernel(u, way, kernel, bend) for u in normal])
    return sample_ensemble(posterior_density(kernel, gathered.evidence), start, steps, seed=seed)


def compare(posterior: Posterior, gathered: Gathered, steps: int) -> Compared:
    """The fit's draws beside an ensemble's."""
    chain = ensemble_draws(posterior, gathered, steps)
    flat = chain.reshape(-1, chain.shape[2])
    series = {
        part: values.reshape(chain.shape[:2])
        for part, values in part_values(posterior.prior.coordinates(flat)).items()
    }
    time = max(autocorrelation_time(values) for values in series.values())
    ensemble = {part: estimates(values) for part, values in series.items()}
    return Compared(own_estimates(posterior), ensemble, len(chain), time)


def likelihood_differences(
    posterior: Posterior, records: ShotRecords, gathered: Gathered, every: int
) -> FloatArray:
    """``[draw, kind of record]`` written-out log likelihood less the kernels'."""
    found = []
    for x in posterior.latents[::every]:
        written = log_likelihoods(supposed(x, posterior.prior, records, gathered.driver_guess_m), records)
        kernels = kernel_terms(x, posterior.prior, gathered.evidence)
        found.append([written[kind] - kernels[kind] for kind in written])
    return np.array(found)


def kernel_terms(x: FloatArray, prior: LatentPrior, evidence: Evidence) -> dict[str, float]:
    """Log likelihood of each kind of record as the fit's kernels have it."""
    coordinates, by_level = np.empty(N_FITTED), np.empty(N_FITTED)
    coordinates_kernel(x, kernel_prior(prior), coordinates, by_level)
    effects = x[N_LATENTS:]
    common = (point_kernel(coordinates), effects, np.zeros(N_FITTED), np.zeros(effects.size))
    form, sessions = evidence.form, evidence.sessions
    return {
        "aimed balls": aimed_kernel(evidence.aimed, sessions, form, *common),
        "logged approaches": approach_kernel(evidence.logged, evidence.poor_places, sessions, form, *common),
        "logged drives": drive_kernel(evidence.logged, evidence.drive_places, sessions, form, *common),
        "putts holed and tap-ins left": holed_kernel(evidence.putts, sessions, *common),
        "misses measured": leave_kernel(evidence.measured, sessions, form, *common),
        "logged misses": leave_kernel(evidence.circles, sessions, form, *common),
    }


def page(effort: Effort) -> Page:
    records = few_records()
    posterior = own_draws(records, effort.of(20_000, 6_000))
    gathered = gather(records, posterior.prior)
    found = compare(posterior, gathered, effort.of(5_000, 2_000))
    differing = likelihood_differences(posterior, records, gathered, posterior.n_draws // effort.of(100, 20))
    checks = [
        *sampler_checks(found),
        *control_checks(records, found, posterior.n_draws),
        *likelihood_checks(
            differing, list(kernel_terms(posterior.latents[0], posterior.prior, gathered.evidence))
        ),
    ]
    return Page(
        "sampler", "The sampler beside another", text(records, posterior, found), checks, [parts_table(found)]
    )


def text(records: ShotRecords, posterior: Posterior, found: Compared) -> str:
    seen = 3.0 * np.array([each.error[:2] / each.value[1] for each in found.ensemble.values()]).max(axis=0)
    return TEXT.format(
        count=found.z.size,
        balls=records.n_balls,
        dimensions=posterior.latents.shape[1],
        walkers=WALKERS,
        steps=found.steps,
        time=found.time,
        ensemble_draws=_round_number(found.ensemble),
        draws=posterior.n_draws,
        own_draws=_round_number(found.own),
        mean_seen=100.0 * seen[0],
        sd_seen=100.0 * seen[1],
    )


def _round_number(found: dict[str, Estimates]) -> int:
    """Independent draws of the part with fewest, in hundreds."""
    return 100 * int(min(each.draws for each in found.values()) / 100.0)


def sampler_checks(found: Compared) -> list[Check]:
    """The largest difference of any part for each statistic, and the usual size of all."""
    checks = [
        Check(
            what=f"largest difference of a part's {statistic}, standard errors",
            high=LARGEST_Z, model=float(np.abs(column).max()), goal=0.01, unit="", decimals=2,
            source=SOURCE_ENSEMBLE, status=COMPUTED,
        )
        for statistic, column in zip(STATISTICS, found.z.T, strict=True)
    ]  # fmt: skip
    usual = Check(
        what="root mean square of all differences, standard errors",
        published=1.0, model=float(np.sqrt((found.z**2).mean())), goal=0.4, unit="", decimals=2,
        source=SOURCE_ENSEMBLE, status=COMPUTED,
    )  # fmt: skip
    return [*checks, usual]


def control_checks(records: ShotRecords, found: Compared, draws: int) -> list[Check]:
    """The fit without the practice putts, and without session effects: the comparison must see both."""
    blind = ShotRecords(records.aimed, ShotRecords.empty().putts, records.log)
    wrong = {
        "the fit blind to practice putts": own_draws(blind, draws),
        "the fit without session effects": fit_player(
            records, handicap=STATED_HANDICAP, n_draws=draws, seed=1, session_effects=False
        ),
    }
    checks = []
    for what, posterior in wrong.items():
        z = Compared(own_estimates(posterior), found.ensemble, found.steps, found.time).z
        checks.append(
            Check(
                what=f"negative control, {what}: largest difference, standard errors",
                low=CONTROL_Z, model=float(np.abs(z).max()), goal=0.1, unit="", decimals=1,
                source=SOURCE_CONTROL, status=COMPUTED,
            )
        )  # fmt: skip
    return checks


def likelihood_checks(differing: FloatArray, kinds: list[str]) -> list[Check]:
    return [
        Check(
            what=f"log likelihood of {kind}: sd over plausible players of the difference",
            published=0.0, model=float(column.std()), goal=0.03, unit="", decimals=4,
            source=SOURCE_WRITTEN, status=COMPUTED,
        )
        for kind, column in zip(kinds, differing.T, strict=True)
    ]  # fmt: skip


def parts_table(found: Compared) -> Table:
    """Mean and quantiles of both samplers, and the differences, by part."""
    rows = []
    for (part, own), ensemble, z in zip(found.own.items(), found.ensemble.values(), found.z, strict=True):
        scale = 100.0 if PART_UNITS[part] == "share" else 1.0
        unit = "%" if PART_UNITS[part] == "share" else PART_UNITS[part]
        cells = [f"{scale * a:.3g} / {scale * b:.3g}" for a, b in zip(own.value, ensemble.value, strict=True)]
        rows.append((part, unit, *cells, f"{np.abs(z).max():.1f}"))
    return Table(
        "All parts: the fit / the ensemble",
        ("part", "unit", *STATISTICS, "largest difference, standard errors"),
        rows,
    )
