"""Reference golfers of every level: smooth, ordered, one tour, and the published lengths they are made from."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from rangework.skill import coordinates as c
from rangework.skill.by_index import TOUR_INDEX, amateur_index
from rangework.skill.model import Golfer
from rangework.skill.reference import HIGHEST_INDEX, Group, level_beside_length, reference_golfer, tour_golfer
from rangework.units import YARD_M

GROUPS: tuple[Group, ...] = ("men", "women")
STEP = 0.01
INDEX = np.arange(-6.0, 54.0 + STEP, STEP)


def quantities(group: Group) -> np.ndarray:
    """[index, coordinate], with how far past the hole putts are meant to finish as the last one."""
    golfers = [reference_golfer(float(h), group) for h in INDEX]
    past = [[golfer.putting.aim_past_m] for golfer in golfers]
    return np.hstack([[c.golfer_coordinates(golfer) for golfer in golfers], past])


@pytest.mark.parametrize("group", GROUPS)
def test_every_quantity_runs_one_way_and_smoothly(group: Group) -> None:
    """No quantity turns round, none has a step or a kink: not at the tour, not at scratch, not anywhere."""
    slope = np.diff(quantities(group), axis=0) / STEP
    assert ((slope <= 1e-9).all(axis=0) | (slope >= -1e-9).all(axis=0)).all()
    bend = np.abs(np.diff(slope, axis=0))
    steepest = np.abs(slope).max(axis=0)
    assert (bend.max(axis=0) <= 0.07 * steepest + 1e-12).all()


@pytest.mark.parametrize("group", GROUPS)
def test_every_part_meets_the_tour_at_one_level(group: Group) -> None:
    values, tour = quantities(group), c.golfer_coordinates(tour_golfer(group))
    at_tour = INDEX <= TOUR_INDEX + 1e-9
    np.testing.assert_allclose(values[at_tour, :-1], np.tile(tour, (at_tour.sum(), 1)), rtol=1e-9, atol=1e-12)
    moving = np.ptp(values, axis=0) > 1e-9
    just_below = values[np.searchsorted(INDEX, -3.0)]
    assert (just_below[:-1][moving[:-1]] != tour[moving[:-1]]).all()


def test_an_amateur_index_is_the_index_less_a_little() -> None:
    assert amateur_index(-8.0) == amateur_index(TOUR_INDEX) == 0.0
    assert 0.5 < amateur_index(0.0) < 1.0
    assert amateur_index(20.0) == pytest.approx(20.0 - 0.65, abs=0.01)


#: R&A/USGA driving distance by handicap (men 2018, women 2018): mean drives in yards, poor strikes and other
#: clubs included; handicap in the middle of the group. VERIFIED secondary. Middles of the open groups are assumed.
SURVEY_YD: dict[Group, dict[float, float]] = {
    "men": {3.0: 240, 9.0: 220, 16.5: 204, 26.0: 187},
    "women": {3.0: 196, 9.0: 178, 16.5: 153, 24.5: 138, 33.0: 118},
}
#: Course Rating System Manual 2020, section 9: tee shots of scratch and bogey golfers, yards. VERIFIED.
MANUAL_YD: dict[Group, dict[float, float]] = {"men": {0.0: 250, 20.0: 200}, "women": {0.0: 210, 24.0: 150}}


@pytest.mark.parametrize("group", GROUPS)
def test_driver_lengths_are_the_published_ones(group: Group) -> None:
    """Surveyed means, poor strikes included, lie 0 to 10 per cent below solid drives."""
    for index, yards in SURVEY_YD[group].items():
        assert 1.0 <= reference_golfer(index, group).driver_m / YARD_M / yards <= 1.10
    for index, yards in MANUAL_YD[group].items():
        assert reference_golfer(index, group).driver_m / YARD_M == pytest.approx(yards, rel=0.05)


def test_women_are_shorter_and_no_wilder_from_the_tee() -> None:
    for index in (-2.0, 0.0, 10.0, 25.0):
        men, women = (reference_golfer(index, group) for group in GROUPS)
        assert women.driver_m < 0.87 * men.driver_m
        assert women.tee_direction_rad == men.tee_direction_rad
        assert women.putting == men.putting


def test_a_tour_golfer_is_the_same_however_it_is_asked_for() -> None:
    def same(one: Golfer, other: Golfer) -> bool:
        return all(np.array_equal(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))

    assert same(tour_golfer(), reference_golfer(-7.5))
    assert not same(tour_golfer(), reference_golfer(-4.0))
    women = tour_golfer("women")
    assert same(replace(women, driver_m=tour_golfer().driver_m), tour_golfer())


@pytest.mark.parametrize("group", GROUPS)
def test_a_golfer_by_length_has_that_length_and_makes_up_for_it(group: Group) -> None:
    usual = reference_golfer(14.0, group)
    short, long = (reference_golfer(14.0, group, driver_m=share * usual.driver_m) for share in (0.85, 1.1))
    assert (short.driver_m, long.driver_m) == (0.85 * usual.driver_m, 1.1 * usual.driver_m)
    assert short.chip < usual.chip < long.chip
    assert short.putting.line_rad < usual.putting.line_rad < long.putting.line_rad
    assert level_beside_length(14.0, usual.driver_m, group) == pytest.approx(14.0, abs=1e-4)
    assert level_beside_length(2.0, 0.5 * usual.driver_m, group) == TOUR_INDEX
    assert level_beside_length(50.0, 2.0 * usual.driver_m, group) == HIGHEST_INDEX
