"""The random hole behind the tables: sizes, chances and what a seed fixes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rangework.course.standard_hole import Surroundings, standard_hole, usual_surroundings
from rangework.lie import Ground
from rangework.units import YARD_M

SEEDS = range(60)


def share(kind: Ground, part: np.ndarray) -> float:
    return float(np.mean(part == kind))


def test_equal_seeds_give_equal_holes_and_others_differ() -> None:
    first, again, other = (standard_hole(300.0, seed=seed) for seed in (5, 5, 6))
    np.testing.assert_array_equal(first.ground, again.ground)
    assert first.turn_rad == again.turn_rad
    assert first.turn_rad != other.turn_rad


@pytest.mark.parametrize("distance_m", [20.0, 150.0, 520.0])
def test_pin_is_at_the_distance_asked_for_and_on_the_green(distance_m: float) -> None:
    for seed in range(8):
        grid = standard_hole(distance_m, seed=seed)
        assert grid.pin_m == (0.0, distance_m)
        assert grid.ground_at(*grid.pin_m) == Ground.GREEN


@pytest.mark.parametrize("seed", range(8))
def test_pin_keeps_four_yards_from_the_edge(seed: int) -> None:
    grid = standard_hole(60.0, seed=seed, surroundings=Surroundings(), cell_m=0.25)
    around = np.linspace(0.0, 2.0 * np.pi, 72)
    reach = 4 * YARD_M - 0.25
    ring = grid.ground_at(reach * np.sin(around), 60.0 + reach * np.cos(around))
    assert np.all(ring == Ground.GREEN)


def test_green_has_the_area_of_its_outline() -> None:
    # an ellipse has pi/4 of its box
    oval = replace(Surroundings(), green_power=2.0, green_width_m=40.0, green_depth_m=30.0)
    grid = standard_hole(150.0, seed=1, surroundings=oval, cell_m=0.5)
    cells = np.count_nonzero(grid.ground == Ground.GREEN)
    assert cells * 0.25 == pytest.approx(np.pi / 4 * 40.0 * 30.0, rel=0.01)


def test_one_seed_keeps_its_green_at_every_distance() -> None:
    # seen from afar the hole turns by the pin's offset, so compare on the hole's own plane
    views = []
    for distance_m in (200.0, 500.0):
        grid = standard_hole(distance_m, seed=11, surroundings=Surroundings())
        x_m, y_m = np.meshgrid(np.arange(-30.0, 31.0, 2.0), np.arange(-30.0, 31.0, 2.0))
        pin = grid.to_hole(grid.pin_m)
        on_grid = grid.from_hole(np.stack([x_m + pin[0], y_m + pin[1]], axis=-1))
        views.append(grid.ground_at(on_grid[..., 0], on_grid[..., 1]))
    assert np.mean(views[0] == views[1]) > 0.93


def test_surroundings_follow_the_length_of_a_hole() -> None:
    """A short par 3 has a small guarded green, a long one a large open one; all are the same from 380 yd on."""
    short, long, driveable, usual = (usual_surroundings(y * YARD_M) for y in (120, 220, 290, 420))
    assert short.green_width_m < usual.green_width_m < long.green_width_m
    assert short.bunker_chance > usual.bunker_chance > long.bunker_chance
    assert driveable.trees_from_m < usual.trees_from_m
    assert usual == Surroundings()
    assert usual_surroundings(380.0 * YARD_M) == usual_surroundings(600.0 * YARD_M)


def test_chances_come_out_as_asked_for() -> None:
    grids = [standard_hole(400.0, seed=seed) for seed in SEEDS]
    # 52-55 yd off the centre line, 100-300 m out: trees are at their full chance where no water covers them
    columns = slice(round(grids[0].ground.shape[1] / 2 + 52 * YARD_M), None)
    far = np.concatenate([grid.ground[140:340, columns][:, :6] for grid in grids])
    penalty = 0.45 * (55 - 25) / 35
    assert share(Ground.WATER, far) == pytest.approx(penalty, abs=0.04)
    assert share(Ground.TREES, far) == pytest.approx(0.35 * (1 - penalty), abs=0.04)


def test_bare_surroundings_leave_only_mown_ground() -> None:
    bare = Surroundings(
        bunker_chance=0.0,
        short_grass_chance=0.0,
        green_penalty_chance=0.0,
        fairway_bunker_chance=0.0,
        trees_chance=0.0,
        penalty_chance=0.0,
    )
    found = set(np.unique(standard_hole(380.0, seed=2, surroundings=bare).ground))
    assert found == {Ground.ROUGH, Ground.FAIRWAY, Ground.FRINGE, Ground.GREEN}


def test_fairway_is_as_wide_as_asked_for() -> None:
    grid = standard_hole(400.0, seed=3, cell_m=0.5)
    row = grid.ground[round((40 + 200) / 0.5)]
    assert np.count_nonzero(row == Ground.FAIRWAY) * 0.5 == pytest.approx(32 * YARD_M, abs=0.6)
