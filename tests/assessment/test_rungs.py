"""Rungs of a player: zones as written, and chances beside balls hit one by one."""

from __future__ import annotations

import numpy as np
import pytest

from rangework.assessment.ladder import OnMiss
from rangework.assessment.ladder_report import player_ladder_report
from rangework.assessment.ladder_words import read_ladder_wish
from rangework.assessment.rungs import Rung, RungChances, read_rungs
from rangework.errors import InputError
from rangework.lie import Lie
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player
from rangework.skill.imagined_balls import BallKind, imagined_records
from rangework.skill.posterior import Posterior
from rangework.skill.reference import reference_golfer
from rangework.units import FOOT_M, YARD_M

PITCH = Rung(Lie.FAIRWAY, 30.0 * YARD_M, 10.0 * YARD_M, 10.0 * YARD_M)
PUTT = Rung(Lie.GREEN, 6.0 * FOOT_M)


@pytest.fixture(scope="module")
def posterior() -> Posterior:
    kind = BallKind("pitch", "short_game_area", Lie.FAIRWAY, (25.0, 35.0, 45.0))
    balls = imagined_records(reference_golfer(12.0), kind, 40, np.random.default_rng(3))
    records = ShotRecords(balls.aimed, ShotRecords.empty().putts, ShotRecords.empty().log)
    return fit_player(records, profile=PlayerProfile(handicap=12.0))


@pytest.fixture(scope="module")
def climbers(posterior: Posterior) -> RungChances:
    return RungChances(posterior, [PITCH, PUTT, Rung(Lie.FAIRWAY, 90.0 * YARD_M, 20.0, 30.0, False)], seed=1)


def test_rungs_as_they_are_written() -> None:
    circle, box, putt = read_rungs(["fairway,100,12", "rough, 40, 8x12", "green,6"], "yards")
    assert circle == Rung(Lie.FAIRWAY, 100 * YARD_M, 24 * YARD_M, 24 * YARD_M)
    assert box == Rung(Lie.ROUGH, 40 * YARD_M, 8 * YARD_M, 12 * YARD_M, False)
    assert putt == Rung(Lie.GREEN, 6 * FOOT_M)
    assert read_rungs(["sand,20,4"], "metres")[0].deep_m == 8.0


def test_every_fault_of_rungs_is_told() -> None:
    wrong = ["tee,100,12", "fairway,100", "green,6,3", "fairway,x,3", "fairway,100,0", "fairway,9999,3", ""]
    with pytest.raises(InputError) as told:
        read_rungs(["fairway,100,12", *wrong], "yards")
    assert [problem.value for problem in told.value.problems] == wrong


def test_zones() -> None:
    circle, box = Rung(Lie.FAIRWAY, 50.0, 10.0, 20.0), Rung(Lie.FAIRWAY, 50.0, 10.0, 20.0, False)
    long, right = np.array([0.0, 9.9, 9.9, 10.1]), np.array([4.9, 0.0, 4.9, 0.0])
    assert circle.made(long, right).tolist() == [True, True, False, False]
    assert box.made(long, right).tolist() == [True, True, True, False]


def test_chances_are_the_share_of_balls_that_finish_there(
    posterior: Posterior, climbers: RungChances
) -> None:
    """Balls of the fit's draws, hit one by one without any of the rungs' arithmetic; days widen them a little."""
    luck = np.random.default_rng(5)
    kind = BallKind("pitch", "short_game_area", Lie.FAIRWAY, (30.0,))
    hit = [imagined_records(golfer, kind, 120, luck).aimed for golfer in posterior.draws(40)]
    long, right = (np.concatenate([each[name] for each in hit]) for name in ("long_m", "right_m"))
    made = float((np.hypot(long, right) <= 5.0 * YARD_M).mean())
    found = climbers.chances().mean(axis=0)
    assert found[0] == pytest.approx(made, abs=0.03)
    assert abs(climbers.chances(1.2).mean(axis=0)[0] - made) > 0.03  # zones a fifth larger are told apart
    assert 0.3 < found[1] < 0.7


def test_smaller_zones_make_harder_ladders(climbers: RungChances) -> None:
    balls = [
        climbers.ladder(OnMiss.DOWN, scale).odds().cap_for_80_percent or 10**6 for scale in (0.6, 1.0, 1.4)
    ]
    assert balls[0] > balls[1] > balls[2]
    scale = climbers.smallest_zones(OnMiss.DOWN, balls[1])
    assert scale is not None
    assert scale <= 1.0
    assert climbers.smallest_zones(OnMiss.DOWN, 2) is None


def test_doubt_and_days_ask_for_more_balls(climbers: RungChances) -> None:
    wish = read_ladder_wish([], None, minutes="12", cap="20", of_player=True)
    report = player_ladder_report(wish, climbers, OnMiss.DOWN)
    assert report.uncertain is not None
    assert (report.uncertain.cap_for_80_percent or 0) >= (report.odds.cap_for_80_percent or 0)
    for chance, (low, high) in zip(report.chances, report.ranges, strict=True):
        assert low < chance < high
    with pytest.raises(InputError, match="nothing beside --rung"):
        read_ladder_wish(["0.5"], "3", seen="20", of_player=True)
