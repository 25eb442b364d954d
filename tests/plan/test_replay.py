"""Promise beside replay: agreement is left alone, disagreement is learned from."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from rangework.plan.drills import drill_catalogue
from rangework.plan.limits import Limits
from rangework.plan.replay import MOST_ROUNDS, TOLERANCE, Replay, plan_with_replay
from rangework.plan.response import ResponseDraws
from rangework.skill.parts import PART_IDS

FloatArray = NDArray[np.float64]
LIMITS = Limits(hours=6.0)


def linear(worth: FloatArray, share: Mapping[str, float] | None = None) -> Replay:
    """A golfer for whom every step of a part is worth the same, ``share`` of the stated worth."""
    kept = share or {}

    def replay(steps: Mapping[str, float]) -> tuple[float, float]:
        saved = sum(
            worth[PART_IDS.index(part)] * kept.get(part, 1.0) * taken for part, taken in steps.items()
        )
        return float(saved), 0.002

    return replay


def test_agreement_needs_one_round(saved: FloatArray, responses: ResponseDraws) -> None:
    replayed = plan_with_replay(saved, responses, drill_catalogue(), LIMITS, linear(saved.mean(axis=0)))
    assert len(replayed.rounds) == 1
    assert replayed.last.gap < 1e-9
    assert replayed.last.standard_error == 0.002
    assert set(replayed.worth_factors.values()) == {1.0}


def test_a_part_that_is_worth_less_loses_its_hours(saved: FloatArray, responses: ResponseDraws) -> None:
    replay = linear(saved.mean(axis=0), {"putt.line": 0.2, "putt.pace": 0.5})
    replayed = plan_with_replay(saved, responses, drill_catalogue(), LIMITS, replay)
    first, last = replayed.rounds[0], replayed.last
    assert first.gap > TOLERANCE
    assert last.gap <= TOLERANCE
    assert len(replayed.rounds) == 2
    assert replayed.worth_factors["putt.line"] == pytest.approx(0.2, abs=0.01)
    gate = {block.drill: block.minutes for block in replayed.plan.hours}.get("putts_through_a_gate", 0)
    assert gate <= 15
    assert last.promised == replayed.plan.strokes_saved.value


def test_curvature_and_overlap_are_learned(saved: FloatArray, responses: ResponseDraws) -> None:
    """Steps diminish and overlap: saving = 1.5 (1 - exp(-sum / 1.5)) of a sum with curvature."""
    worth = saved.mean(axis=0)

    def replay(steps: Mapping[str, float]) -> tuple[float, float]:
        total = sum(
            worth[PART_IDS.index(part)] * (taken - 0.3 * taken * abs(taken)) for part, taken in steps.items()
        )
        return float(1.5 * (1.0 - np.exp(-total / 1.5))), 0.002

    replayed = plan_with_replay(saved, responses, drill_catalogue(), LIMITS, replay)
    assert replayed.rounds[0].gap > TOLERANCE
    assert replayed.last.gap <= TOLERANCE
    assert len(replayed.rounds) <= MOST_ROUNDS


def test_a_golfer_that_no_worth_explains_is_reported(saved: FloatArray, responses: ResponseDraws) -> None:
    """Negative control: a replay that contradicts itself never agrees, and the last round says so."""
    signs = iter(np.resize([1.0, -1.0], 1_000))

    def replay(_steps: Mapping[str, float]) -> tuple[float, float]:
        return float(next(signs)), 0.5

    replayed = plan_with_replay(saved, responses, drill_catalogue(), LIMITS, replay)
    assert len(replayed.rounds) == MOST_ROUNDS
    assert not replayed.last.agrees
