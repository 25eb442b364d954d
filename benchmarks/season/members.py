"""The simulated academy: golfers whom nobody knows, how they answer to practice, and what they record.

Nothing here is seen by a way of choosing hours but the records, the stated handicap and the group.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from rangework.lie import Lie
from rangework.plan.drills import Drill, drill_catalogue
from rangework.plan.response import Response, ResponseDraws, draw_responses, responses_for
from rangework.records.shots import ShotRecords
from rangework.skill.latents import LATENT_NAMES, STATED_LEVEL_SD, LatentPrior, golfer_from_latents
from rangework.skill.model import Golfer
from rangework.skill.reference import Group
from rangework.units import YARD_M

sys.path.append(str(Path(__file__).parents[2] / "tests" / "validation"))
from recorded_players import DAYS, IRONS_YD, PUTTS_FT, Days, SimulatedPlayer, sessions

FloatArray = NDArray[np.float64]

LOWEST, HIGHEST = 0.0, 28.0
#: Profiles vary more than the prior that the fit starts from.
PROFILE_SCALE = 1.2
#: Log-sd of a member's true response around the catalogue's assumption, of what a part can gain and of its hours.
RESPONSE_LOG_SD = 0.7
#: Share of drills that do nothing for a member.
USELESS_SHARE = 0.15
#: Nothing gains more than this many times the assumed gain: no spread can be practised away altogether.
LARGEST_FACTOR = 4.0
#: Weeks between plans.
PERIOD_WEEKS = 3.0
BALLS_A_FORTNIGHT = (60, 90, 120)
ROUNDS_A_FORTNIGHT = 2
#: What is recorded beside rounds: share of the balls, balls in a session.
RANGE, TEE, SHORT_GAME, SAND, PUTTS = (0.45, 40), (0.15, 20), (0.15, 20), (0.05, 10), (0.20, 30)
#: First day of the records; simulated rounds are dated a month after the first balls.
FIRST_DAY = date(2026, 5, 1)
ROUNDS_AFTER = pd.Timedelta(days=31)


@dataclass(frozen=True)
class Member:
    """A golfer, the handicap stated, how days differ, and what practice truly does: one draw of every part's response,
    and the drills as they work for this member.
    """

    seed: int
    golfer: Golfer
    stated: float
    level: float
    group: Group
    days: Days
    responses: ResponseDraws
    drills: tuple[Drill, ...]
    balls_a_fortnight: int


def member(seed: int) -> Member:
    """The member of a seed: men and women in turn, levels spread evenly over 0 to 28."""
    rng = np.random.default_rng([seed, 2026])
    group: Group = "women" if seed % 2 else "men"
    prior = LatentPrior(float(rng.uniform(LOWEST, HIGHEST)), STATED_LEVEL_SD, group=group)
    latents = rng.standard_normal(len(LATENT_NAMES))
    latents[1:] *= PROFILE_SCALE
    latents[0] *= 0.5  # a stated handicap is seldom six strokes off
    level = float(prior.level_of(latents))
    return Member(
        seed=seed,
        golfer=golfer_from_latents(latents, prior),
        stated=prior.level,
        level=level,
        group=group,
        days=Days(*np.exp(prior.coordinates(latents)[DAYS])),
        responses=true_responses(responses_for(level), rng),
        drills=true_drills(drill_catalogue(), rng),
        balls_a_fortnight=int(rng.choice(BALLS_A_FORTNIGHT)),
    )


def true_responses(assumed: tuple[Response, ...], rng: np.random.Generator) -> ResponseDraws:
    """One golfer's own responses: the assumption times log-normal luck, part by part."""
    width = RESPONSE_LOG_SD
    most, half = np.minimum(np.exp(width * rng.standard_normal((2, len(assumed)))), LARGEST_FACTOR)
    own = tuple(
        replace(response, most_steps=response.most_steps * m, half_hours=response.half_hours * h)
        for response, m, h in zip(assumed, most, half, strict=True)
    )
    one = draw_responses(own, 1, rng)
    table = np.array([[response.most_steps for response in own], [response.half_hours for response in own]])
    return replace(one, most_steps=table[:1], half_hours=table[1:])


def true_drills(drills: tuple[Drill, ...], rng: np.random.Generator) -> tuple[Drill, ...]:
    """The drills as they work for one golfer: some do nothing."""
    works = rng.random(len(drills)) >= USELESS_SHARE
    return tuple(
        replace(drill, trains={part: share * float(use) for part, share in drill.trains.items()})
        for drill, use in zip(drills, works, strict=True)
    )


def recorded(member: Member, golfer: Golfer, period: int, weeks: float) -> ShotRecords:
    """What a member records in ``weeks``, playing as ``golfer``; ``period`` numbers and dates them."""
    player = SimulatedPlayer(golfer, 1000 * member.seed + period, member.days)
    balls = round(member.balls_a_fortnight * weeks / 2.0)
    irons = [target for target in IRONS_YD if target <= 0.78 * golfer.driver_m / YARD_M]
    aimed = [
        player.practice(irons, *sessions(RANGE, balls)),
        player.practice([0.0], *sessions(TEE, balls), lie=Lie.TEE),
        player.practice([8.0, 15.0, 25.0, 40.0], *sessions(SHORT_GAME, balls), place="short_game_area"),
        player.practice([10.0, 20.0], *sessions(SAND, balls), lie=Lie.SAND, place="short_game_area"),
    ]
    rounds = player.rounds(round(ROUNDS_A_FORTNIGHT * weeks / 2.0))
    putts = player.putts(PUTTS_FT, *sessions(PUTTS, balls))
    return player.records(
        aimed=_of_period(pd.concat(aimed, ignore_index=True), period),
        putts=_of_period(putts, period),
        log=_of_period(rounds, period),
    )


def together(kept: list[ShotRecords]) -> ShotRecords:
    """All that was recorded so far."""
    return ShotRecords(
        pd.concat([each.aimed for each in kept], ignore_index=True),
        pd.concat([each.putts for each in kept], ignore_index=True),
        pd.concat([each.log for each in kept], ignore_index=True),
    )


def _of_period(frame: pd.DataFrame, period: int) -> pd.DataFrame:
    """Named and dated by the period; balls and putts are those of tests."""
    names = {
        name: frame[name].astype(str) + f" of period {period}"
        for name in ("session", "round")
        if name in frame
    }
    days = pd.Timedelta(days=round(7 * PERIOD_WEEKS) * period)
    if "round" in frame:
        return frame.assign(date=frame["date"] - ROUNDS_AFTER + days, **names)
    return frame.assign(date=frame["date"] + days, purpose="test", **names)
