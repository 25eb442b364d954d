"""From records with tests among them, and a log of practice, to how this player answers to practice."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rangework.assessment.learning import Learned, learn
from rangework.assessment.part_tests import part_measures
from rangework.assessment.practice_log import PracticeLog
from rangework.plan.response import (
    GroupResponse,
    ResponseDraws,
    ResponseOverride,
    draw_responses,
    responses_for,
)
from rangework.records.shots import ShotRecords
from rangework.skill import coordinates as c
from rangework.skill.posterior import Posterior

__all__ = ["Learned", "learned_responses", "plausible_responses"]


def learned_responses(
    records: ShotRecords,
    posterior: Posterior,
    practised: PracticeLog | None,
    responses: Mapping[str, ResponseOverride] | None = None,
    *,
    group: GroupResponse | None = None,
    seed: int = 0,
) -> Learned | None:
    """The responses after the tests among the records and the hours that were practised; None without a log.

    ``responses``: a coach's own view, which is the prior then. Records without two tests of a part teach nothing.
    ``group``: what the tests of other players tell.
    """
    if practised is None:
        return None
    on_range = float(np.exp(posterior.coordinates[:, c.LN_RANGE_FACTOR]).mean())
    measures = part_measures(records, posterior.mean, on_range)
    return learn(
        responses_for(posterior.reference_level, responses), measures, practised, group=group, seed=seed
    )


def plausible_responses(
    posterior: Posterior,
    n: int,
    responses: Mapping[str, ResponseOverride] | None = None,
    learned: Learned | None = None,
    *,
    group: GroupResponse | None = None,
    seed: int = 0,
) -> ResponseDraws:
    """``n`` sets of responses for a plan: as ``learned`` where tests told, else as assumed at the player's level.

    ``responses``: a coach's own view of how parts answer to practice; ``group``: what other players' tests tell.
    """
    rng = np.random.default_rng(seed)
    if learned:
        return learned.draws(n, rng)
    return draw_responses(responses_for(posterior.reference_level, responses), n, rng, group)
