"""What a test is worth to a plan: closed forms, nothing for nothing, and more for more."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.assessment.next_test import candidate_weeks, imagined_worths
from rangework.plan.drills import drill_catalogue
from rangework.plan.limits import safe_limits
from rangework.plan.response import draw_responses, responses_for
from rangework.skill.parts import PART_IDS

LATENTS = 6


def player(rng: np.random.Generator, n: int = 4000) -> tuple[np.ndarray, np.ndarray]:
    """Latents [draw, 6] with sd 1, and worths of two parts that rest on the first latent."""
    latents = rng.standard_normal((n, LATENTS))
    saved = np.column_stack([0.2 + 0.1 * latents[:, 0], 0.2 - 0.1 * latents[:, 0]])
    return latents, saved


def information(amount: float) -> np.ndarray:
    matrix = np.zeros((LATENTS, LATENTS))
    matrix[0, 0] = amount
    return matrix


def test_what_will_be_known_spreads_as_the_normal_model_says() -> None:
    """Prior variance 1 and information 3 leave 1/4: the posterior mean itself will spread by 3/4."""
    latents, saved = player(np.random.default_rng(1))
    found = imagined_worths(latents, saved, information(3.0), np.random.default_rng(2), 20_000)
    assert found.mean(axis=0) == pytest.approx(saved.mean(axis=0), abs=0.003)
    assert found.std(axis=0) == pytest.approx(np.full(2, 0.1 * 0.75**0.5), rel=0.05)


def test_nothing_is_learned_from_nothing() -> None:
    latents, saved = player(np.random.default_rng(1))
    found = imagined_worths(latents, saved, information(0.0), np.random.default_rng(2))
    assert np.ptp(found, axis=0) == pytest.approx(np.zeros(2))


def test_the_value_of_a_test_of_two_weeks_is_the_expected_best_of_two_normals() -> None:
    """Two weeks, a step each: E max(A, B) = E A + sd(A - B) / sqrt(2 pi) for equal means (Clark 1961, from memory)."""
    latents, saved = player(np.random.default_rng(1))
    values = {}
    for amount in (0.0, 1.0, 3.0):
        imagined = imagined_worths(latents, saved, information(amount), np.random.default_rng(2), 40_000)
        values[amount] = imagined.max(axis=1).mean() - imagined.mean(axis=0).max()
    assert values[0.0] == pytest.approx(0.0, abs=1e-12)
    assert values[0.0] < values[1.0] < values[3.0]
    assert values[3.0] == pytest.approx(0.2 * 0.75**0.5 / np.sqrt(2 * np.pi), rel=0.06)


def test_the_first_candidate_is_the_best_week_for_the_mean() -> None:
    rng = np.random.default_rng(3)
    saved = np.abs(rng.normal(0.1, 0.08, (30, len(PART_IDS))))
    responses = draw_responses(responses_for(12.0), 30, np.random.default_rng(0))
    found = candidate_weeks(saved, responses, drill_catalogue(), safe_limits(hours=4.0), 8.0, seed=1)
    values = found.steps @ saved.mean(axis=0)
    assert values.argmax() == 0
    assert len(np.unique(values.round(6))) > 5
    assert 0.0 < found.hour < 1.0
