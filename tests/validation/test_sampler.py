"""The tools of the sampler's check are checked where the answer is known; the check itself is a section."""

from __future__ import annotations

from importlib.metadata import version

import emcee
import numpy as np
import pytest
from ensemble import autocorrelation_time, differences, estimates, sample_ensemble
from numpy.typing import NDArray
from scipy import stats
from sections.sampler import few_records, kernel_terms, own_draws
from written_out import log_likelihoods, supposed

from rangework.skill.evidence import gather

FloatArray = NDArray[np.float64]
DIMENSIONS, WALKERS = 58, 256


def autoregressive(seed: int, steps: int, walkers: int, keep: float) -> FloatArray:
    """A stationary series of standard normals, [step, walker], each ``keep`` times the one before and noise."""
    rng = np.random.default_rng(seed)
    series = np.empty((steps, walkers))
    series[0] = rng.standard_normal(walkers)
    for i in range(1, steps):
        series[i] = keep * series[i - 1] + np.sqrt(1.0 - keep**2) * rng.standard_normal(walkers)
    return series


@pytest.mark.parametrize("keep", [0.0, 0.6, 0.9])
def test_autocorrelation_time_of_a_known_series(keep: float) -> None:
    found = autocorrelation_time(autoregressive(1, 8_000, 8, keep))
    assert found == pytest.approx((1.0 + keep) / (1.0 - keep), rel=0.1)


def test_errors_of_all_statistics_are_those_of_repetition() -> None:
    normal = np.array([0.0, 1.0, *stats.norm.ppf((0.05, 0.95))])
    found = [estimates(autoregressive(seed, 1_500, 2, 0.7)) for seed in range(120)]
    z = np.array([(each.value - normal) / each.error for each in found])
    assert np.all(np.abs(z.mean(axis=0)) < 0.4)
    assert np.all((z.std(axis=0) > 0.8) & (z.std(axis=0) < 1.25))


def test_equal_series_do_not_differ_and_a_wider_one_does() -> None:
    first, second = (estimates(autoregressive(seed, 3_000, 4, 0.5)) for seed in (1, 2))
    wider = estimates(1.1 * autoregressive(2, 3_000, 4, 0.5))
    assert np.abs(differences(first, second)).max() < 3.5
    assert np.abs(differences(first, wider)).max() > 5.0


def _normal_sd(moves: object) -> float:
    start = np.random.default_rng(0).standard_normal((WALKERS, DIMENSIONS))
    chain = sample_ensemble(lambda x: -0.5 * (x * x).sum(axis=1), start, 1_000, seed=3, moves=moves)
    return float(chain.reshape(-1, DIMENSIONS).std(axis=0).mean())


@pytest.mark.slow
def test_the_ensemble_draws_a_normal_as_it_is() -> None:
    assert _normal_sd(None) == pytest.approx(1.0, abs=0.01)


@pytest.mark.slow
@pytest.mark.skipif(version("emcee") != "3.1.6", reason="says why a move of this version is left out")
def test_the_snooker_move_draws_it_too_narrow() -> None:
    assert _normal_sd(emcee.moves.DESnookerMove()) < 0.85


@pytest.mark.slow
def test_a_slip_in_a_likelihood_shows() -> None:
    """Negative control of the likelihood written out: a tenth more spread from poor strikes is seen."""
    records = few_records()
    posterior = own_draws(records, 40)
    gathered = gather(records, posterior.prior)
    slipped = gathered.evidence._replace(form=gathered.evidence.form._replace(poor_spread=2.42))
    right, wrong = [], []
    for x in posterior.latents[::4]:
        written = log_likelihoods(supposed(x, posterior.prior, records, gathered.driver_guess_m), records)
        for evidence, found in ((gathered.evidence, right), (slipped, wrong)):
            found.append(written["aimed balls"] - kernel_terms(x, posterior.prior, evidence)["aimed balls"])
    assert np.std(right) < 0.03 < np.std(wrong)
