from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from simulated_players import SimulatedPlayer

from rangework.records.shots import ShotRecords
from rangework.skill.balls_needed import balls_needed, gap_gradient
from rangework.skill.fit import fit_player
from rangework.skill.imagined_balls import BALL_KINDS, imagined_records
from rangework.skill.parts import PART_IDS
from rangework.skill.reference import reference_golfer

#: Strokes a round that one step of each part saves: of the size found for a 10-handicap golfer.
STROKES_SAVED = dict.fromkeys(PART_IDS, 0.05) | {
    "tee.carry": 0.25,
    "approach_150_200.depth": 0.25,
    "approach_150_200.direction": 0.30,
    "putt.line": 0.7,
    "putt.pace": 0.35,
}


@pytest.fixture(scope="module")
def player() -> SimulatedPlayer:
    return SimulatedPlayer(reference_golfer(10.0), 21)


@pytest.fixture(scope="module")
def records(player: SimulatedPlayer) -> ShotRecords:
    return player.records(
        aimed=player.practice([75.0, 90.0, 110.0, 130.0], 80, 3),
        putts=player.putts([3.0, 6.0, 10.0, 20.0, 30.0], 20, 1),
    )


@pytest.fixture(scope="module")
def posterior(records: ShotRecords):
    return fit_player(records, handicap=10.0, n_draws=600)


@pytest.mark.slow
def test_every_kind_narrows_the_interval_and_the_best_comes_first(posterior) -> None:
    needed = balls_needed(posterior, STROKES_SAVED)
    assert {need.kind for need in needed} == {kind.name for kind in BALL_KINDS}
    assert all(0.0 <= need.narrower < 1.0 for need in needed)
    assert [need.half_width_then for need in needed] == sorted(need.half_width_then for need in needed)


def test_more_balls_narrow_more(posterior) -> None:
    few, many = (
        {need.kind: need.narrower for need in balls_needed(posterior, STROKES_SAVED, balls=n)}
        for n in (30, 120)
    )
    assert all(many[kind] >= few[kind] for kind in few)


def _gap_sd(posterior, records: ShotRecords, seed: int) -> float:
    """Sd of the total gap under the records, with the strokes of ``posterior``'s parts."""
    fitted = fit_player(records, handicap=10.0, seed=seed, n_draws=600)
    return float((fitted.coordinates @ gap_gradient(posterior, STROKES_SAVED)).std())


def _with(
    records: ShotRecords, kind_name: str, balls: int, player: SimulatedPlayer, seed: int
) -> ShotRecords:
    """The records with ``balls`` really added, 30 a session, hit by the true player."""
    kind = next(kind for kind in BALL_KINDS if kind.name == kind_name)
    rng = np.random.default_rng(seed)
    more = [imagined_records(player.golfer, kind, 30, rng, spread=0.85) for _ in range(balls // 30)]
    for day, part in enumerate(more):
        part.aimed["date"] += np.timedelta64(day, "D")
        part.putts["date"] += np.timedelta64(day, "D")
    return ShotRecords(
        pd.concat([records.aimed, *(part.aimed for part in more)], ignore_index=True),
        pd.concat([records.putts, *(part.putts for part in more)], ignore_index=True),
        records.log,
    )


@pytest.mark.slow
def test_balls_of_the_best_kind_narrow_the_gap_more_than_the_same_elsewhere(
    posterior, records, player
) -> None:
    needed = balls_needed(posterior, STROKES_SAVED, balls=240)
    best, middle, worst = needed[0].kind, needed[len(needed) // 2].kind, needed[-1].kind
    sds = {
        kind: np.mean(
            [_gap_sd(posterior, _with(records, kind, 240, player, seed), seed) for seed in range(3)]
        )
        for kind in (best, middle, worst)
    }
    assert sds[best] < sds[middle]
    assert sds[best] < sds[worst]
    assert sds[best] == pytest.approx(needed[0].half_width_then / 1.645, rel=0.2)


def test_left_handers_need_the_same_balls(records, posterior) -> None:
    from rangework.records.profile import PlayerProfile

    aimed = records.aimed.assign(right_m=-records.aimed["right_m"])
    putts = records.putts.assign(right_m=-records.putts["right_m"])
    profile = PlayerProfile(hand="left")
    left = fit_player(ShotRecords(aimed, putts, records.log), handicap=10.0, profile=profile, n_draws=600)
    assert balls_needed(left, STROKES_SAVED) == balls_needed(posterior, STROKES_SAVED)


def test_a_bias_of_nothing_has_no_gradient(posterior) -> None:
    still = replace(posterior, latents=posterior.latents * 0.0)
    gradient = gap_gradient(still, {"tee.bias": 1.0})
    assert not gradient.any()
