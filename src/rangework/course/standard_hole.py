"""A random hole with the surroundings that published tables of expected strokes average over.

Such a table mixes thousands of holes. ``standard_hole`` makes one straight hole of that mixture: patches of
bunker, short grass and penalty area around the green, bunkers beside the fairway, trees and penalty areas
that grow likelier away from the centre line. The chances were set by hand when the reference golfers were
fitted: assumed here, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from rangework.course.geometry import Point
from rangework.course.ground_grid import END_MARGIN_M, SIDE_MARGIN_M, GroundGrid
from rangework.lie import Ground
from rangework.units import YARD_M

Values = NDArray[np.float64]

#: Standard holes are par 4s and par 5s from these lengths (common practice, no source).
PAR_FOUR_FROM_M, PAR_FIVE_FROM_M = 250.0 * YARD_M, 470.0 * YARD_M

#: Uses of a patch's random numbers.
AROUND_GREEN, PENALTY, TREES, FAIRWAY_BUNKER = range(4)


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Sizes (metres) and chances (fractions) of what surrounds a standard hole.

    ``green_power`` is the exponent of the green's outline ``|x/a|^n + |y/b|^n = 1``: 2 is an ellipse, a
    large one a rectangle. Chances of trees and of penalty areas rise evenly from 0 at ``*_from_m`` off the
    centre line to ``*_chance`` at ``*_full_m`` and stay there.
    """

    green_width_m: float = 27 * YARD_M
    green_depth_m: float = 22 * YARD_M
    green_power: float = 4.0
    pin_edge_m: float = 3 * YARD_M
    fringe_m: float = 2 * YARD_M
    patch_m: float = 6 * YARD_M

    around_green_m: float = 20 * YARD_M
    bunker_chance: float = 0.17
    short_grass_chance: float = 0.10
    short_grass_in_front_chance: float = 0.60
    green_penalty_chance: float = 0.02

    fairway_width_m: float = 32 * YARD_M
    fairway_from_m: float = 60 * YARD_M
    fairway_bunker_chance: float = 0.12
    fairway_bunkers_from_m: float = 16 * YARD_M
    fairway_bunkers_to_m: float = 26 * YARD_M

    trees_chance: float = 0.35
    trees_from_m: float = 22 * YARD_M
    trees_full_m: float = 45 * YARD_M
    penalty_chance: float = 0.45
    penalty_from_m: float = 25 * YARD_M
    penalty_full_m: float = 60 * YARD_M


# Short par 3s have small, well-guarded greens, long ones large and open ones; par 4s that a driver nearly reaches are
# narrow and guarded. Chosen by hand so that the tour golfer's strokes from the tee meet the published ones
# (sources.toml: assumption.standard_holes); from 380 yd the defaults of ``Surroundings`` hold.
_LENGTH_YD = (100, 120, 140, 160, 180, 200, 220, 249, 250, 260, 280, 300, 320, 340, 360, 380)
_GREEN_WIDTH_YD = (17, 18, 21.5, 25, 30, 34, 36, 37, 21, 21, 19.5, 20.5, 21.5, 23.5, 25, 27)
_GREEN_DEPTH_YD = (12.5, 13.5, 16.5, 20, 24, 27.5, 30, 31, 15.5, 15.5, 14.5, 15.5, 17, 18, 20, 22)
_BUNKER_CHANCE = (
    0.45,
    0.37,
    0.30,
    0.23,
    0.17,
    0.15,
    0.13,
    0.12,
    0.30,
    0.34,
    0.44,
    0.42,
    0.36,
    0.30,
    0.23,
    0.17,
)
_TREES_FROM_YD = (22, 22, 22, 22, 22, 22, 22, 22, 16, 15, 13, 14, 15.5, 17, 18, 22)
_FAIRWAY_BUNKER_CHANCE = (0.12,) * 8 + (0.30,) * 6 + (0.21, 0.12)
_TREES_DEEP_YD = 23.0
_PIN_EDGE_SHARE = 0.2


def usual_surroundings(distance_m: float) -> Surroundings:
    """What usually surrounds a hole of that length (metres)."""

    def usual(values: tuple[float, ...]) -> float:
        return float(np.interp(distance_m / YARD_M, _LENGTH_YD, values))

    width_m, depth_m = usual(_GREEN_WIDTH_YD) * YARD_M, usual(_GREEN_DEPTH_YD) * YARD_M
    trees_m = usual(_TREES_FROM_YD) * YARD_M
    return Surroundings(
        green_width_m=width_m,
        green_depth_m=depth_m,
        pin_edge_m=min(3.0 * YARD_M, _PIN_EDGE_SHARE * depth_m),
        bunker_chance=usual(_BUNKER_CHANCE),
        fairway_bunker_chance=usual(_FAIRWAY_BUNKER_CHANCE),
        trees_from_m=trees_m,
        trees_full_m=trees_m + _TREES_DEEP_YD * YARD_M,
    )


def standard_hole(
    distance_m: float,
    *,
    seed: int,
    surroundings: Surroundings | None = None,
    cell_m: float = 1.0,
) -> GroundGrid:
    """A straight hole with its pin ``distance_m`` from the tee; equal seeds give equal holes.

    Without ``surroundings`` they are those usual at the hole's length (``usual_surroundings``). Patches are
    laid from the green towards the tee, so that one seed keeps its nearer surroundings at every distance.
    ``number`` and ``par`` follow the distance (3 below 250 yd, 5 from 470 yd: common practice, no source).
    """
    around = surroundings or usual_surroundings(distance_m)
    luck = np.random.Generator(np.random.PCG64(seed))
    green = _green(around)
    pin = _random_pin(green, around, luck)
    centre_m = math.sqrt(max(distance_m**2 - pin[0] ** 2, 0.0)) - pin[1]
    grid = _empty_grid(distance_m, centre_m, pin, around, cell_m)
    right_m, past_m = _from_green(grid, centre_m)
    patches = _draw_patches(right_m, past_m, around, luck)
    _lay_out_sides(grid.ground, right_m, past_m + centre_m, patches, around, centre_m)
    _lay_out_green(grid.ground, right_m, past_m, patches, around, green)
    return grid


def _green(around: Surroundings) -> Polygon:
    """The green's outline about its own centre."""
    angle = np.linspace(0.0, 2.0 * math.pi, 129)[:-1]
    cos, sin = np.cos(angle), np.sin(angle)
    x = np.sign(cos) * np.abs(cos) ** (2.0 / around.green_power) * around.green_width_m / 2
    y = np.sign(sin) * np.abs(sin) ** (2.0 / around.green_power) * around.green_depth_m / 2
    return Polygon(np.column_stack([x, y]))


def _random_pin(green: Polygon, around: Surroundings, luck: np.random.Generator) -> Point:
    """A point spread evenly over the green's part that is far enough from its edge."""
    inner = green.buffer(-around.pin_edge_m)
    if inner.is_empty:
        return (0.0, 0.0)
    left, front, right, back = inner.bounds
    points = luck.uniform((left, front), (right, back), size=(256, 2))
    inside = points[shapely.contains_xy(inner, points)]
    return (float(inside[0, 0]), float(inside[0, 1]))


def _empty_grid(
    distance_m: float, centre_m: float, pin: Point, around: Surroundings, cell_m: float
) -> GroundGrid:
    side_m = around.green_width_m + SIDE_MARGIN_M
    far_m = distance_m + around.green_depth_m + END_MARGIN_M
    columns, rows = 2 * math.ceil(side_m / cell_m), math.ceil((far_m + END_MARGIN_M) / cell_m)
    par = 3 if distance_m < PAR_FOUR_FROM_M else 4 if distance_m < PAR_FIVE_FROM_M else 5
    return GroundGrid(
        ground=np.zeros((rows, columns), dtype=np.uint8),
        origin_m=(-columns / 2 * cell_m, -END_MARGIN_M),
        cell_m=cell_m,
        tee_m=(0.0, 0.0),
        pin_m=(0.0, distance_m),
        number=1,
        par=par,
        turn_rad=math.atan2(pin[0], centre_m + pin[1]),
    )


def _from_green(grid: GroundGrid, centre_m: float) -> tuple[Values, Values]:
    """How far every cell lies right of the centre line and past the middle of the green."""
    x_m, y_m = np.meshgrid(*grid.cell_centres())
    on_hole = grid.to_hole(np.stack([x_m, y_m], axis=-1))
    return on_hole[..., 0], on_hole[..., 1] - centre_m


def _draw_patches(
    right_m: Values, past_m: Values, around: Surroundings, luck: np.random.Generator
) -> tuple[Values, ...]:
    """For every use, the patch's uniform number at each cell.

    Rows run from a fixed distance behind the green, so a longer hole only draws more of them.
    """
    behind_m = around.green_depth_m * 2 + END_MARGIN_M
    side_m = 2 * (around.green_width_m + SIDE_MARGIN_M)
    row = np.floor((behind_m - past_m) / around.patch_m).astype(np.int64).clip(0)
    column = np.floor((right_m + side_m) / around.patch_m).astype(np.int64).clip(0)
    columns = math.ceil(2 * side_m / around.patch_m) + 1
    uniforms = luck.random((row.max() + 1, columns, 4))
    chosen = uniforms[row, column.clip(max=columns - 1)]
    return tuple(chosen[..., use] for use in range(4))


def _lay_out_sides(
    ground: NDArray[np.uint8],
    right_m: Values,
    from_tee_m: Values,
    patches: tuple[Values, ...],
    around: Surroundings,
    centre_m: float,
) -> None:
    """Trees, penalty areas, fairway and the bunkers beside it."""
    aside_m = np.abs(right_m)
    trees = _rising(aside_m, around.trees_from_m, around.trees_full_m, around.trees_chance)
    penalty = _rising(aside_m, around.penalty_from_m, around.penalty_full_m, around.penalty_chance)
    fairway_to_m = centre_m - around.green_depth_m / 2 - around.around_green_m
    along = (from_tee_m >= around.fairway_from_m) & (from_tee_m <= fairway_to_m)
    beside = (aside_m >= around.fairway_bunkers_from_m) & (aside_m <= around.fairway_bunkers_to_m)
    bunker = patches[FAIRWAY_BUNKER] < around.fairway_bunker_chance
    ground[patches[TREES] < trees] = Ground.TREES
    ground[patches[PENALTY] < penalty] = Ground.WATER
    ground[along & beside & bunker] = Ground.SAND
    ground[along & (aside_m <= around.fairway_width_m / 2)] = Ground.FAIRWAY


def _rising(aside_m: Values, from_m: float, full_m: float, chance: float) -> Values:
    return chance * np.clip((aside_m - from_m) / (full_m - from_m), 0.0, 1.0)


def _lay_out_green(
    ground: NDArray[np.uint8],
    right_m: Values,
    past_m: Values,
    patches: tuple[Values, ...],
    around: Surroundings,
    green: Polygon,
) -> None:
    """The green, its fringe, and patches within ``around_green_m`` of its edge."""
    near = np.nonzero(
        (np.abs(right_m) <= around.green_width_m / 2 + around.around_green_m)
        & (np.abs(past_m) <= around.green_depth_m / 2 + around.around_green_m)
    )
    x_m, y_m = right_m[near], past_m[near]
    edge_m = shapely.distance(green, shapely.points(x_m, y_m))
    in_front = (y_m < -around.green_depth_m / 2) & (np.abs(x_m) <= around.fairway_width_m / 2)
    kinds = _kinds_around_green(patches[AROUND_GREEN][near], in_front, around)
    kinds = np.where(edge_m <= around.around_green_m, kinds, ground[near])
    kinds[edge_m <= around.fringe_m] = Ground.FRINGE
    kinds[edge_m == 0.0] = Ground.GREEN
    ground[near] = kinds


def _kinds_around_green(
    uniform: Values, in_front: NDArray[np.bool_], around: Surroundings
) -> NDArray[np.uint8]:
    bunker = around.bunker_chance
    penalty = bunker + around.green_penalty_chance
    mown = np.where(in_front, around.short_grass_in_front_chance, around.short_grass_chance)
    chosen = np.select(
        [uniform < bunker, uniform < penalty, uniform < penalty + mown],
        [Ground.SAND, Ground.WATER, Ground.FAIRWAY],
        Ground.ROUGH,
    )
    return chosen.astype(np.uint8)
