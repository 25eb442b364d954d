"""Simulated players of whom something does not hold that the fit takes for granted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from simulated_players import Days, SimulatedPlayer
from simulated_records import DrawnPlayer, days_of, mixed_records, sessions

from rangework.lie import Lie
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.fit import make_prior
from rangework.skill.latents import N_LATENTS, STATED_LEVEL_SD, LatentPrior
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer
from rangework.units import DEGREE_RAD, YARD_M

FloatArray = NDArray[np.float64]
Generator = np.random.Generator
Change = Callable[[FloatArray, Days, Generator], None]

LEVELS, JUNIOR_LEVELS, BALLS = (0.0, 30.0), (15.0, 45.0), (150.0, 1500.0)
_MIXES, _USUAL = ("all", "range and short game", "range and rounds", "rounds"), (0.5, 0.2, 0.2, 0.1)
_JUNIOR_DRIVER_YD = (90.0, 150.0)


def _nothing(truth: FloatArray, days: Days, rng: Generator) -> None:
    del truth, days, rng


def _tails(truth: FloatArray, days: Days, rng: Generator) -> None:
    days.tail_freedom = 4.0


def _putt_tails(truth: FloatArray, days: Days, rng: Generator) -> None:
    days.putt_tail_freedom = 4.0


def _slips(truth: FloatArray, days: Days, rng: Generator) -> None:
    days.slips = 0.05


def _no_allowance(truth: FloatArray, days: Days, rng: Generator) -> None:
    days.allows_for_bias = 0.0


def _short_hitter(truth: FloatArray, days: Days, rng: Generator) -> None:
    truth[c.LN_DRIVER] = np.log(rng.uniform(*_JUNIOR_DRIVER_YD) * YARD_M)


def _narrow_range(truth: FloatArray, days: Days, rng: Generator) -> None:
    truth[c.LN_RANGE_FACTOR], days.range_factor = np.log(0.70), 0.70


def _aims(truth: FloatArray, days: Days, rng: Generator) -> None:
    days.aim_rad = float(rng.uniform(2.0, 6.0)) * DEGREE_RAD
    truth[c.LN_AIM] = np.log(days.aim_rad)


@dataclass(frozen=True)
class Kind:
    """A way of being otherwise: what is said of the player, what is true, what was recorded.

    ``warning`` names what the fit says of it, if anything. ``change`` acts on truth and days before any ball is hit.
    """

    name: str
    warning: str = ""
    level_off: float | None = None
    mix: str = ""
    left_handed: bool = False
    profile: dict[str, Any] = field(default_factory=dict)
    junior: bool = False
    change: Change = _nothing


KINDS: tuple[Kind, ...] = (
    Kind("nothing odd"),
    Kind("shots with heavy tails (t, 4 degrees of freedom)", "balls far out", change=_tails),
    Kind("putts with heavy tails (t, 4 degrees of freedom)", change=_putt_tails),
    Kind("5 % of rows are no shot of their target", "stray rows", change=_slips),
    Kind("states 8 too few", "handicap", level_off=8.0),
    Kind("states 8 too many", "handicap", level_off=-8.0),
    Kind("range balls at one distance only", "range", mix="one distance"),
    Kind("putts only", mix="putts"),
    Kind("left-hander, stated", left_handed=True, profile={"hand": "left"}),
    Kind("left-hander, not stated", left_handed=True),
    Kind("junior, stated", "reference", junior=True, profile={"age": 12}, change=_short_hitter),
    Kind("junior, not stated", "driver length", junior=True, change=_short_hitter),
    Kind("logged shots aimed 2 to 6 degrees off the hole", change=_aims),
    Kind("never allows for own bias on the course", change=_no_allowance),
    Kind("range factor of 0.70", change=_narrow_range),
)


def draw_odd_player(seed: int, kind: Kind) -> DrawnPlayer:
    """A player of a kind; the same seed gives the same player but for what the kind changes."""
    rng = np.random.default_rng([99, seed])
    stated = round(float(rng.uniform(*(JUNIOR_LEVELS if kind.junior else LEVELS))), 1)
    group = "women" if rng.random() < 0.4 else "men"
    profile = replace(PlayerProfile(handicap=stated, reference=group), **kind.profile)
    prior = make_prior(None, profile)
    latents = rng.standard_normal(N_LATENTS)
    if kind.level_off is not None:
        latents[0] = kind.level_off / STATED_LEVEL_SD
    truth = prior.coordinates(latents)
    days = days_of(truth)
    days.allows_for_bias = float(rng.uniform())
    kind.change(truth, days, rng)
    player = SimulatedPlayer(_golfer(truth, latents, prior), seed, days)
    balls = round(float(np.exp(rng.uniform(*np.log(BALLS)))))
    mix = kind.mix or str(rng.choice(_MIXES, p=_USUAL))
    records = _records(player, rng, balls, mix)
    if kind.left_handed:
        records, truth = _mirrored(records), c.mirrored(truth)
    return DrawnPlayer(profile, prior, truth, mix, records, days)


def _golfer(truth: FloatArray, latents: FloatArray, prior: LatentPrior) -> Golfer:
    """The golfer at ``truth``; what no coordinate holds is that of the true level."""
    return c.golfer_from_coordinates(truth, reference_golfer(float(prior.level_of(latents)), prior.group))


def _records(player: SimulatedPlayer, rng: Generator, balls: int, mix: str) -> ShotRecords:
    if mix != "one distance":
        return mixed_records(player, rng, balls, mix)
    target = np.full(balls, min(140.0 * YARD_M, 0.8 * player.longest_m))
    lies = np.full(balls, int(Lie.FAIRWAY))
    return player.records(aimed=player.balls(target, lies, sessions(rng, balls, 20, 90)))


def _mirrored(records: ShotRecords) -> ShotRecords:
    aimed, putts = records.aimed.copy(), records.putts.copy()
    aimed["right_m"] *= -1.0
    putts["right_m"] *= -1.0
    return ShotRecords(aimed, putts, records.log)


def draw_range_player(seed: int, factor: float, balls: int) -> DrawnPlayer:
    """A player with range and course records, a given range factor, and logged shots aimed 3 degrees off the hole."""
    rng = np.random.default_rng([55, seed])
    profile = PlayerProfile(handicap=round(float(rng.uniform(*LEVELS)), 1))
    prior = make_prior(None, profile)
    latents = rng.standard_normal(N_LATENTS)
    truth = prior.coordinates(latents)
    truth[c.LN_RANGE_FACTOR], truth[c.LN_AIM] = np.log(factor), np.log(3.0 * DEGREE_RAD)
    days = days_of(truth)
    player = SimulatedPlayer(_golfer(truth, latents, prior), seed, days)
    return DrawnPlayer(profile, prior, truth, "all", mixed_records(player, rng, balls, "all"), days)
