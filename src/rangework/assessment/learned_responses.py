"""From records with tests among them, and a log of practice, to how this player answers to practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from rangework.assessment.learning import Learned, learn
from rangework.assessment.part_tests import part_measures
from rangework.assessment.practice_log import PracticeLog
from rangework.plan.drills import Drill
from rangework.plan.response import (
    GroupResponse,
    ResponseDraws,
    ResponseOverride,
    draw_responses,
    responses_for,
)
from rangework.plan.working_drills import BASIS, draw_working
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.posterior import Posterior

__all__ = ["Learned", "learned_responses", "plausible_responses"]

#: Least draws of what was learned: their luck cannot be spread evenly, so few would favour some parts.
LEARNED_DRAWS = 400


def learned_responses(
    records: ShotRecords,
    posterior: Posterior,
    practised: PracticeLog | None,
    responses: Mapping[str, ResponseOverride] | None = None,
    *,
    group: GroupResponse | None = None,
    drills: Sequence[Drill] = (),
    seed: int = 0,
) -> Learned | None:
    """The responses after the tests among the records and the hours that were practised; None without a log.

    ``responses``: a coach's own view, which is the prior then; ``drills``: those that may do nothing for the player.
    Records without two tests of a part teach nothing but that returns go on from the hours practised. ``group``: what
    the tests of other players tell.
    """
    if practised is None:
        return None
    on_range = float(np.exp(posterior.coordinates[:, c.LN_RANGE_FACTOR]).mean())
    measures = part_measures(records, posterior.mean, on_range)
    return learn(
        responses_for(posterior.reference_level, responses),
        measures,
        practised,
        group=group,
        drills=drills,
        seed=seed,
    )


def plausible_responses(
    posterior: Posterior,
    n: int,
    responses: Mapping[str, ResponseOverride] | None = None,
    learned: Learned | None = None,
    *,
    group: GroupResponse | None = None,
    drills: Sequence[Drill] = (),
    seed: int = 0,
) -> ResponseDraws:
    """``n`` sets of responses for a plan: as ``learned`` where tests told, else as assumed at the player's level.

    ``responses``: a coach's own view of how parts answer to practice; ``group``: what other players' tests tell;
    ``drills``: those that may do nothing.
    """
    rng = np.random.default_rng(seed)
    if learned:
        return learned.draws(max(n, LEARNED_DRAWS), rng)
    assumed = draw_responses(responses_for(posterior.reference_level, responses), n, rng, group)
    return with_useless(assumed, drills, rng)


def with_useless(
    responses: ResponseDraws, drills: Sequence[Drill], rng: np.random.Generator
) -> ResponseDraws:
    """The draws, each with some of ``drills`` that do nothing for the player."""
    if not drills:
        return responses
    working = draw_working(drills, len(responses.most_steps), rng)
    return replace(responses, working=working, bases=(*responses.bases, BASIS))
