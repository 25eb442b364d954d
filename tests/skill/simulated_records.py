"""Simulated players drawn from the prior, whose records are of many sizes and mixes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from simulated_players import Days, SimulatedPlayer

from rangework.lie import Lie
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.fit import make_prior
from rangework.skill.kernel_arrays import MISREADS, SLIPS, WILD
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Shares of all balls on the range, in the short game, in practice putts and in rounds, and how usual each mix is.
MIXES: dict[str, tuple[float, float, float, float]] = {
    "all": (0.5, 0.15, 0.15, 0.2),
    "range and short game": (0.7, 0.3, 0.0, 0.0),
    "range and rounds": (0.6, 0.0, 0.0, 0.4),
    "range": (1.0, 0.0, 0.0, 0.0),
    "rounds": (0.0, 0.0, 0.0, 1.0),
    "short game and putts": (0.0, 0.5, 0.5, 0.0),
    "putts": (0.0, 0.0, 1.0, 0.0),
}
_USUAL = (0.4, 0.12, 0.12, 0.1, 0.12, 0.08, 0.06)
LEVELS, BALLS = (-5.0, 36.0), (50.0, 5000.0)
STROKES_A_ROUND = 73
_FEWEST = 4
_MOST_MISREAD = 0.095
_SHORT_YD = np.array([5.0, 8.0, 12.0, 16.0, 22.0, 30.0, 38.0, 46.0])
_PUTTS_FT = (
    [3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0],
    [3.0, 6.0, 10.0],
    [4.0, 8.0],
    [15.0, 30.0, 45.0],
)


@dataclass(frozen=True)
class DrawnPlayer:
    """A player off the prior of a profile: the truth, ``[coordinate]``, and the records."""

    profile: PlayerProfile
    prior: LatentPrior
    truth: FloatArray
    mix: str
    records: ShotRecords
    days: Days


def days_of(truth: FloatArray) -> Days:
    """What coordinates say of days and records."""
    return Days(
        direction_rad=float(np.exp(truth[c.LN_SESSION_DIRECTION])),
        depth=float(np.exp(truth[c.LN_SESSION_DEPTH])),
        spread=float(np.exp(truth[c.LN_SESSION_SPREAD])),
        range_factor=float(np.exp(truth[c.LN_RANGE_FACTOR])),
        aim_rad=float(np.exp(truth[c.LN_AIM])),
        aim_depth_ratio=float(np.exp(truth[c.LN_AIM_DEPTH])),
        run_m=float(np.exp(truth[c.LN_RUN])),
        shorter_club=float(c.expit(truth[c.LAY_UP])),
        wild=float(c.expit(truth[WILD])),
        slips=float(c.expit(truth[SLIPS])),
    )


def draw_player(seed: int) -> DrawnPlayer:
    """A man or woman of any stated index; true level, parts and days are draws of the prior.

    Half of the logs are rounded to feet and yards. The golfer allows for an unknown share of the own bias on
    the course: the fit knows of neither.
    """
    rng = np.random.default_rng([77, seed])
    group = "women" if rng.random() < 0.4 else "men"
    profile = PlayerProfile(handicap=round(float(rng.uniform(*LEVELS)), 1), reference=group)
    prior = make_prior(None, profile)
    latents = rng.standard_normal(N_LATENTS)
    truth = prior.coordinates(latents)
    days = days_of(truth)
    if rng.random() < 0.6:
        days.misread_solid = _MOST_MISREAD * float(c.expit(truth[MISREADS]))
        days.misread_poor = 10.0 * days.misread_solid
    days.allows_for_bias = float(rng.uniform())
    days.rounded = bool(rng.random() < 0.5)
    player = SimulatedPlayer(golfer_from_latents(latents, prior), seed, days)
    mix = str(rng.choice(list(MIXES), p=_USUAL))
    balls = round(float(np.exp(rng.uniform(*np.log(BALLS)))))
    return DrawnPlayer(profile, prior, truth, mix, mixed_records(player, rng, balls, mix), days)


def mixed_records(player: SimulatedPlayer, rng: np.random.Generator, balls: int, mix: str) -> ShotRecords:
    """About so many balls and strokes in a mix."""
    on_range, short, putts, strokes = (round(share * balls) for share in MIXES[mix])
    frames = []
    if on_range >= _FEWEST:
        frames.append(range_balls(player, rng, on_range))
    if short >= _FEWEST:
        frames.append(_short_balls(player, rng, short))
    rounds = max(1, round(strokes / STROKES_A_ROUND)) if strokes >= 0.5 * STROKES_A_ROUND else 0
    return player.records(
        aimed=pd.concat(frames, ignore_index=True) if frames else None,
        putts=_putts(player, rng, putts) if putts >= _FEWEST else None,
        log=player.rounds(rounds) if rounds else None,
    )


def sessions(rng: np.random.Generator, balls: int, least: int, most: int) -> IntArray:
    """Session of every ball, all of one size."""
    return np.arange(balls) // int(rng.integers(least, most))


def range_balls(player: SimulatedPlayer, rng: np.random.Generator, balls: int) -> pd.DataFrame:
    """Irons at a handful of targets of the player's own, drives, and tee shots with a shorter club."""
    nearest = 45.0 * YARD_M
    targets = rng.uniform(nearest, max(player.longest_m, 1.2 * nearest), int(rng.integers(1, 9)))
    target = rng.choice(np.sort(targets), balls)
    lie = np.full(balls, int(Lie.FAIRWAY))
    teed = rng.random(balls) < rng.choice([0.0, 0.2, 0.4])
    lie[teed] = Lie.TEE
    shorter = teed & (rng.random(balls) < rng.choice([0.0, 0.2]))
    target[teed] = player.golfer.driver_m
    target[shorter] = 0.82 * player.golfer.driver_m
    return player.balls(target, lie, sessions(rng, balls, 20, 90))


def _short_balls(player: SimulatedPlayer, rng: np.random.Generator, balls: int) -> pd.DataFrame:
    target = rng.choice(_SHORT_YD * YARD_M, balls)
    lie = rng.choice([int(Lie.FAIRWAY), int(Lie.ROUGH), int(Lie.SAND)], balls, p=(0.5, 0.3, 0.2))
    days = sessions(rng, balls, 20, 60)
    return player.balls(target, lie, days, place="short_game_area", first_day=1000)


def _putts(player: SimulatedPlayer, rng: np.random.Generator, balls: int) -> pd.DataFrame:
    each = min(balls, int(rng.integers(20, 90)))
    lengths = _PUTTS_FT[int(rng.choice(len(_PUTTS_FT), p=(0.55, 0.2, 0.15, 0.1)))]
    return player.putts(lengths, each, max(1, round(balls / each)), measured=bool(rng.random() < 0.5))
