"""One small posterior against numerical integration: neither likelihood nor sampler is the fit's."""

import numpy as np
import pytest
from scipy import stats
from simulated_players import SimulatedPlayer

from rangework.skill import coordinates as c
from rangework.skill.fit import fit_player
from rangework.skill.putting import make_probability, putting_skill, reference_putting
from rangework.skill.reference import reference_golfer

HANDICAP = 12.0
#: Of the grid and the prior: logarithms of line, pace and aim past the hole.
REACH, POINTS, PRIOR_SD = (0.8, 0.8, 1.6), (27, 27, 15), (0.12, 0.15, 0.5)


def _integrated(length_m: np.ndarray, holed: np.ndarray) -> dict[str, tuple[float, float]]:
    """Mean and sd of ln line, ln pace and ln aim past the hole from holed and missed putts, over a grid."""
    start = reference_putting(HANDICAP)
    middle = np.log([start.line_rad, start.pace, start.aim_past_m])
    grid = [
        m + np.linspace(-reach, reach, points) for m, reach, points in zip(middle, REACH, POINTS, strict=True)
    ]
    lengths = np.unique(length_m)
    n, made = (np.array([weight[length_m == x].sum() for x in lengths]) for weight in (holed * 0 + 1, holed))
    log_likelihood = np.empty(POINTS)
    for at in np.ndindex(POINTS):
        line, pace, past = np.exp([axis[i] for axis, i in zip(grid, at, strict=True)])
        skill = putting_skill(np.degrees(line), pace)._replace(aim_past_m=past)
        chance = make_probability(lengths, skill)
        log_likelihood[at] = made @ np.log(chance) + (n - made) @ np.log(1.0 - chance)
    prior = np.zeros(POINTS)
    for level in np.linspace(-5.0, 35.0, 161):
        golfer = reference_putting(level)
        means = np.log([golfer.line_rad, golfer.pace, golfer.aim_past_m])
        axes = [stats.norm.pdf(x, mean, sd) for x, mean, sd in zip(grid, means, PRIOR_SD, strict=True)]
        prior += stats.norm.pdf(level, HANDICAP, 6.0) * np.einsum("i,j,k->ijk", *axes)
    mass = np.exp(log_likelihood - log_likelihood.max()) * prior
    found = {}
    for axis, name in enumerate(("line", "pace", "past")):
        weight = mass.sum(axis=tuple({0, 1, 2} - {axis})) / mass.sum()
        mean = float(weight @ grid[axis])
        found[name] = (mean, float(np.sqrt(weight @ (grid[axis] - mean) ** 2)))
    return found


def test_putting_posterior_is_that_of_numerical_integration() -> None:
    player = SimulatedPlayer(reference_golfer(20.0), 31)
    putts = player.putts([3.0, 5.0, 8.0, 12.0, 20.0, 30.0], 60, 2, measured=False)
    expected = _integrated(putts["target_m"].to_numpy(), putts["holed"].to_numpy(float))
    fitted = fit_player(
        player.records(putts=putts), handicap=HANDICAP, n_draws=2000, session_effects=False
    ).coordinates
    for name, at in (("line", c.LN_LINE), ("pace", c.LN_PACE), ("past", c.LN_AIM_PAST)):
        mean, sd = expected[name]
        assert fitted[:, at].mean() == pytest.approx(mean, abs=0.15 * sd)
        assert fitted[:, at].std() == pytest.approx(sd, rel=0.12)
