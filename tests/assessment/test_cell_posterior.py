"""What cards say of cells: conjugate cases by hand, luck that is expected to go, and changes that are none."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
import retest_study as study
from retest_study import FIRST, REAL, SECOND, Retested, retested

from rangework.assessment.cell_posterior import CardMeans, Spread, cell_posterior
from rangework.assessment.cell_prior import CellPrior, prior_from_days
from rangework.assessment.leaks import leaks
from rangework.assessment.progress import changes, groups_of

CELLS = ("a", "b", "c")


def known(players: float = 0.2, days: float = 0.0, ball: float = 0.5) -> CellPrior:
    return CellPrior(CELLS, np.zeros(3), players**2 * np.eye(3), days**2 * np.eye(3), np.full(3, ball**2))


def card(means: list[float], balls: list[int], day: date = FIRST, ball: float = 0.5) -> CardMeans:
    counts = np.array(balls)
    return CardMeans(day, counts, np.array(means), np.maximum(counts - 1, 0) * ball**2)


def test_one_cell_is_the_normal_with_normal_prior_by_hand() -> None:
    """Precision of prior and balls add (Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, section 2.5)."""
    found = cell_posterior(known(), [card([-0.4, 0.0, 0.0], [10, 0, 0])], own_scale=0.0)
    usual = found.of(found.at(-1, np.array([1.0, 0.0, 0.0])))
    precision = 1 / 0.2**2 + 10 / 0.5**2
    assert usual.centre == pytest.approx(-0.4 * (10 / 0.5**2) / precision)
    assert usual.interval[0] == pytest.approx(usual.centre - 1.64485 * precision**-0.5, abs=1e-4)
    untouched = found.of(found.at(-1, np.array([0.0, 1.0, 0.0])))
    assert (untouched.centre, untouched.sd[0]) == (0.0, pytest.approx(0.2))


def test_three_balls_do_not_shout() -> None:
    """Of two cells with the same mean the one of many balls is the weaker; both are drawn toward the rest."""
    told = leaks(cell_posterior(known(), [card([-0.6, -0.6, 0.0], [3, 60, 20])]))
    usual = {leak.cell: leak.usual.value for leak in told.cells}
    assert -0.6 < usual["b"] < usual["a"] < 0.0
    assert told.weakest.cell == "b"
    assert sum(leak.weakest for leak in told.cells) == pytest.approx(1.0)
    assert told.gained == pytest.approx(-0.6 * 63)


def test_a_day_is_never_told_apart_from_the_player_by_one_card() -> None:
    """However many balls: the day's own effect stays in the interval."""
    cards = [card([-0.3, -0.3, -0.3], [10_000] * 3)]
    found = cell_posterior(known(days=0.1), cards, own_scale=0.0, day_factor_sd=0.0)
    shared = 1 / (1 / 0.2**2 + 1 / 0.1**2)
    assert found.of(found.at(-1, np.array([1.0, 0.0, 0.0]))).sd[0] == pytest.approx(shared**0.5, rel=1e-3)


@pytest.mark.parametrize(("off", "more"), [(0.02, False), (0.4, True)])
def test_several_days_tell_how_much_days_differ(off: float, more: bool) -> None:
    """Days alike make the next one surer, days far apart less sure, than one day alone; on average nothing is added."""
    signs = (1.0, -1.0, 1.0, -1.0)
    days = [card([sign * off] * 3, [200] * 3, FIRST + timedelta(days=k)) for k, sign in enumerate(signs)]
    found = cell_posterior(known(days=0.15), days, change_scale=0.0)
    assumed = cell_posterior(known(days=0.15), days, change_scale=0.0, day_factor_sd=0.0)
    factor = float(found.weight @ found.day_factor**2)
    assert (factor > 1.5) == more
    assert more or factor < 0.7
    low, high = found.next_card(np.array([1.0, 0.0, 0.0]), np.full(3, 60.0)).interval
    least, most = assumed.next_card(np.array([1.0, 0.0, 0.0]), np.full(3, 60.0)).interval
    assert (high - low > most - least) == more
    unseen = cell_posterior(known(days=0.15), [days[0].without_balls()])
    assert float(unseen.weight @ unseen.day_factor**2) == pytest.approx(1.0, abs=0.03)


def test_before_its_balls_a_card_says_what_was_known() -> None:
    (a, b, _) = leaks(cell_posterior(known(), [card([-0.6, -0.6, 0.0], [3, 60, 20])])).cells
    for leak in (a, b):
        assert leak.usual_before.value == pytest.approx(0.0, abs=1e-6)
        assert leak.weakest_before == pytest.approx(1 / 3, abs=0.03)
    by_name = {leak.cell: leak.from_card for leak in (a, b)}
    assert by_name["b"] > by_name["a"] > 0.2


def test_a_great_change_of_many_balls_is_real_and_a_small_one_is_not() -> None:
    before, after = card([-0.3, -0.3, -0.3], [200] * 3), card([0.2, -0.25, -0.3], [200] * 3, SECOND)
    both = cell_posterior(known(), [before, after])
    groups = groups_of(CELLS, ("x", "x", "x"), ("l", "m", "r"), before.balls + after.balls)
    told = {each.name: each for each in changes(both, cell_posterior(known(), [before]), groups)}
    assert list(told) == ["all balls", "l", "m", "r", *CELLS]
    assert told["a"].real
    assert told["a"].change.low is not None
    assert told["a"].change.low > 0.2
    assert not told["c"].real
    assert told["a"].stages[0].raw == pytest.approx(-0.3)


def test_a_strength_that_is_lost_fades() -> None:
    before, after = card([0.4, 0.0, 0.0], [200] * 3), card([0.0, 0.0, 0.0], [200] * 3, SECOND)
    groups = groups_of(CELLS, CELLS, CELLS, before.balls)
    told = changes(
        cell_posterior(known(), [before, after]), cell_posterior(known(), [before]), {"a": groups["a"]}
    )
    assert told[0].fading
    assert told[0].chance_real > REAL


def test_luck_is_expected_to_go() -> None:
    """The lowest of equal cells is foretold to come back up; without shrinkage it is not."""
    low = [card([-0.5, 0.1, 0.1], [5, 5, 5])]
    cell = np.array([1.0, 0.0, 0.0])
    assert cell_posterior(known(), low).next_card(cell, np.full(3, 20.0)).centre > -0.35
    alone = cell_posterior(known().without_sharing(), low, own_scale=0.0)
    assert alone.next_card(cell, np.full(3, 20.0)).centre == pytest.approx(-0.5, abs=1e-3)


def test_moments_of_imagined_days_come_back() -> None:
    rng = np.random.default_rng(3)
    usual = rng.normal(size=(4000, 1, 2)) @ np.array([[0.3, 0.1], [0.0, 0.2]])
    days = usual + 0.05 * rng.normal(size=(4000, 2, 2))
    found = prior_from_days(("a", "b"), days, np.ones(2))
    assert found.players == pytest.approx(np.array([[0.09, 0.03], [0.03, 0.05]]), abs=0.006)
    assert found.days == pytest.approx(0.0025 * np.eye(2), abs=0.0003)


def test_a_mixture_of_normals_by_hand() -> None:
    spread = Spread(np.array([0.25, 0.75]), np.array([0.0, 1.0]), np.array([1.0, 1e-9]))
    assert spread.centre == 0.75
    assert spread.chance_above(0.5) == pytest.approx(0.75 + 0.25 * 0.30854, abs=1e-4)
    assert spread.quantile(0.1) == pytest.approx(-0.25335, abs=1e-4)  # 0.4 of the first normal


@pytest.fixture(scope="module")
def unchanged() -> list[Retested]:
    """A thousand players without any change, session effects on, the weakest of 12 cells retested."""
    return [retested(seed, study.prior(), again=60) for seed in range(1000)]


@pytest.mark.slow
def test_of_unchanged_players_few_are_said_to_have_changed(unchanged: list[Retested]) -> None:
    assert np.mean([each.chance_real >= REAL for each in unchanged]) <= 0.10
    assert np.mean([each.inside for each in unchanged]) == pytest.approx(0.9, abs=0.03)


@pytest.mark.slow
def test_the_retest_of_the_weakest_cell_is_foretold(unchanged: list[Retested]) -> None:
    off = np.mean([each.foretold - each.seen for each in unchanged])
    assert abs(off) <= 0.01
    assert np.mean([each.first - each.seen for each in unchanged]) < -0.1  # the first mean was mostly luck


@pytest.mark.slow
def test_without_shrinkage_luck_is_called_change() -> None:
    """Negative control."""
    bare = study.prior().without_sharing()
    seen = [retested(seed, bare, again=60, shrunk=False) for seed in range(300)]
    assert np.mean([each.chance_real >= REAL for each in seen]) > 0.10
    assert abs(np.mean([each.foretold - each.seen for each in seen])) > 0.05
