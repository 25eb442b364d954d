"""The simulated season: practice does what it is said to do, no way is favoured, and the page tells the numbers."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.append(str(Path(__file__).parents[2] / "benchmarks" / "season"))
from members import PERIOD_WEEKS, Member, member, recorded, together
from page import MENDS, WORDS, covered, page, saved, share_closed, verdict
from practice import Trained
from ways import EVERY_PERIOD, ONCE, RECORDS_AT_FIRST, SEASON_WEEKS, WEEK_HOURS, week_limits, within_swings

from rangework.plan.drills import drill_catalogue, shares
from rangework.plan.returns import net_steps
from season import PERIODS, Season, academy

DRILLS = len(drill_catalogue())


@pytest.fixture(scope="module")
def golfer() -> Member:
    return member(3)


def trained(golfer: Member, weekly: np.ndarray) -> np.ndarray:
    now = Trained.at_the_start()
    for _ in range(PERIODS):
        now = now.after(golfer, weekly, PERIOD_WEEKS)
    return now.steps(golfer)


def test_the_same_hours_all_season_do_what_the_plan_reckons(golfer: Member) -> None:
    weekly = np.full(DRILLS, WEEK_HOURS / DRILLS)
    reckoned = net_steps(weekly @ shares(golfer.drills), golfer.responses, SEASON_WEEKS)[0]
    kept_up = weekly @ shares(golfer.drills) >= golfer.responses.maintenance_hours_per_week
    assert trained(golfer, weekly)[kept_up] == pytest.approx(reckoned[kept_up])
    nothing = np.zeros(DRILLS)
    assert trained(golfer, nothing) == pytest.approx(
        net_steps(np.zeros(24), golfer.responses, SEASON_WEEKS)[0]
    )


def test_a_useless_drill_does_nothing() -> None:
    golfer = member(3)
    useless = [drill for drill in golfer.drills if not any(drill.trains.values())]
    assert useless
    weekly = np.array([5.0 if drill is useless[0] else 0.0 for drill in golfer.drills])
    assert trained(golfer, weekly) == pytest.approx(trained(golfer, np.zeros(DRILLS)))
    works = replace(golfer, drills=drill_catalogue())
    assert trained(works, weekly).max() > trained(golfer, weekly).max()


def test_members_differ_and_are_the_same_every_time() -> None:
    assert member(3).golfer.driver_m == member(3).golfer.driver_m
    assert {member(seed).group for seed in (1, 2)} == {"men", "women"}
    assert len({member(seed).stated for seed in range(1, 6)}) == 5


def test_records_of_two_periods_stay_apart(golfer: Member) -> None:
    first, second = (recorded(golfer, golfer.golfer, period, 2.0) for period in (0, 1))
    both = together([first, second])
    assert len(both.aimed) == len(first.aimed) + len(second.aimed)
    assert set(first.log["round"]).isdisjoint(second.log["round"])
    assert set(first.aimed["session"]).isdisjoint(second.aimed["session"])
    assert first.aimed["date"].max() < second.aimed["date"].min()


@pytest.mark.parametrize(
    "weights", [np.ones(DRILLS), np.eye(DRILLS)[0], np.eye(DRILLS)[-1], np.zeros(DRILLS)]
)
def test_no_rule_of_thumb_swings_more_than_is_safe(weights: np.ndarray) -> None:
    hours = within_swings(weights)
    swings = np.array([drill.full_swings_per_hour for drill in drill_catalogue()])
    assert hours @ swings <= week_limits().full_swings_per_week + 1e-9
    assert hours.sum() <= WEEK_HOURS + 1e-9
    assert (hours >= 0.0).all()


def made_up(seed: int) -> Season:
    amounts = dict.fromkeys([*WORDS, *MENDS], 0.2 * seed) | {
        "oracle": 2.0 + seed,
        "equal split": 1.0,
        "plan": 1.5 + 0.5 * seed,
    }
    return Season(
        seed,
        4.0 + 6.0 * seed,
        5.0,
        "men",
        (60, 90, 120)[seed % 3],
        90.0,
        amounts,
        (1.0, 0.3, 2.0),
        {},
        1.0,
        50.0,
    )


def test_the_share_of_the_gap_is_that_of_all_members() -> None:
    seasons = [made_up(seed) for seed in range(4)]
    assert share_closed(seasons, "oracle") == (1.0, 0.0)
    assert share_closed(seasons, "equal split") == (0.0, 0.0)
    share, error = share_closed(seasons, "plan")
    assert share == pytest.approx((0.5 + 1.0 + 1.5 + 2.0) / (1.0 + 2.0 + 3.0 + 4.0))
    assert error == pytest.approx(0.0, abs=1e-12)  # a half of everybody's gap
    assert covered(seasons) == 0.5


def test_the_page_tells_every_way() -> None:
    text = page([made_up(seed) for seed in range(4)], "a command")
    assert all(words in text for words in [*WORDS.values(), *MENDS.values()])
    assert "$" not in text
    assert "a command" in text


def test_the_page_says_whether_the_goal_was_met() -> None:
    seasons = [made_up(seed) for seed in range(4)]
    assert "missed by" in verdict(seasons)
    assert "fewer strokes than equal split in: better than 8, 8 to 18" in verdict(seasons)
    best = [replace(each, saved={**each.saved, "learned plan": each.saved["oracle"]}) for each in seasons]
    assert "met" in verdict(best)
    assert "in every level band" in verdict(best)


def test_every_way_has_its_words() -> None:
    assert set(WORDS) == {*EVERY_PERIOD, *ONCE}
    assert set(MENDS) == set(RECORDS_AT_FIRST)


@pytest.mark.slow
def test_a_season_of_four() -> None:
    """Few ways, for the time it takes; one member is planned anew from retests."""
    few = ("oracle", "plan kept", "equal split", "no practice")
    seasons = [*academy([1], 1, (*few, "learned plan")), *academy(range(2, 5), 1, few)]
    assert set(seasons[0].saved) == {*few, "learned plan"}
    assert saved(seasons, "oracle").mean() > saved(seasons, "plan kept").mean()
    assert saved(seasons, "oracle").mean() > saved(seasons, "equal split").mean()
    assert (saved(seasons, "no practice") < 0.0).all()
    assert (
        seasons[0].saved["no practice"] < seasons[0].saved["learned plan"] < seasons[0].saved["oracle"] + 0.05
    )
    assert all(each.aiming > 0.0 for each in seasons)
