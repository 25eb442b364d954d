"""A trial tells a difference that is there, none that is not, and scores without the lots."""

from __future__ import annotations

import inspect

import numpy as np
import pandas as pd
import pytest

from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords, from_frames, make_frame
from rangework.roster.trial_result import compare, difference, gain, split, steps_between, with_pair
from rangework.store.trials import Assignment


def lots(n: int) -> list[Assignment]:
    drills = ("a", "b")
    return [Assignment(i, "2026-06-01", 8.0, "a", "b", drills[i % 2], 1.0, 0) for i in range(n)]


@pytest.mark.parametrize(("effect", "found"), [(0.6, (0.95, 1.0)), (0.0, (0.04, 0.17))])
def test_power_and_false_alarms(effect: float, found: tuple[float, float]) -> None:
    """At no effect (the negative control) the 90 % interval leaves out 0 about once in ten."""
    told = 0
    for seed in range(200):
        rng = np.random.default_rng(seed)
        gains = {i: float(0.3 * rng.standard_normal() + (effect if i % 2 == 0 else 0.0)) for i in range(24)}
        result = compare(lots(24), gains, {})
        assert result.difference is not None
        assert result.difference.low is not None
        assert result.difference.high is not None
        told += not result.difference.low <= 0.0 <= result.difference.high
    assert found[0] <= told / 200 <= found[1]


def test_too_few_say_nothing() -> None:
    result = compare(lots(6), {0: 1.0, 1: 1.0, 2: None, 4: 0.5, 3: 0.1, 5: 0.2}, {0: 2.0, 2: 1.0})
    assert result.difference is None
    assert (result.first.drawn, result.first.tested, result.first.hours) == (3, 2, 3.0)
    assert result.first.gained is None
    assert difference([1.0, 2.0], [1.0, 2.0, 3.0]) is None


def test_trials_of_other_days_and_drills_stand_apart() -> None:
    later = [Assignment(1, "2026-09-01", 8.0, "a", "b", "a", 1.0, 0)]
    assert [len(each) for each in with_pair([*lots(4), *later])] == [4, 1]


def test_scoring_cannot_know_the_lot() -> None:
    assert "assigned" not in inspect.signature(gain).parameters
    assert "drill" not in " ".join(inspect.signature(gain).parameters)


def putts(seed: int, wider: float) -> pd.DataFrame:
    """Putts of 8 ft that finish about the hole, measured."""
    rng = np.random.default_rng(seed)
    n = 150
    return make_frame(
        "putts",
        {
            "session": ["s"] * n, "place": ["putting_green"] * n, "target_m": np.full(n, 9.0),
            "holed": np.zeros(n, bool),
            "long_m": 0.4 + wider * rng.standard_normal(n), "right_m": 0.5 * wider * rng.standard_normal(n),
            "purpose": ["test"] * n, "ball": [""] * n, "source": ["f"] * n, "row": np.arange(n),
            "date": np.full(n, np.datetime64("2026-05-01", "s")),
        },
    )  # fmt: skip


@pytest.mark.slow
def test_a_narrower_retest_is_a_gain() -> None:
    before, after = putts(1, 1.2), putts(2, 0.8)
    after["date"] = np.datetime64("2026-07-20", "s")
    records = from_frames({"putts": pd.concat([before, after], ignore_index=True)})
    sides = split(records, "2026-06-01", 8.0)
    assert [len(side.putts) for side in sides] == [150, 150]
    worths = {"putt.pace": 0.5}
    gained = gain(records, PlayerProfile(handicap=12.0), "2026-06-01", 8.0, worths, 0)
    assert gained is not None
    assert gained > 0.3
    assert gain(ShotRecords.empty(), PlayerProfile(), "2026-06-01", 8.0, worths, 0) is None


def test_steps() -> None:
    assert steps_between("putt.line", 1.0, 0.9) == pytest.approx(1.0)
    assert steps_between("tee.carry", 200.0, 205.0) == pytest.approx(1.0)
    assert steps_between("tee.bias", 2.0, 1.0) == 0.0
