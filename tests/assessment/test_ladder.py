"""Ladders against closed forms, against the matrix of the chain, and against attempts played out."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.assessment.ladder import Ladder, OnMiss, uncertain_ladder
from rangework.assessment.ladder_report import GIVE_UP_BELOW, hardest, ladder_report, when_to_stop
from rangework.assessment.ladder_words import read_ladder_wish
from rangework.errors import InputError

CLOSED_FORMS = Path(__file__).parents[1] / "validation" / "published" / "closed_forms.csv"


def closed_form(check: str) -> dict[tuple[float, int], float]:
    """The worked values of one check by chance and rungs."""
    lines = [line for line in CLOSED_FORMS.read_text("utf-8").splitlines() if not line.startswith("#")]
    (worked,) = (row["worked_values"] for row in csv.DictReader(lines) if row["check"] == check)
    found = re.findall(r"p(\.\d+) [nN](\d+) (?:SD )?([\d.]+\d)", worked)
    return {(float(p), int(n)): float(value) for p, n, value in found}


def decimals(value: float) -> int:
    return len(f"{value}".partition(".")[2]) if value != int(value) else 0


@pytest.mark.parametrize(
    ("check", "on_miss", "values"),
    [
        ("ladder up 1 / down 1, floor holds at 0", OnMiss.DOWN, 6),
        ("trials to n successes in a row", OnMiss.START, 8),
    ],
)
def test_expected_balls_are_the_closed_forms(check: str, on_miss: OnMiss, values: int) -> None:
    worked = closed_form(check)
    assert len(worked) == values
    for (chance, rungs), balls in worked.items():
        found = Ladder([chance] * rungs, on_miss).odds().expected_balls
        assert found == pytest.approx(balls, abs=10.0 ** -decimals(balls)), (chance, rungs)


def test_the_spread_of_runs_is_the_closed_form() -> None:
    worked = closed_form("SD of that")
    assert len(worked) == 3
    for (chance, rungs), sd in worked.items():
        assert Ladder([chance] * rungs, OnMiss.START).odds().sd_balls == pytest.approx(sd, abs=0.001)


def test_runs_of_unlike_chances() -> None:
    """E = (1 + p1 + p1 p2 + ...) / prod p (closed_forms.csv)."""
    chances = [0.9, 0.75, 0.6, 0.4]
    along = np.cumprod([1.0, *chances])
    expected = along[:-1].sum() / along[-1]
    assert Ladder(chances, OnMiss.START).odds().expected_balls == pytest.approx(expected, rel=1e-12)


CHANCES = st.lists(st.floats(0.15, 1.0), min_size=1, max_size=9)


@given(CHANCES, st.sampled_from(OnMiss))
def test_moments_are_those_of_the_fundamental_matrix(chances: list[float], on_miss: OnMiss) -> None:
    """Kemeny & Snell 1960, theorem 3.3.5: N 1 and (2 N - I) N 1 - (N 1)^2."""
    moves = np.array(
        [
            [Ladder([p], on_miss).chance_within(0) for p in chances]  # zeros
            for _ in chances
        ]
    )
    for rung, chance in enumerate(chances):
        back = {OnMiss.DOWN: max(rung - 1, 0), OnMiss.START: 0, OnMiss.STAY: rung}[on_miss]
        moves[rung, back] += 1.0 - chance
        if rung + 1 < len(chances):
            moves[rung, rung + 1] += chance
    fundamental = np.linalg.inv(np.eye(len(chances)) - moves)
    steps = fundamental.sum(axis=1)
    variance = (2.0 * fundamental - np.eye(len(chances))) @ steps - steps**2
    odds = Ladder(chances, on_miss).odds()
    assert odds.expected_balls == pytest.approx(steps[0], rel=1e-8)
    assert odds.sd_balls**2 == pytest.approx(variance[0], rel=1e-6, abs=1e-6)


@given(CHANCES, st.sampled_from(OnMiss), st.floats(0.05, 0.99))
def test_the_cap_is_the_fewest_balls(chances: list[float], on_miss: OnMiss, share: float) -> None:
    ladder = Ladder(chances, on_miss)
    cap = ladder.cap_met_by(share)
    assert cap is not None
    assert ladder.chance_within(cap) >= share - 1e-12
    assert ladder.chance_within(cap - 1) < share + 1e-12
    assert cap >= len(chances)


def attempts(chances: list[float], on_miss: OnMiss, count: int, seed: int) -> np.ndarray:
    """Balls of attempts played out one by one, without any of the chain's arithmetic."""
    luck = np.random.default_rng(seed)
    balls = np.empty(count)
    for attempt in range(count):
        rung = hit = 0
        while rung < len(chances):
            hit += 1
            if luck.random() < chances[rung]:
                rung += 1
            elif on_miss is OnMiss.DOWN:
                rung = max(rung - 1, 0)
            elif on_miss is OnMiss.START:
                rung = 0
        balls[attempt] = hit
    return balls


@pytest.mark.parametrize("on_miss", OnMiss)
def test_attempts_played_out(on_miss: OnMiss) -> None:
    chances = [0.8, 0.7, 0.6, 0.75]
    played, ladder = attempts(chances, on_miss, 4000, seed=5), Ladder(chances, on_miss)
    odds = ladder.odds()
    error = odds.sd_balls / math.sqrt(len(played))
    assert abs(played.mean() - odds.expected_balls) < 3.0 * error
    assert abs(float((played <= 9).mean()) - ladder.chance_within(9)) < 3.0 * 0.5 / math.sqrt(len(played))
    # the check can fail: another rule's attempts are told apart
    other = OnMiss.STAY if on_miss is not OnMiss.STAY else OnMiss.DOWN
    assert abs(attempts(chances, other, 4000, seed=5).mean() - odds.expected_balls) > 3.0 * error


def test_doubt_about_the_chances_asks_for_more_balls() -> None:
    """Five rungs at 0.6: 23 balls if known, 28 if p ~ Beta(13.8, 9.2), 23 balls behind it."""
    assert Ladder([0.6] * 5, OnMiss.DOWN).odds().cap_for_80_percent == 23
    doubtful = uncertain_ladder([0.6] * 5, 23.0, OnMiss.DOWN)
    assert doubtful.odds().cap_for_80_percent == 28
    assert uncertain_ladder([0.6] * 5, 1e6, OnMiss.DOWN).odds().cap_for_80_percent == 23


def test_the_doubtful_ladder_is_the_mean_over_players() -> None:
    drawn = np.random.default_rng(2).beta(13.8, 9.2, 20_000)
    players = Ladder(np.repeat(drawn[:, None], 5, axis=1), OnMiss.DOWN)
    doubtful = uncertain_ladder([0.6] * 5, 23.0, OnMiss.DOWN)
    for balls in (5, 15, 28, 60):
        assert doubtful.chance_within(balls) == pytest.approx(players.chance_within(balls), abs=0.012)
    # exact: the integral of the closed form over the density, by scipy's quad
    assert doubtful.odds().expected_balls == pytest.approx(22.6487, abs=0.001)


def test_long_odds_keep_their_digits() -> None:
    odds = Ladder([0.001] * 50, OnMiss.DOWN).odds()
    assert odds.expected_balls == pytest.approx(9.5406687e149, rel=1e-6)
    assert odds.cap_for_80_percent is None
    assert Ladder([1.0] * 5, OnMiss.START).odds().cap_for_80_percent == 5


def test_stopping_rule_keeps_what_is_worth_going_on_with() -> None:
    ladder = Ladder([0.6] * 5, OnMiss.DOWN)
    for look in when_to_stop(ladder, 23):
        assert look.rung is not None
        assert ladder.chance_within(23 - look.balls, look.rung - 1) >= GIVE_UP_BELOW
        if look.rung > 1:
            assert ladder.chance_within(23 - look.balls, look.rung - 2) < GIVE_UP_BELOW


@pytest.mark.parametrize("on_miss", OnMiss)
def test_the_hardest_ladder_in_time_is_the_hardest(on_miss: OnMiss) -> None:
    found = hardest([0.6], on_miss, 24)
    assert Ladder([0.6] * found.rungs, on_miss).chance_within(24) >= 0.8
    assert Ladder([0.6] * (found.rungs + 1), on_miss).chance_within(24) < 0.8


def test_no_ladder_fits_into_no_time() -> None:
    assert hardest([0.1], OnMiss.DOWN, 1).rungs == 0
    report = ladder_report(read_ladder_wish(["0.1"], "3", minutes="0.5", seconds_a_ball="30"), OnMiss.DOWN)
    assert report.balls_in_time == 1


def test_every_fault_of_a_wish_is_told() -> None:
    with pytest.raises(InputError) as told:
        read_ladder_wish(["x", "1.2"], "5", cap="2.5", seen="-1", minutes="nan", seconds_a_ball="0")
    assert [problem.source for problem in told.value.problems] == [
        "--chance", "--chance", "--cap", "--seen", "--minutes", "--seconds-per-ball", "--rungs",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("chances", "rungs"), [([], None), (["0.5"], None), (["0.5"], "0"), (["0.5"], "51"), (["0"], "3")]
)
def test_wishes_that_make_no_ladder(chances: list[str], rungs: str | None) -> None:
    with pytest.raises(InputError):
        read_ladder_wish(chances, rungs)
