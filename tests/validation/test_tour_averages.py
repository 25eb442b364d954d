"""Tour averages that nothing was fitted to, each with the miss named.

The course is a made-up one of 7,260 yd on standard holes (lengths: common practice, no source); the golfer
is the one fitted to the tour table. Published figures: PGA TOUR averages of 2009 as quoted on a secondary
page (driving 287.9 yd, fairways 62.91 %, greens 64.7 %, scrambling 57.52 %, putts 29.2): VERIFIED
secondary. Three-putts about 0.5 a round: secondary. Penalties about 0.3 a round: COMMON PRACTICE. Proximity
by band: PGA TOUR season averages of the 2010s, FROM MEMORY, except 75-100 yd fairway (18 ft 1 in, 2021/22)
and 100-125 yd fairway (20 ft, 2017): VERIFIED secondary.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
from numba import njit
from numpy.typing import NDArray

from rangework.course.standard_hole import standard_hole
from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.lattice import lay_out
from rangework.play.points import error_points
from rangework.play.rounds import PENALTIES, PUTTS, TEE, RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer, tour_golfer
from rangework.units import FOOT_M, YARD_M

FloatArray = NDArray[np.float64]

LENGTHS_YD = [
    165, 185, 205, 220, 360, 390, 405, 420, 430, 440, 450, 455, 460, 465, 520, 540, 560, 590,
]  # fmt: skip
#: Published figure and tolerance. Named misses: putts (1.3 too many) and scrambling (0.11 too few), because nobody
#: holes out from off the green here; greens (0.03 too many), because greens are of one size.
AVERAGES = {
    "greens": (0.647, 0.05),
    "fairways": (0.629, 0.03),
    "putts": (29.2, 1.5),
    "three-putts": (0.5, 0.2),
    "scrambling": (0.575, 0.13),
    "penalties": (0.3, 0.25),
}
#: Approaches that finish farther from the hole than this are left out of proximity (assumed: 30 yd from the green).
NEAR_M = 42.0 * YARD_M
#: ft from the hole by lie and band (yd).
PROXIMITY_FT = {
    Lie.FAIRWAY: {
        (50, 75): 16,
        (75, 100): 18,
        (100, 125): 20,
        (125, 150): 23.5,
        (150, 175): 28,
        (175, 200): 34,
    },
    Lie.ROUGH: {(50, 75): 24, (75, 100): 27, (100, 125): 30, (125, 150): 35, (150, 175): 41, (175, 200): 49},
}


@dataclass(frozen=True)
class Tour:
    strategies: list[Strategy]
    sample: RoundSample


@pytest.fixture(scope="module")
def tour() -> Tour:
    """Two greens of every length, a thousand rounds each."""
    player = compile_player(tour_golfer())
    layouts = []
    for number, yards in enumerate(LENGTHS_YD * 2):
        grid = replace(standard_hole(yards * YARD_M, seed=number), number=number)
        layouts.append(lay_out(grid, coarse_step_m=12.0, fine_step_m=5.0))
    strategies = solve_course(layouts, player)
    return Tour(strategies, play_rounds(strategies, player, 3000))


def averages(sample: RoundSample) -> dict[str, float]:
    """Per 18 holes."""
    driven = sample.par > 3
    putts = sample.by_family[:, :, PUTTS]
    missed = ~sample.green_hit
    return {
        "score": float(sample.strokes.mean() * 18),
        "greens": float(sample.green_hit.mean()),
        "fairways": float(sample.fairway_hit[:, driven].mean()),
        "putts": float(putts.mean() * 18),
        "three-putts": float((putts >= 3).mean() * 18),
        "scrambling": float((sample.strokes <= sample.par)[missed].mean()),
        "penalties": float(sample.by_family[:, :, PENALTIES].mean() * 18),
        "tee shots": float(sample.by_family[:, :, TEE].mean() * 18),
    }


@pytest.mark.slow
def test_averages_of_a_season(tour: Tour) -> None:
    got = averages(tour.sample)
    for name, value in got.items():
        print(f"\n{name:12} {value:7.3f}  published {AVERAGES.get(name, ('-',))[0]}", end="")
    for name, (published, tolerance) in AVERAGES.items():
        assert got[name] == pytest.approx(published, abs=tolerance), name


@pytest.mark.slow
def test_a_scratch_golfer_is_no_tour_golfer(tour: Tour) -> None:
    """Negative control."""
    scratch = compile_player(reference_golfer(0))
    got = averages(play_rounds(tour.strategies, scratch, 500))
    assert any(abs(got[name] - published) > tolerance for name, (published, tolerance) in AVERAGES.items())


@njit
def approach_shots(hole, player, row, start_y, tx, ty, height, left, ground):  # type: ignore[no-untyped-def]
    for i in range(left.shape[0]):
        key = kernels.luck_key(9, i, 1)
        stroke = kernels.play_stroke(hole, player, key, 0, row, row, 0.0, start_y, tx, ty, height)
        x, y, ending = stroke[0], stroke[1], stroke[2]
        left[i] = np.hypot(x - hole.pin_x, y - hole.pin_y) if ending == 0 else np.nan
        ground[i] = kernels.ground_at(hole, x, y)


def proximity(strategy: Strategy, lie: Lie, yards: float, shots: int = 1500) -> tuple[float, float]:
    """Mean distance left (ft) of balls within ``NEAR_M`` of the hole, and the share on the green."""
    hole, player = strategy.layout.hole, compile_player(tour_golfer())
    start_y, row = hole.pin_y - yards * YARD_M, int(lie)
    tx, ty, height = kernels.next_target(
        hole, strategy.layout.lattices, strategy.policy, int(Lie.FAIRWAY), 0.0, start_y
    )
    left, ground = np.empty(shots), np.empty(shots, dtype=np.int64)
    approach_shots(hole, player, row, start_y, tx, ty, height, left, ground)
    near = left < NEAR_M
    return float(left[near].mean() / FOOT_M), float((ground == Ground.GREEN).mean())


#: Feet: the miss is largest from the rough at 75-100 yd, where poor strikes (0.2 of them) come up short.
TOLERANCE_FT = {Lie.FAIRWAY: 4.0, Lie.ROUGH: 7.5}


@pytest.mark.slow
@pytest.mark.parametrize("lie", PROXIMITY_FT)
def test_proximity_by_band(tour: Tour, lie: Lie) -> None:
    """Fairway 0.4 to 2.7 ft too far, rough 2 ft too near (far out) to 6 ft too far (near)."""
    long_holes = [strategy for strategy in tour.strategies if strategy.layout.par == 5]
    for band, published in PROXIMITY_FT[lie].items():
        middle = sum(band) / 2.0
        results = np.array([proximity(strategy, lie, middle) for strategy in long_holes])
        feet, greens = results.mean(axis=0)
        print(f"\n{lie.name.lower():8} {band} yd: {feet:5.1f} ft, published {published}", end="")
        print(f"; on the green {greens:.2f}", end="")
        assert feet == pytest.approx(published, abs=TOLERANCE_FT[lie])


def test_error_points_reach_every_surface() -> None:
    """The fixed tables that expectations are taken over hold tails, or misses would not count."""
    assert np.abs(error_points(640, 128, 0.3, 8).solid).max() > 3.0
