import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rangework.lie import SHOT_LIES
from rangework.skill import coordinates as c
from rangework.skill.latents import LATENT_NAMES, N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.model import DEPTH, DIRECTION, POOR, compile_golfer
from rangework.skill.part_values import part_values
from rangework.skill.parts import PART_IDS
from rangework.skill.reference import reference_golfer

LATENTS = st.lists(st.floats(-5.0, 5.0), min_size=N_LATENTS, max_size=N_LATENTS).map(np.array)


@pytest.mark.parametrize("level", [-6.0, -5.0, -2.5, 0.0, 9.1, 18.0, 36.0, 54.0])
def test_no_latent_moved_is_the_reference_golfer(level: float) -> None:
    golfer = golfer_from_latents(np.zeros(N_LATENTS), LatentPrior(level))
    expected = reference_golfer(level)
    for name in expected.__dataclass_fields__:
        if name != "base_m":
            np.testing.assert_allclose(getattr(golfer, name), getattr(expected, name), rtol=2e-4, atol=1e-6)


def test_every_part_can_vary() -> None:
    prior = LatentPrior(12.0)
    latents = np.random.default_rng(0).standard_normal((50, N_LATENTS))
    values = part_values(prior.coordinates(latents))
    assert set(values) == set(PART_IDS)
    assert all(value.std() > 0.0 for value in values.values())


def test_no_latent_moves_nothing() -> None:
    loadings = LatentPrior().loadings()
    assert (np.abs(loadings[:, 1:]).sum(axis=0) > 0.0).all()
    assert len(set(LATENT_NAMES)) == N_LATENTS


@settings(max_examples=60, deadline=None)
@given(LATENTS, st.floats(-10.0, 54.0))
def test_any_latents_make_a_possible_golfer(latents: np.ndarray, level: float) -> None:
    golfer = golfer_from_latents(latents, LatentPrior(level))
    table = compile_golfer(golfer).table[list(SHOT_LIES), :, 1:]
    assert np.isfinite(table).all()
    assert (table[..., [DEPTH, DIRECTION]] > 0.0).all()
    assert ((table[..., POOR] >= 0.0) & (table[..., POOR] <= 1.0)).all()
    assert golfer.rough_spread >= 1.0
    assert golfer.putting.pace > 0.0
    assert golfer.putting.line_rad > 0.0


@settings(max_examples=30, deadline=None)
@given(LATENTS)
def test_golfer_and_coordinates_are_the_same_thing(latents: np.ndarray) -> None:
    prior = LatentPrior(12.0)
    coordinates = prior.coordinates(latents)
    again = c.golfer_coordinates(golfer_from_latents(latents, prior))
    np.testing.assert_allclose(again, coordinates[: c.N_GOLFER], rtol=1e-6, atol=2e-3)


def test_left_hander_is_the_mirror_image() -> None:
    latents = np.random.default_rng(1).standard_normal(N_LATENTS)
    right = golfer_from_latents(latents, LatentPrior(12.0))
    left = golfer_from_latents(latents, LatentPrior(12.0, hand="left"))
    assert left.tee_bias_rad == -right.tee_bias_rad
    np.testing.assert_array_equal(left.approach_bias_rad, -right.approach_bias_rad)
    np.testing.assert_array_equal(left.approach_bias_depth, right.approach_bias_depth)
    assert left.driver_m == right.driver_m


def test_level_stays_where_reference_golfers_exist() -> None:
    prior = LatentPrior(40.0)
    latents = np.zeros((2, N_LATENTS))
    latents[:, 0] = [-20.0, 20.0]
    assert prior.level_of(latents).tolist() == [-6.0, 54.0]
