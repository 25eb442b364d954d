"""Shots that a course asks for: counted from rounds, by distance and lie, the same for eighteen holes."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.lie import Lie
from rangework.plan.week.rehearsing import asked_more, balls_of_ten, putt_here_m, right_of
from rangework.play.logbook import LoggedStroke
from rangework.play.shots_asked import AskedShots, _kinds, _kinds_of


def names_of(lie: Lie, to_hole_m: float, par: int = 4) -> list[str]:
    kinds = _kinds("m")
    stroke = LoggedStroke(1, 1, 2, lie, to_hole_m, Lie.GREEN, 5.0, 0)
    return [kinds[index].name for index in _kinds_of(stroke, par, 1.0)]


def test_every_stroke_off_the_green_counts_once_and_rough_also_by_its_distance() -> None:
    assert names_of(Lie.TEE, 350.0) == ["tee shots of par 4s and 5s"]
    assert names_of(Lie.TEE, 151.0, par=3) == ["150-170 m"]
    assert names_of(Lie.FAIRWAY, 50.0) == ["50-70 m"]
    assert names_of(Lie.FAIRWAY, 229.9) == ["210-230 m"]
    assert names_of(Lie.FAIRWAY, 230.0) == ["more than 230 m"]
    assert names_of(Lie.ROUGH, 120.0) == ["110-130 m", "full shots from rough"]
    assert names_of(Lie.RECOVERY, 120.0) == ["shots from among trees"]
    assert names_of(Lie.SAND, 20.0) == ["greenside bunker shots"]
    assert names_of(Lie.SAND, 120.0) == ["110-130 m"]
    assert names_of(Lie.ROUGH, 30.0) == ["pitches, 20-50 m"]
    assert names_of(Lie.FAIRWAY, 19.0) == ["chips under 20 m"]
    assert names_of(Lie.GREEN, 5.0) == names_of(Lie.FRINGE, 5.0) == []


def asked(*counts: float) -> list[AskedShots]:
    return [
        AskedShots(f"{n}0-{n}9 yd", True, n, n + 1, count, 0.1) for n, count in enumerate(counts, start=1)
    ]


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
