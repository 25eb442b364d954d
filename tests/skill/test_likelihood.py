import math

import numpy as np
import pytest
from scipy import integrate, special, stats
from simulated_players import Days, SimulatedPlayer, typical_records

from rangework.lie import Lie
from rangework.skill import coordinates as c
from rangework.skill.evidence import gather
from rangework.skill.kernel_arrays import TEE_DRIVER
from rangework.skill.latents import N_LATENTS, LatentPrior, golfer_from_latents
from rangework.skill.logged_kernels import bessel_kernel, centred_distance_kernel, poor_distance_kernel
from rangework.skill.make_table import NEAR_M, make_table
from rangework.skill.model import BIAS_DEPTH, BIAS_DIRECTION, DEPTH, DIRECTION, POOR, STANDARD, compile_golfer
from rangework.skill.partial_shots import partial_spread
from rangework.skill.putted_kernels import volume_kernel
from rangework.skill.putting import (
    READING_RATIO_PER_M,
    PuttingSkill,
    make_probability,
    reference_putting,
)
from rangework.skill.reference import reference_golfer
from rangework.skill.resting_places import poor_places
from rangework.skill.round_the_hole import places_round_the_hole
from rangework.skill.sampler import kernel_prior, value_and_gradient
from rangework.skill.shot_cells import CellKeys, make_cells
from rangework.skill.strike_kernels import exponential_kernel, point_kernel, spread_kernel
from rangework.units import FOOT_M


@pytest.fixture(scope="module")
def gathered():
    records = typical_records(
        SimulatedPlayer(reference_golfer(14.0), 1, Days(misread_poor=0.3, misread_solid=0.03)),
        sessions=2,
        balls=30,
        rounds=1,
        putts=30,
    )
    return gather(records, LatentPrior(10.0))


def test_gradient_is_that_of_the_value(gathered) -> None:
    prior = kernel_prior(LatentPrior(10.0))
    n = N_LATENTS + gathered.n_effects
    assert gathered.evidence.aimed.misreads.sum() > 0
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
    prior = LatentPrior(12.0, full_shots_m=(90.0, 115.0, 140.0, 185.0))
    x = np.random.default_rng(3).standard_normal(N_LATENTS)
    golfer, coordinates = golfer_from_latents(x, prior), prior.coordinates(x)
    target = np.array(
        [5.0, 17.0, 22.0, 35.0, 41.0, 51.0, 60.0, 80.0, 91.0, 120.0, 150.0, 183.0, 190.0, 220.0]
    )
    if lie == Lie.TEE:
        target = np.array([150.0, 180.0, 200.0])
    n = target.size
    tee = np.full(n, TEE_DRIVER if lie == Lie.TEE else 0)
    zeros = np.zeros(n, dtype=np.int64)
    partial = partial_spread(target, golfer.full_shots_m)
    keys = CellKeys(target, np.full(n, int(lie)), tee, 0.0 * target, zeros, zeros, partial)
    evidence = gather(typical_records(SimulatedPlayer(golfer, 0), sessions=1), prior).evidence
    cells = make_cells(keys)
    table = compile_golfer(golfer).table[lie, STANDARD, target.astype(int)]
    for i in range(n):
        spread = spread_kernel(cells, i, point_kernel(coordinates), evidence.form)
        assert spread[0] == pytest.approx(table[i, DEPTH], rel=1e-3)
        assert spread[1] == pytest.approx(table[i, DIRECTION], rel=1e-3)
        if lie != Lie.TEE:
            bias = coordinates[cells.bias_depth_at[i]] @ cells.bias_depth_weight[i] * target[i]
            assert bias == pytest.approx(table[i, BIAS_DEPTH], abs=1e-6)
            turn = coordinates[cells.bias_at[i]] @ cells.bias_weight[i]
            assert turn == pytest.approx(table[i, BIAS_DIRECTION], abs=1e-6)
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


@pytest.mark.parametrize(("target", "depth", "direction"), [(100.0, 12.0, 0.12), (100.0, 8.0, 0.07)])
def test_poor_strikes_leave_what_simulated_ones_leave(target: float, depth: float, direction: float) -> None:
    """Polar: a poor strike is turned by an angle and short, so that it misses by less than at full length."""
    aim, n = 0.05, 400_000
    z = np.random.default_rng(0).standard_normal((4, n))
    distance, angle = 0.65 * target + 2.2 * depth * z[0], 2.2 * direction * z[1]
    along = distance * np.cos(angle) - target + 0.5 * aim * target * z[2]
    left = np.hypot(along, distance * np.sin(angle) + aim * target * z[3])
    edges = np.quantile(left, np.linspace(0.0, 0.9, 10))
    observed = np.histogram(left, edges)[0] / n
    depth_sd = math.hypot(2.2 * depth, 0.5 * aim * target)
    for low, high, share in zip(edges[:-1], edges[1:], observed, strict=True):
        places = np.linspace(low, high, 41)
        round_it = poor_places(np.full(places.size, target), places)
        density = [
            poor_distance_kernel(
                round_it, i, 0.65 * target, depth_sd, (2.2 * direction) ** 2, (aim * target) ** 2
            )[0]
            for i in range(places.size)
        ]
        assert np.trapezoid(density, places) == pytest.approx(share, rel=0.03)


@pytest.mark.parametrize("x", [0.0, -1e-12, -0.3, -0.35, -12.0, -690.0])
def test_exponential_against_the_standard_library(x: float) -> None:
    assert exponential_kernel(x) == pytest.approx(math.exp(x), rel=3e-16 * max(2.0, abs(x)))


def test_exponential_fades_to_next_to_nothing() -> None:
    assert 0.0 < exponential_kernel(-1e300) < 1e-300


@pytest.mark.parametrize("length", [0.6, 1.0, 2.0, 6.0])
@pytest.mark.parametrize("line_deg", [1.5, 3.0])
def test_places_round_the_hole_add_up_to_the_chance_of_a_miss(length: float, line_deg: float) -> None:
    skill = reference_putting(10.0)._replace(
        line_rad=math.radians(line_deg), reading_rad_per_m=READING_RATIO_PER_M * math.radians(line_deg)
    )
    left = np.linspace(1e-4, length + 3.0, 3001)
    rolled, angle, weight = places_round_the_hole(np.full(left.size, length), left)
    line = math.hypot(skill.line_rad, skill.reading_rad_per_m * length)
    pace = skill.pace * (length + skill.aim_past_m)
    places = stats.norm.pdf(angle, 0.0, line) * stats.norm.pdf(rolled, length + skill.aim_past_m, pace)
    missed = np.trapezoid((weight * places).sum(axis=1), left)
    assert missed == pytest.approx(1.0 - make_probability([length], skill)[0], rel=0.01)


def _place(skill: PuttingSkill) -> list[float]:
    """Where a skill stands on the axes of the make table."""
    table = make_table()
    axes = (table.ln_line, skill.line_rad), (table.ln_pace, skill.pace), (table.ln_past, skill.aim_past_m)
    return [(math.log(value) - axis[0]) / (axis[1] - axis[0]) for axis, value in axes]


def test_tap_ins_come_as_often_as_simulated() -> None:
    golfer = reference_golfer(15.0)
    player, table = SimulatedPlayer(golfer, 2, Days(spread=0.0)), make_table()
    place = _place(golfer.putting)
    for node in (35, 50, 60, 70):
        putts = player.putts([table.distance_m[node] / FOOT_M], 40_000, 1)
        near = np.hypot(putts["long_m"], putts["right_m"]) <= NEAR_M
        chance = math.exp(volume_kernel(table.log_near[node], *place)[0])
        assert near.mean() == pytest.approx(chance, abs=0.008)


def test_make_table_interpolates_the_putting_model() -> None:
    table = make_table()
    rng = np.random.default_rng(0)
    for _ in range(30):
        node = int(rng.integers(20, 80))
        line, pace, past = math.radians(rng.uniform(1.0, 5.0)), rng.uniform(0.05, 0.2), rng.uniform(0.03, 0.7)
        skill = PuttingSkill(line, READING_RATIO_PER_M * line, pace, past)
        value = volume_kernel(table.log_make[node], *_place(skill))[0]
        assert value == pytest.approx(math.log(make_probability(table.distance_m[node], skill)), abs=4e-3)
