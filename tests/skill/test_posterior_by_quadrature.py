"""One small posterior against numerical integration: neither likelihood nor sampler is the fit's."""

import numpy as np
import pytest
from scipy import stats
from simulated_players import SimulatedPlayer

from rangework.skill import coordinates as c
from rangework.skill.fit import fit_player
from rangework.skill.putting import PuttingSkill, make_probability, putting_skill, reference_putting
from rangework.skill.reference import reference_golfer

HANDICAP = 12.0


def _integrated(length_m: np.ndarray, holed: np.ndarray) -> dict[str, tuple[float, float]]:
    """Mean and sd of ln line and ln pace from holed and missed putts, over a grid."""
    start = reference_putting(HANDICAP)
    ln_line = np.log(start.line_rad) + np.linspace(-0.8, 0.8, 61)
    ln_pace = np.log(start.pace) + np.linspace(-0.8, 0.8, 61)
    lengths = np.unique(length_m)
    n, made = (np.array([weight[length_m == x].sum() for x in lengths]) for weight in (holed * 0 + 1, holed))
    log_likelihood = np.empty((61, 61))
    for i, line in enumerate(np.exp(ln_line)):
        for j, pace in enumerate(np.exp(ln_pace)):
            skill = putting_skill(np.degrees(line), pace)._replace(aim_past_m=start.aim_past_m)
            log_likelihood[i, j] = stats.binom.logpmf(made, n, make_probability(lengths, skill)).sum()
    prior = np.zeros((61, 61))
    for level in np.linspace(-5.0, 35.0, 161):
        reference: PuttingSkill = reference_putting(level)
        by_line = stats.norm.pdf(ln_line, np.log(reference.line_rad), 0.12)
        by_pace = stats.norm.pdf(ln_pace, np.log(reference.pace), 0.15)
        prior += stats.norm.pdf(level, HANDICAP, 6.0) * np.outer(by_line, by_pace)
    mass = np.exp(log_likelihood - log_likelihood.max()) * prior
    found = {}
    for name, axis, at in (("line", 1, ln_line), ("pace", 0, ln_pace)):
        weight = mass.sum(axis=axis) / mass.sum()
        mean = float(weight @ at)
        found[name] = (mean, float(np.sqrt(weight @ (at - mean) ** 2)))
    return found


def test_putting_posterior_is_that_of_numerical_integration() -> None:
    player = SimulatedPlayer(reference_golfer(20.0), 31)
    putts = player.putts([3.0, 5.0, 8.0, 12.0, 20.0, 30.0], 60, 2, measured=False)
    expected = _integrated(putts["target_m"].to_numpy(), putts["holed"].to_numpy(float))
    fitted = fit_player(
        player.records(putts=putts), handicap=HANDICAP, n_draws=2000, session_effects=False
    ).coordinates
    for name, at in (("line", c.LN_LINE), ("pace", c.LN_PACE)):
        mean, sd = expected[name]
        assert fitted[:, at].mean() == pytest.approx(mean, abs=0.15 * sd)
        assert fitted[:, at].std() == pytest.approx(sd, rel=0.12)
