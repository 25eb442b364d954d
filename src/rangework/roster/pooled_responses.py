"""From a roster to how its players answer to practice: who was tested again, what they practised, what that tells."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.assessment.learning import measured_steps
from rangework.assessment.part_tests import PartMeasure, part_measures
from rangework.assessment.response_evidence import ResponseEvidence
from rangework.estimate import Estimate
from rangework.plan.drills import Drill
from rangework.plan.response import (
    GROUP_BASIS,
    GroupResponse,
    Response,
    ResponseOverride,
    responses_for,
)
from rangework.plan.working_drills import BASIS as USELESS_BASIS
from rangework.roster.group_learning import LearnedGroup, learn_group
from rangework.roster.logged_hours import practice_log
from rangework.roster.pooling import BASIS, NINETY, Measured, pool
from rangework.skill import coordinates as c
from rangework.skill.fit import fit_player, make_prior
from rangework.skill.latents import RANGE_FACTOR
from rangework.skill.parts import PART_BY_ID, PART_IDS
from rangework.skill.reference import reference_golfer
from rangework.store.balls import player_records, players_tested_again, tested_balls
from rangework.store.players import Player, kept_players
from rangework.store.practice import practised
from rangework.store.roster_file import Roster

#: Players whose tests are read at most: more would make every plan wait, and tell little more.
LARGEST_POOL = 300
#: Effective hours by which the steps of a part are told.
TEN_HOURS = 10.0
UNIT = "steps in ten effective hours"


@dataclass(frozen=True, slots=True)
class PooledPart:
    """A part that several players practised between tests: how many, with how many effective hours in all.

    Steps in ten effective hours: ``seen`` in the tests (None of a bias, and from fewer than two players), ``assumed``,
    and ``now``, over all players, those among them for whom a drill does nothing; ``factor`` is what stands between the
    last two. ``retests``: tests of the part after a player's first.
    """

    part: str
    players: int
    hours: float
    retests: int
    seen: Estimate | None
    assumed: float
    now: Estimate
    factor: Estimate


@dataclass(frozen=True, slots=True, eq=False)
class PooledResponses:
    """How the players of a roster answer to practice, and the parts from which that is known."""

    learned: LearnedGroup
    parts: tuple[PooledPart, ...]

    @property
    def players(self) -> int:
        """Those whose tests and hours speak."""
        return self.learned.group.players


def pooled_responses(
    roster: Roster, drills: Sequence[Drill], overrides: Mapping[str, ResponseOverride] | None = None
) -> PooledResponses | None:
    """What tests and logged hours of all players tell together; None where fewer than two speak.

    ``overrides``: a coach's own view of how parts answer to practice, which the factors are on then.
    """
    tested = set(players_tested_again(roster, LARGEST_POOL))
    players = [player for player in kept_players(roster) if player.id in tested] if tested else []
    assumed: dict[int, tuple[Response, ...]] = {}
    evidence: dict[int, ResponseEvidence] = {}
    for player in sorted(players, key=lambda each: each.id):
        log = practice_log(practised(roster, player.id), drills)
        if log is not None:
            level, measures = _measured(roster, player)
            assumed[player.id] = responses_for(level, overrides)
            evidence[player.id] = ResponseEvidence(
                assumed[player.id], measures, log, drills=drills, seed=[9, player.id]
            )
    learned = learn_group(evidence)
    return None if learned is None else PooledResponses(learned, _parts(learned.group, evidence, assumed))


def _measured(roster: Roster, player: Player) -> tuple[float, list[PartMeasure]]:
    """Level and measures of a player. The golfer of the stated handicap stands in for a fit, which would take long:
    only changes between tests matter, and they are the same beside either."""
    balls = tested_balls(roster, player.id)
    if player.profile.handicap is None:
        fitted = fit_player(player_records(roster, player.id), profile=player.profile)
        on_range = float(np.exp(fitted.coordinates[:, c.LN_RANGE_FACTOR]).mean())
        return fitted.reference_level, part_measures(balls, fitted.mean, on_range)
    level = make_prior(None, player.profile).level
    return level, part_measures(balls, reference_golfer(level, player.profile.reference), RANGE_FACTOR)


def _parts(
    group: GroupResponse,
    evidence: Mapping[int, ResponseEvidence],
    assumed: Mapping[int, tuple[Response, ...]],
) -> tuple[PooledPart, ...]:
    found = []
    for at, part in enumerate(PART_IDS):
        own = {player: each for player, each in evidence.items() if each.hours.get(part, 0.0) > 0.0}
        if own:
            factor = factor_of(group, part)
            steps = [
                each.working[part] * _assumed_steps(assumed[player][at], each.hours[part])
                for player, each in own.items()
            ]
            mean = float(np.mean(steps))
            now = Estimate(
                mean * factor.value,
                mean * (factor.low or 0.0),
                mean * (factor.high or 0.0),
                UNIT,
                f"{BASIS}+{USELESS_BASIS}",
            )
            hours = sum(each.hours[part] for each in own.values())
            retests = sum(len(each.tested[part]) - 1 for each in own.values())
            found.append(PooledPart(part, len(own), hours, retests, _seen(part, own), mean, now, factor))
    return tuple(found)


def factor_of(group: GroupResponse, part: str) -> Estimate:
    """What practice brings to a part in the group, times what is assumed."""
    at = PART_IDS.index(part)
    middle, half = float(group.mean[at]), NINETY * math.sqrt(float(group.covariance[at, at]))
    return Estimate(
        math.exp(middle), math.exp(middle - half), math.exp(middle + half), "times", f"data+{GROUP_BASIS}"
    )


def _assumed_steps(response: Response, hours: float) -> float:
    return TEN_HOURS * response.most_steps / (hours + response.half_hours)


def _seen(part: str, own: Mapping[int, ResponseEvidence]) -> Estimate | None:
    """What the tests alone show: each player's steps an hour, pooled."""
    if PART_BY_ID[part].kind == "bias":
        return None
    measured = []
    for player, each in own.items():
        steps = measured_steps(each.tested[part][0], each.tested[part][-1])
        sd = ((steps.high or 0.0) - (steps.low or 0.0)) / (2.0 * NINETY)
        measured.append(Measured(player, steps.value, sd, each.hours[part]))
    pooled = pool(measured)
    if pooled is None:
        return None
    seen = pooled.group
    return Estimate(
        TEN_HOURS * seen.value, TEN_HOURS * (seen.low or 0.0), TEN_HOURS * (seen.high or 0.0), UNIT, BASIS
    )
