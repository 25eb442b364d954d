"""How far tests move what is assumed of a player's response, by what the response truly is.

Players come off the prior around handicap 12, hit 60 balls of one band on two days eight weeks apart, and log an hour
a week of practice in between.

Run ``python tests/assessment/response_study.py`` for the figures of docs/explanation/assessments.md.
"""

from __future__ import annotations

import sys
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.append(str(Path(__file__).parents[1] / "skill"))

from simulated_players import Days, SimulatedPlayer

from rangework.assessment.learning import Learned, learn
from rangework.assessment.part_tests import PartMeasure, part_measures
from rangework.assessment.practice_log import PracticeLog
from rangework.plan.response import responses_for
from rangework.records.shots import ShotRecords, from_frames
from rangework.skill.fit import make_prior
from rangework.skill.latents import N_LATENTS, golfer_from_latents
from rangework.skill.model import Golfer
from rangework.skill.parts import PART_IDS, improve
from rangework.skill.reference import reference_golfer

HANDICAP, WEEKS = 12.0, 8
FIRST = date(2026, 5, 1)
PARTS = ("approach_100_150.depth", "approach_100_150.direction")
TARGETS_YD = [105.0, 115.0, 125.0, 135.0, 145.0]


def one_hour_a_week(part: str, hours: float = 1.0) -> PracticeLog:
    """So many hours a week of a part between the tests."""
    each = hours * np.eye(len(PART_IDS))[PART_IDS.index(part)]
    return PracticeLog(
        tuple(FIRST + timedelta(days=7 * week + 1) for week in range(WEEKS)), np.tile(each, (WEEKS, 1))
    )


def tested(golfer: Golfer, seed: int, day: int, balls: int, days: Days) -> pd.DataFrame:
    """Balls of one test."""
    player = SimulatedPlayer(golfer, seed, days)
    frame = player.practice(TARGETS_YD, balls, 1, first_day=day)
    return frame.assign(purpose="test")


def measured(seed: int, *, steps: float, balls: int = 60, days: Days | None = None) -> list[PartMeasure]:
    """Measures of a player who gains so many steps of direction between two tests."""
    rng = np.random.default_rng([seed, 31])
    golfer = golfer_from_latents(rng.standard_normal(N_LATENTS), make_prior(HANDICAP))
    after = improve(golfer, PARTS[1], steps)
    frames = [
        tested(each, 1000 * seed + number, 7 * WEEKS * number, balls, days or Days())
        for number, each in enumerate((golfer, after))
    ]
    return part_measures(records_of(frames), reference_golfer(HANDICAP), 0.85)


def records_of(frames: list[pd.DataFrame]) -> ShotRecords:
    return from_frames({"aimed": pd.concat(frames, ignore_index=True)})


def learned(seed: int, *, steps: float = 0.0, balls: int = 60, days: Days | None = None) -> Learned:
    """What two tests teach of such a player."""
    log = one_hour_a_week(PARTS[1])
    return learn(responses_for(HANDICAP), measured(seed, steps=steps, balls=balls, days=days), log, seed=1)


def moved(found: Learned, part: str = PARTS[1]) -> float:
    """Most steps after the tests over most steps assumed."""
    own = next(each for each in found.parts if each.part == part)
    return own.most_steps.value / own.most_steps_before


def main() -> None:
    for balls in (60, 200, 2000):
        for steps in (0.0, 0.5, 2.0):
            ratio = np.array([moved(learned(seed, steps=steps, balls=balls)) for seed in range(60)])
            low, high = np.quantile(ratio, [0.05, 0.95])
            print(f"2 x {balls} balls, {steps} steps truly gained: most steps x {np.median(ratio):.3f} "
                  f"({low:.3f} to {high:.3f} for nine players of ten)", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
