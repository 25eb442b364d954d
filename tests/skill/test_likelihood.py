import math

import numpy as np
import pytest
from scipy import integrate, special, stats
from simulated_players import SimulatedPlayer, typical_records

from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.evidence import gather
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.likelihood_kernels import (
    TEE_DRIVER,
    bessel_kernel,
    centred_distance_kernel,
    shifted_distance_kernel,
    spread_kernel,
    surface_kernel,
)
from rangework.skill.make_table import make_table
from rangework.skill.model import BIAS_DEPTH, DEPTH, DIRECTION, POOR, STANDARD, compile_golfer
from rangework.skill.putting import AIM_PAST_M, READING_RATIO_PER_M, PuttingSkill, make_probability
from rangework.skill.reference import reference_golfer
from rangework.skill.sampler import kernel_prior, value_and_gradient
from rangework.skill.shot_cells import CellKeys, make_cells


@pytest.fixture(scope="module")
def gathered():
    records = typical_records(
        SimulatedPlayer(reference_golfer(14.0), 1), sessions=2, balls=30, rounds=1, putts=30
    )
    return gather(records, LatentPrior(10.0))


def test_gradient_is_that_of_the_value(gathered) -> None:
    prior = kernel_prior(LatentPrior(10.0))
    n = N_LATENTS + gathered.n_effects
    for x in np.random.default_rng(0).standard_normal((3, n)):
        gradient = value_and_gradient(x, prior, gathered.evidence)[1]
        for k in range(n):
            step = np.zeros(n)
            step[k] = 1e-5
            above = value_and_gradient(x + step, prior, gathered.evidence)[0]
            below = value_and_gradient(x - step, prior, gathered.evidence)[0]
            assert gradient[k] == pytest.approx((above - below) / 2e-5, rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("lie", [Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.TEE])
def test_spreads_are_those_of_the_shot_model(lie: Lie) -> None:
    prior = LatentPrior(12.0)
    x = np.random.default_rng(3).standard_normal(N_LATENTS)
    golfer, coordinates = golfer_from_latents(x, prior), prior.coordinates(x)
    target = np.array([5.0, 17.0, 22.0, 35.0, 41.0, 60.0, 80.0, 120.0, 150.0, 190.0, 220.0])
    if lie == Lie.TEE:
        target = np.array([150.0, 180.0, 200.0])
    n = target.size
    tee = np.full(n, TEE_DRIVER if lie == Lie.TEE else 0)
    zeros = np.zeros(n, dtype=np.int64)
    keys = CellKeys(target, np.full(n, int(lie)), tee, 0.0 * target, zeros, zeros)
    evidence = gather(typical_records(SimulatedPlayer(golfer, 0), sessions=1), prior).evidence
    cells = make_cells(keys)
    table = compile_golfer(golfer).table[lie, STANDARD, target.astype(int)]
    for i in range(n):
        spread = spread_kernel(cells, i, coordinates, evidence.form)
        assert spread[0] == pytest.approx(table[i, DEPTH], rel=1e-3)
        assert spread[1] == pytest.approx(table[i, DIRECTION], rel=1e-3)
        if lie != Lie.TEE:
            bias = coordinates[cells.bias_depth_at[i]] * cells.bias_ramp[i] * target[i]
            assert bias == pytest.approx(table[i, BIAS_DEPTH], abs=1e-6)
            full, short = (c.expit(coordinates[at[i]]) for at in (cells.full_poor_at, cells.short_poor_at))
            poor = cells.blend[i] * full + (1.0 - cells.blend[i]) * short
            assert poor == pytest.approx(table[i, POOR], rel=1e-3)


@pytest.mark.parametrize("x", [0.0, 0.3, 2.0, 3.74, 3.76, 10.0, 300.0])
def test_bessel_functions_against_scipy(x: float) -> None:
    i0, ratio = bessel_kernel(x)
    assert i0 == pytest.approx(special.ive(0, x), rel=3e-7)
    assert ratio == pytest.approx(special.ive(1, x) / special.ive(0, x), abs=1e-6)


@pytest.mark.parametrize(("depth", "side"), [(3.0, 3.0), (8.0, 4.0), (4.0, 9.0)])
def test_distance_densities_integrate_to_one_and_match_scipy(depth: float, side: float) -> None:
    total = integrate.quad(lambda d: centred_distance_kernel(d, depth, side)[0], 0.0, 90.0)[0]
    assert total == pytest.approx(1.0, abs=1e-6)
    if depth == side:
        assert centred_distance_kernel(5.0, depth, side)[0] == pytest.approx(
            stats.rayleigh(scale=depth).pdf(5.0)
        )
        rice = stats.rice(7.0 / depth, scale=depth)
        assert shifted_distance_kernel(9.0, 7.0, depth, side)[0] == pytest.approx(rice.pdf(9.0), rel=1e-3)
    shifted = integrate.quad(lambda d: shifted_distance_kernel(d, 7.0, depth, side)[0], 0.0, 90.0, limit=200)[
        0
    ]
    assert shifted == pytest.approx(1.0, abs=5e-3)


def test_make_table_interpolates_the_putting_model() -> None:
    table = make_table(AIM_PAST_M)
    rng = np.random.default_rng(0)
    for _ in range(30):
        node = int(rng.integers(20, 80))
        line, pace = math.radians(rng.uniform(1.0, 5.0)), rng.uniform(0.05, 0.2)
        row = (math.log(line) - table.ln_line[0]) / (table.ln_line[1] - table.ln_line[0])
        column = (math.log(pace) - table.ln_pace[0]) / (table.ln_pace[1] - table.ln_pace[0])
        value = surface_kernel(table.log_make[node], row, column)[0]
        skill = PuttingSkill(line, READING_RATIO_PER_M * line, pace)
        assert value == pytest.approx(math.log(make_probability(table.distance_m[node], skill)), abs=4e-3)
