"""Shots that a course asks for: counted from rounds, by distance and lie, the same for eighteen holes."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.lie import Lie
from rangework.plan.week.rehearsing import asked_more, balls_of_ten, putt_here_m, right_of
from rangework.play.asked_kinds import AskedKind, _kinds, round_of
from rangework.play.asked_shots import AskedShots


def kinds_of(lie: Lie, target_m: float, par: int = 4) -> list[str]:
    shot = AskedShots(
        1, np.array([1]), np.array([lie]), np.array([target_m]), np.array([target_m]), np.array([False])
    )
    return [name for name, _, _, members in _kinds(shot, {1: par}, "m") if members[0]]


def test_every_shot_counts_once_and_full_ones_from_rough_also_by_their_distance() -> None:
    assert kinds_of(Lie.TEE, 220.0) == ["tee shots of par 4s and 5s"]
    assert kinds_of(Lie.TEE, 151.0, par=3) == ["150-170 m"]
    assert kinds_of(Lie.FAIRWAY, 50.0) == ["50-70 m"]
    assert kinds_of(Lie.FAIRWAY, 229.9) == ["210-230 m"]
    assert kinds_of(Lie.FAIRWAY, 230.0) == ["more than 230 m"]
    assert kinds_of(Lie.ROUGH, 120.0) == ["110-130 m", "full shots from rough"]
    assert kinds_of(Lie.RECOVERY, 120.0) == ["shots from among trees"]
    assert kinds_of(Lie.SAND, 20.0) == ["greenside bunker shots"]
    assert kinds_of(Lie.SAND, 120.0) == ["110-130 m"]
    assert kinds_of(Lie.ROUGH, 30.0) == ["pitches, 20-50 m"]
    assert kinds_of(Lie.FAIRWAY, 19.0) == ["chips under 20 m"]


def test_rounds_are_told_apart_by_their_first_hole() -> None:
    hole = np.array([1, 1, 2, 3, 1, 2, 2, 3, 1])
    shots = AskedShots(3, hole, hole, hole * 1.0, hole * 1.0, hole > 5)
    assert round_of(shots).tolist() == [0, 0, 0, 0, 1, 1, 1, 1, 2]


def asked(*counts: float) -> list[AskedKind]:
    return [AskedKind(f"{n}0-{n}9 yd", True, n, n + 1, count, 0.1) for n, count in enumerate(counts, start=1)]


def test_only_sure_differences_are_told() -> None:
    more = asked_more(asked(2.0, 1.0, 1.05, 0.2, 3.0), asked(1.0, 2.0, 1.0, 0.0, 2.8))
    assert [each.name for each in more] == ["10-19 yd", "20-29 yd"]
    assert [each.ratio for each in more] == [2.0, 0.5]
    assert more[0].low > 1.0 > more[1].high


def test_ten_balls_are_shared_like_the_shots() -> None:
    balls = balls_of_ten(asked(14.0, 2.0, 4.0, 0.0))
    assert sum(count for _, count in balls) == 10
    assert balls == [("10-19 yd", 7), ("30-39 yd", 2), ("20-29 yd", 1)]
    assert balls_of_ten(asked(0.0)) == []


def test_lengths_rolled_at_one_speed_are_as_the_readings() -> None:
    """A stimpmeter lets balls go at 1.83 m/s (USGA): friction from the reading, then the roll at any speed."""
    release, foot = 1.83, 0.3048
    friction_here, friction_there = (release**2 / (2 * reading * foot) for reading in (9.0, 10.5))
    speed = np.sqrt(2 * friction_there * 6.0)
    assert putt_here_m(6.0, 9.0, 10.5) == pytest.approx(speed**2 / (2 * friction_here))


def test_right_of_a_line_with_a_corner() -> None:
    line = np.array([[0.0, 0.0], [0.0, 100.0], [-100.0, 200.0]])
    assert right_of(line, (7.0, 50.0)) == pytest.approx(7.0)
    assert right_of(line, (-7.0, 50.0)) == pytest.approx(-7.0)
    assert right_of(line, (-50.0 + 5.0, 150.0 + 5.0)) == pytest.approx(np.hypot(5.0, 5.0))
