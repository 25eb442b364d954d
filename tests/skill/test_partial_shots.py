"""Full shots with named clubs, what lies between them, and bands that pass into one another."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from simulated_players import SimulatedPlayer, typical_records

from rangework.estimate import Estimate
from rangework.lie import Lie
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.club_carries import ClubCarry, likely_carries
from rangework.skill.fit import fit_player
from rangework.skill.model import (
    BAND_CENTRE_M,
    BAND_EDGES_M,
    BIAS_DIRECTION,
    DEPTH,
    DIRECTION,
    STANDARD,
    Golfer,
    band_of,
    band_weights,
    compile_golfer,
    longest_targets,
)
from rangework.skill.partial_shots import MOST_WIDER, STRETCH, club_needed, partial_spread
from rangework.skill.reference import reference_golfer
from rangework.units import YARD_M

BAG = (70.0, 85.0, 98.0, 110.0, 121.0, 132.0, 143.0, 155.0, 172.0)
bags = st.lists(st.floats(40.0, 220.0), min_size=2, max_size=13).map(lambda bag: tuple(sorted(bag)))


@given(bags)
def test_spread_is_the_usual_one_on_average_between_the_clubs(bag: tuple[float, ...]) -> None:
    if bag[-1] - bag[0] < 1.0:
        return
    wide = partial_spread(np.linspace(bag[0], bag[-1], 400), bag)
    assert wide.mean() == pytest.approx(1.0, abs=1e-9)
    assert wide.max() <= wide.min() * (1.0 + MOST_WIDER) + 1e-9


@given(bags, st.floats(1.0, 300.0))
def test_no_shot_is_narrower_than_a_full_one(bag: tuple[float, ...], target: float) -> None:
    full, shot = partial_spread(np.array([bag[-1], target]), bag)
    assert shot >= full - 1e-12 or not bag[0] <= target <= STRETCH * bag[-1]


def test_a_club_held_back_is_wider_by_what_it_is_held_back() -> None:
    full, stretched, held_back = partial_spread(np.array([132.0, 134.0, 136.0]), BAG)
    assert stretched == full
    assert held_back / full == pytest.approx(1.0 + (1.0 - 136.0 / 143.0))
    assert club_needed(np.array([60.0, 134.0, 136.0, 200.0]), BAG).tolist() == [0, 5, 6, 9]


def test_without_clubs_and_outside_them_spreads_are_the_usual() -> None:
    far = np.array([20.0, 69.0, 180.0, 230.0])
    assert (partial_spread(far, BAG) == 1.0).all()
    assert (partial_spread(far, ()) == 1.0).all()
    assert (partial_spread(far, (150.0,)) == 1.0).all()


def test_named_clubs_change_depth_alone_and_say_how_far_the_longest_goes() -> None:
    usual = reference_golfer(12.0)
    named = replace(usual, full_shots_m=BAG)
    without, with_clubs = (compile_golfer(golfer).table[Lie.FAIRWAY, STANDARD] for golfer in (usual, named))
    np.testing.assert_array_equal(without[:, DIRECTION], with_clubs[:, DIRECTION])
    assert with_clubs[132, DEPTH] < without[132, DEPTH] < with_clubs[136, DEPTH]
    longest = longest_targets(named)
    assert longest[Lie.FAIRWAY] == pytest.approx(172.0)
    assert longest[Lie.TEE] == usual.driver_m
    assert longest[Lie.ROUGH] / longest[Lie.FAIRWAY] == pytest.approx(
        longest_targets(usual)[Lie.ROUGH] / longest_targets(usual)[Lie.FAIRWAY]
    )


def test_a_bag_of_which_only_irons_are_named_leaves_the_longest_shot_alone() -> None:
    usual = reference_golfer(12.0)
    few = replace(usual, full_shots_m=(100.0, 120.0))
    np.testing.assert_array_equal(longest_targets(few), longest_targets(usual))


def uneven() -> Golfer:
    return replace(
        reference_golfer(12.0),
        approach_depth=np.array([1.0, 1.6, 1.1, 2.0]),
        approach_direction=np.array([2.0, 1.0, 1.5, 1.2]),
        approach_bias_rad=np.array([0.0, 0.05, -0.03, 0.04]),
        chip=1.2,
        pitch=2.4,
    )


@pytest.mark.parametrize("lie", [Lie.FAIRWAY, Lie.ROUGH, Lie.SAND])
def test_no_yard_makes_a_golfer_much_wider(lie: Lie) -> None:
    """The negative control is what a band without neighbours would do at 100 yd: 60 % from one yard to the next."""
    table = compile_golfer(uneven()).table[lie, STANDARD]
    from_place = round(5.0 * YARD_M)
    for column in (DEPTH, DIRECTION):
        grown = table[from_place + 1 :, column] / table[from_place:-1, column]
        assert grown.min() > 0.9
        assert grown.max() < 1.16
    assert np.abs(np.diff(table[:, BIAS_DIRECTION])).max() < 0.005
    stepped = uneven().approach_depth[band_of(np.array([99.0, 100.0]) * YARD_M)]
    assert stepped[1] / stepped[0] > 1.5


def test_a_band_says_all_at_its_centre_and_half_at_its_edges() -> None:
    np.testing.assert_allclose(band_weights(BAND_CENTRE_M), np.eye(4), atol=1e-12)
    at_edges = band_weights(BAND_EDGES_M[1:-1])
    np.testing.assert_allclose(at_edges.max(axis=1), 0.5)
    anywhere = band_weights(np.linspace(0.0, 330.0, 500))
    np.testing.assert_allclose(anywhere.sum(axis=1), 1.0)
    assert ((anywhere > 0.0).sum(axis=1) <= 2).all()


def test_the_fit_takes_partial_shots_for_what_they_are() -> None:
    """Balls at full shots alone: with the clubs named, the usual spread, of full and partial shots, is larger."""
    truth = replace(reference_golfer(12.0), full_shots_m=BAG)
    records = typical_records(SimulatedPlayer(truth, 3), sessions=2)
    balls = records.aimed[
        (records.aimed["lie"] == Lie.FAIRWAY) & records.aimed["target_m"].between(100.0, 150.0)
    ]
    balls = balls.assign(target_m=132.0, club="", measured="carry")
    only = ShotRecords(balls, records.putts.iloc[:0], records.log.iloc[:0])
    clubs = {f"club {place}": carry_m for place, carry_m in enumerate(BAG)}
    plain, named = (
        fit_player(only, profile=PlayerProfile(handicap=12.0, clubs=some), method="laplace").mean
        for some in ({}, clubs)
    )
    assert 1.02 < named.approach_depth[1] / plain.approach_depth[1] < 1.06
    spread = [compile_golfer(golfer).table[Lie.FAIRWAY, STANDARD, 137, DEPTH] for golfer in (plain, named)]
    assert spread[1] == pytest.approx(spread[0], rel=0.02)


def test_a_carry_measured_with_few_balls_leaves_the_stated_one_a_say() -> None:
    def measured(half_m: float) -> list[ClubCarry]:
        carry = Estimate(120.0, 120.0 - half_m, 120.0 + half_m, "m", "data")
        return [ClubCarry("7 iron", carry, 10.0, 20, 18, None)]

    stated = {"7 iron": 130.0}
    assert likely_carries([], stated) == stated
    assert likely_carries(measured(0.5), stated)["7 iron"] == pytest.approx(120.0, abs=0.1)
    assert likely_carries(measured(1.645 * 6.5), stated)["7 iron"] == pytest.approx(125.0)
    assert likely_carries(measured(5.0), {}) == {"7 iron": 120.0}
