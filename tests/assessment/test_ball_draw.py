"""Which balls a test holds, and in which order."""

from __future__ import annotations

import numpy as np
import pytest
from designed_tests import asked_of_nobody
from hypothesis import given
from hypothesis import strategies as st

from rangework.assessment.ball_draw import DistanceWish, asked_bands, draw_balls, practisable
from rangework.assessment.design_words import read_design_wish
from rangework.assessment.play_order import play_order, running_alike
from rangework.errors import InputError
from rangework.lie import Lie
from rangework.units import YARD_M


def drawn(wish: DistanceWish, balls: int, seed: int = 0) -> list[tuple[int, Lie]]:
    luck = np.random.default_rng(seed)
    return [
        (round(ball.distance_m / YARD_M), ball.lie)
        for ball in draw_balls(asked_of_nobody(), wish, balls, YARD_M, luck)
    ]


def test_distances_are_in_proportion_to_what_is_asked() -> None:
    """A quarter of the shots asked for are chips, so within a ball a quarter of any test is."""
    wish = DistanceWish()
    pool = practisable(asked_of_nobody(), wish)
    for balls in (8, 20, 60):
        found = draw_balls(asked_of_nobody(), wish, balls, YARD_M, np.random.default_rng(balls))
        for band in asked_bands(pool, found):
            share = band.a_round * pool.rounds / len(pool.hole)
            assert abs(band.balls - share * balls) < 2.0, (balls, band)
        assert sum(band.balls for band in asked_bands(pool, found)) == balls


def test_lay_ups_and_lies_that_are_not_wished_for_are_left_out() -> None:
    pool = practisable(asked_of_nobody(), DistanceWish(lies=(Lie.FAIRWAY,)))
    assert set(pool.lie) == {Lie.FAIRWAY}
    assert pool.at_green.all()
    assert {lie for _, lie in drawn(DistanceWish(lies=(Lie.ROUGH,)), 12)} == {Lie.ROUGH}


def test_places() -> None:
    assert min(far for far, _ in drawn(DistanceWish(place="range"), 15)) >= 50
    assert max(far for far, _ in drawn(DistanceWish(place="short_game_area"), 15)) <= 50


def test_a_range_is_covered_evenly() -> None:
    found = [far for far, _ in drawn(DistanceWish(60 * YARD_M, 120 * YARD_M), 12)]
    assert all(60 + 5 * part <= far <= 65 + 5 * part for part, far in enumerate(found))


def test_the_targets_there_are() -> None:
    found = [far for far, _ in drawn(DistanceWish(available_m=(60 * YARD_M, 85 * YARD_M, 300.0)), 20)]
    assert set(found) == {60, 85, round(300 / YARD_M)}
    assert found.count(round(300 / YARD_M)) == 1  # nobody is asked for it, and it is hit all the same
    assert max(map(found.count, set(found))) <= 10


def test_the_same_seed_gives_the_same_balls() -> None:
    assert drawn(DistanceWish(), 20, seed=4) == drawn(DistanceWish(), 20, seed=4)
    assert drawn(DistanceWish(), 20, seed=4) != drawn(DistanceWish(), 20, seed=5)


@given(st.lists(st.integers(0, 4), min_size=1, max_size=40), st.integers(0, 1000))
def test_no_two_alike_running_wherever_that_can_be(kinds: list[int], seed: int) -> None:
    order = play_order(kinds, np.random.default_rng(seed))
    assert sorted(order) == list(range(len(kinds)))
    most = max(kinds.count(kind) for kind in kinds)
    unavoidable = max(0, 2 * most - len(kinds) - 1)
    assert running_alike([kinds[ball] for ball in order]) == unavoidable


def test_the_order_is_random() -> None:
    firsts = [play_order([0, 1, 2, 3], np.random.default_rng(seed))[0] for seed in range(200)]
    assert min(firsts.count(ball) for ball in range(4)) > 25


def test_every_fault_of_a_wish_is_told() -> None:
    with pytest.raises(InputError) as told:
        read_design_wish(
            "yards", balls="0", minutes="x", low="120", high="60", available="85,abc", lies="fairway,tee",
            margin="9", name="", day="tomorrow",
        )  # fmt: skip
    sources = [problem.source for problem in told.value.problems]
    for option in ("--balls", "--minutes", "--to", "--available", "--lies", "--margin", "--name", "--date"):
        assert option in sources


def test_minutes_become_balls() -> None:
    assert read_design_wish("yards", minutes="12", day="2026-06-01").balls == 20
    assert read_design_wish("metres", low="50", high="90", day="2026-06-01").distances.high_m == 90.0
    with pytest.raises(InputError):
        read_design_wish("yards", low="60")
