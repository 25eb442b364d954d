"""The ground grid against the outlines it was made from."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon, box

from rangework.course import Area, Hole, ground_grid
from rangework.course.ground_grid import END_MARGIN_M, PAINTING_ORDER, SIDE_MARGIN_M
from rangework.errors import InputError
from rangework.lie import Ground

GREEN = ShapelyPoint(0.0, 350.0).buffer(12.0)


def hole(
    *areas: Area,
    tees: dict[str, tuple[float, float]] | None = None,
    pins: dict[str, tuple[float, float]] | None = None,
) -> Hole:
    return Hole(
        number=4,
        par=4,
        stroke_index=1,
        tees=tees or {"back": (0.0, 0.0), "forward": (0.0, 60.0)},
        pins=pins or {"middle": (0.0, 350.0), "left": (-7.0, 352.0)},
        line=np.array([[0.0, 0.0], [0.0, 350.0]]),
        areas=(Area(Ground.GREEN, GREEN), *areas),
    )


@pytest.mark.parametrize("pin", ["middle", "left"])
@pytest.mark.parametrize(
    "outline",
    [
        box(-16.0, 150.0, 16.0, 330.0),
        ShapelyPoint(-20.0, 220.0).buffer(25.0, quad_segs=32),
        Polygon([(20.0, 100.0), (55.0, 130.0), (40.0, 300.0), (25.0, 200.0)]),
    ],
    ids=["rectangle", "circle", "quadrilateral"],
)
def test_grid_area_is_the_outline_area_within_one_per_cent(outline: Polygon, pin: str) -> None:
    grid = ground_grid(hole(Area(Ground.FAIRWAY, outline)), "back", pin)
    cells = np.count_nonzero(grid.ground == Ground.FAIRWAY)
    assert cells * grid.cell_m**2 == pytest.approx(outline.area, rel=0.01)


def test_green_area_with_finer_cells_is_closer() -> None:
    grid = ground_grid(hole(), "back", "left", cell_m=0.25)
    cells = np.count_nonzero(grid.ground == Ground.GREEN)
    assert cells * grid.cell_m**2 == pytest.approx(GREEN.area, rel=0.002)


def test_pin_lies_straight_ahead_at_its_distance() -> None:
    grid = ground_grid(hole(), "forward", "left")
    assert grid.tee_m == (0.0, 0.0)
    assert grid.pin_m == pytest.approx((0.0, math.hypot(7.0, 292.0)))
    assert grid.from_hole((-7.0, 352.0)) == pytest.approx(grid.pin_m)
    assert grid.ground_at(*grid.pin_m) == Ground.GREEN
    assert (grid.number, grid.par) == (4, 4)


def test_right_stays_right() -> None:
    bunker = Area(Ground.SAND, box(30.0, 190.0, 40.0, 210.0))
    grid = ground_grid(hole(bunker), "back", "middle")
    assert grid.ground_at([35.0, -35.0], [200.0, 200.0]).tolist() == [Ground.SAND, Ground.ROUGH]


@given(
    st.tuples(st.floats(-300, 300), st.floats(-300, 300)),
    st.tuples(st.floats(-300, 300), st.floats(310, 600)),
    st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=1, max_size=5),
)
def test_turning_there_and_back_changes_nothing(
    tee: tuple[float, float], pin: tuple[float, float], points: list[tuple[float, float]]
) -> None:
    grid = ground_grid(hole(tees={"back": tee}, pins={"middle": pin}), "back", "middle", cell_m=10.0)
    there = grid.from_hole(points)
    assert grid.to_hole(there) == pytest.approx(np.array(points), abs=1e-9)
    apart = np.hypot(*(np.array(points) - np.array(tee)).T)
    assert np.hypot(*there.T) == pytest.approx(apart, abs=1e-9)


def test_margins_surround_tee_line_and_green() -> None:
    grid = ground_grid(hole(), "back", "middle")
    rows, columns = grid.ground.shape
    assert grid.origin_m[0] <= -12.0 - SIDE_MARGIN_M
    assert grid.origin_m[1] <= -END_MARGIN_M
    assert grid.origin_m[0] + columns >= 12.0 + SIDE_MARGIN_M
    assert grid.origin_m[1] + rows >= 362.0 + END_MARGIN_M


def test_beyond_the_grid_the_border_rules() -> None:
    everywhere_left = Area(Ground.OUT, box(-500.0, -500.0, -50.0, 900.0))
    grid = ground_grid(hole(everywhere_left), "back", "middle")
    assert grid.ground_at(-5000.0, 200.0) == Ground.OUT
    assert grid.ground_at(5000.0, 200.0) == Ground.ROUGH


@pytest.mark.parametrize("later", range(1, len(PAINTING_ORDER)))
def test_later_kinds_cover_earlier_ones(later: int) -> None:
    square = box(-30.0, 180.0, -20.0, 190.0)
    areas = [Area(ground, square) for ground in PAINTING_ORDER[: later + 1]]
    grid = ground_grid(hole(*reversed(areas)), "back", "middle")
    assert grid.ground_at(-25.0, 185.0) == PAINTING_ORDER[later]


def test_every_kind_but_rough_is_painted() -> None:
    assert {*PAINTING_ORDER, Ground.ROUGH} == set(Ground)


def test_unknown_pin_is_told_with_the_nearest() -> None:
    with pytest.raises(
        InputError, match=r"is 'midle': expected a pin of hole 4 \(middle, left.*Did you mean middle"
    ):
        ground_grid(hole(), "back", "midle")
