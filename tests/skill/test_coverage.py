"""Coverage of 90 % intervals over simulated players; the negative control leaves session effects out."""

import numpy as np
import pytest
from simulated_players import Days, SimulatedPlayer, typical_records

from rangework.skill import coordinates as c
from rangework.skill.fit import fit_player
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.part_values import part_values

PLAYERS = 40
_DAYS = [
    c.LN_SESSION_DIRECTION,
    c.LN_SESSION_DEPTH,
    c.LN_SESSION_SPREAD,
    c.LN_RANGE_FACTOR,
    c.LN_AIM,
    c.LN_AIM_DEPTH,
]


def _covered(seed: int, *, session_effects: bool) -> list[bool]:
    """Whether each part's truth lies in its 90 % interval, for one player off the prior."""
    rng = np.random.default_rng(seed)
    prior = LatentPrior(rng.uniform(0.0, 30.0), 6.0)
    latents = rng.standard_normal(N_LATENTS)
    truth = prior.coordinates(latents)
    player = SimulatedPlayer(golfer_from_latents(latents, prior), seed, Days(*np.exp(truth[_DAYS])))
    records = typical_records(player, sessions=4, balls=120, rounds=3, putts=90)
    fitted = fit_player(records, handicap=prior.level, seed=seed, session_effects=session_effects)
    drawn, true = part_values(fitted.coordinates), part_values(truth[None, :])
    return [np.quantile(drawn[p], 0.05) <= true[p][0] <= np.quantile(drawn[p], 0.95) for p in true]


@pytest.mark.slow
def test_ninety_percent_intervals_hold_the_truth() -> None:
    covered = np.mean([_covered(seed, session_effects=True) for seed in range(PLAYERS)])
    assert 0.84 <= covered <= 0.95


@pytest.mark.slow
def test_intervals_are_too_narrow_when_sessions_are_ignored() -> None:
    """Biases suffer most: days that lean left or right are taken for many balls' worth of bias."""
    with_sessions = np.array([_covered(seed, session_effects=True) for seed in range(16)])
    without = np.array([_covered(seed, session_effects=False) for seed in range(16)])
    biases = [
        i for i, part in enumerate(part_values(np.zeros((1, c.N_COORDINATES)))) if part.endswith("bias")
    ]
    assert without[:, biases].mean() < 0.80
    assert without.mean() < with_sessions.mean()
