"""Players off the prior, and the records that they would have kept: so many balls in a realistic mix."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from rangework.lie import Lie
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.latents import N_LATENTS, STATED_LEVEL_SD, LatentPrior, golfer_from_latents
from rangework.skill.model import Golfer
from rangework.units import YARD_M

sys.path.append(str(Path(__file__).parents[1] / "skill"))
from simulated_players import Days, SimulatedPlayer

__all__ = ["HiddenPlayer", "SimulatedPlayer", "hidden_player", "records_of"]

#: What says how a player's days and records differ from his skill, in the order of ``Days``.
DAYS = [
    c.LN_SESSION_DIRECTION,
    c.LN_SESSION_DEPTH,
    c.LN_SESSION_SPREAD,
    c.LN_RANGE_FACTOR,
    c.LN_AIM,
    c.LN_AIM_DEPTH,
]
#: Shares of what is recorded: rounds first (at most so many), then the balls beside them.
ROUND_SHARE, MOST_ROUNDS, ROUND_ROWS, NO_ROUND_BELOW = 0.25, 8, 65, 150
IRONS_YD = (60.0, 80.0, 95.0, 110.0, 125.0, 140.0, 155.0, 165.0, 180.0, 205.0)
PUTTS_FT = [3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0]
#: Share of the other balls, and balls in a session.
RANGE, TEE, SHORT_GAME, SAND, PUTTS = (0.50, 60), (0.15, 25), (0.12, 40), (0.03, 15), (0.20, 60)


@dataclass(frozen=True)
class HiddenPlayer:
    """A golfer nobody knows, the handicap that he states, and how his days and records differ from his skill."""

    golfer: Golfer
    stated: float
    level: float
    days: Days
    prior: LatentPrior
    seed: int


def hidden_player(seed: int) -> HiddenPlayer:
    """A player off the prior around a stated handicap between 0 and 30."""
    rng = np.random.default_rng([seed, 77])
    prior = LatentPrior(float(rng.uniform(0.0, 30.0)), STATED_LEVEL_SD)
    latents = rng.standard_normal(N_LATENTS)
    days = Days(*np.exp(prior.coordinates(latents)[DAYS]))
    golfer = golfer_from_latents(latents, prior)
    return HiddenPlayer(golfer, prior.level, float(prior.level_of(latents)), days, prior, seed)


def records_of(hidden: HiddenPlayer, balls: int) -> ShotRecords:
    """About so many rows: irons and drives on the range, short game, putts, and from 150 on some rounds."""
    player = SimulatedPlayer(hidden.golfer, 100_000 * hidden.seed + balls, hidden.days)
    rounds = min(MOST_ROUNDS, round(ROUND_SHARE * balls / ROUND_ROWS)) if balls >= NO_ROUND_BELOW else 0
    left = balls - ROUND_ROWS * rounds
    longest_yd = 0.78 * hidden.golfer.driver_m / YARD_M
    irons = [target for target in IRONS_YD if target <= longest_yd]
    aimed = [
        player.practice(irons, *sessions(RANGE, left)),
        player.practice([0.0], *sessions(TEE, left), lie=Lie.TEE),
        player.practice([8.0, 15.0, 25.0, 40.0], *sessions(SHORT_GAME, left), place="short_game_area"),
        player.practice([10.0, 20.0], *sessions(SAND, left), lie=Lie.SAND, place="short_game_area"),
    ]
    return player.records(
        aimed=pd.concat(aimed, ignore_index=True),
        putts=player.putts(PUTTS_FT, *sessions(PUTTS, left)),
        log=player.rounds(rounds) if rounds else None,
    )


def sessions(kind: tuple[float, int], balls: int) -> tuple[int, int]:
    """Balls in a session, and sessions."""
    share, usual = kind
    sessions = max(1, round(share * balls / usual))
    return max(1, round(share * balls / sessions)), sessions
