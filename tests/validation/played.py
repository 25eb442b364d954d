"""Rounds of reference golfers that the sections share: each golfer is solved once on each course."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import NamedTuple

import numpy as np
from comparison import Effort
from numpy.typing import NDArray
from simulated_shots import drives

from rangework.course.standard_hole import standard_hole
from rangework.play.kernels import Player
from rangework.play.lattice import Layout, lay_out
from rangework.play.rounds import PENALTIES, PUTTS, RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.reference import Group, reference_golfer, tour_golfer
from rangework.units import YARD_M

FloatArray = NDArray[np.float64]


class Level(NamedTuple):
    """A reference golfer: of a handicap index, or of the tour (None)."""

    index: float | None
    group: Group = "men"

    @property
    def name(self) -> str:
        return "tour" if self.index is None else f"{self.index:g}"

    @property
    def golfer(self) -> Golfer:
        return tour_golfer(self.group) if self.index is None else reference_golfer(self.index, self.group)


TOUR = Level(None)
#: Lengths (yd) of the par 3s, 4s and 5s of par-72 courses of standard holes. Common practice, no source: a course of
#: the tour; one of 6,400-6,800 yd with par 3s of 150-190, par 4s of 360-420 and par 5s of 500-540 yd; and forward tees.
COURSES: dict[str, tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]] = {
    "long": (
        (165, 185, 205, 220),
        (360, 390, 405, 420, 430, 440, 450, 455, 460, 465),
        (520, 540, 560, 590),
    ),
    "middle": (
        (145, 160, 175, 190),
        (330, 350, 365, 375, 385, 395, 400, 410, 420, 435),
        (490, 505, 520, 540),
    ),
    "forward": (
        (105, 120, 135, 150),
        (270, 285, 300, 310, 320, 330, 335, 340, 350, 360),
        (405, 415, 430, 445),
    ),
}
#: The long course with two standard holes of every length: for averages of a whole season.
COURSES["season"] = COURSES["long"]
COPIES = {"season": 2}


def length_yd(course: str) -> int:
    return sum(sum(lengths) for lengths in COURSES[course])


@cache
def layouts(course: str, quick: bool) -> list[Layout]:
    """Standard holes of every length of a course; one of every second length, nine holes, when quick."""
    step = 2 if quick else 1
    parred = zip((3, 4, 5), COURSES[course], strict=True)
    holes = [(par, yards) for par, lengths in parred for yards in lengths[::step]]
    laid = []
    for number, (par, yards) in enumerate(holes * (1 if quick else COPIES.get(course, 1))):
        grid = replace(standard_hole(yards * YARD_M, seed=number), number=number, par=par)
        laid.append(lay_out(grid, coarse_step_m=10.0, fine_step_m=4.0))
    return laid


@dataclass(frozen=True)
class Played:
    """A golfer's strategies on a course, and rounds of all its holes: nine when quick, thirty-six of a season."""

    golfer: Golfer
    player: Player
    strategies: list[Strategy]
    sample: RoundSample

    @property
    def eighteens(self) -> float:
        """How many times eighteen holes a round of the sample is."""
        return len(self.strategies) / 18

    @property
    def mean(self) -> float:
        """Mean score of eighteen holes."""
        return self.sample.mean / self.eighteens

    @property
    def scores(self) -> FloatArray:
        """Scores of eighteen holes; nine holes are played twice, thirty-six make two rounds."""
        strokes = self.sample.strokes.astype(np.float64).reshape(-1, min(18, len(self.strategies)))
        return np.asarray(strokes.sum(axis=1).reshape(-1, 18 // strokes.shape[1]).sum(axis=1))

    @property
    def gained(self) -> FloatArray:
        """Strokes gained by group (``rounds.GROUPS``) over eighteen holes."""
        return self.sample.gained / self.eighteens


def play_golfer(golfer: Golfer, course: str, effort: Effort, *, against: Played | None = None) -> Played:
    """Solve and play a course; strokes gained are counted on ``against``, which has played the same."""
    laid = layouts(course, effort.quick)
    player = compile_player(golfer)
    strategies = solve_course(laid, player, threads=effort.threads)
    sample = play_rounds(
        strategies, player, effort.of(10_000, 4_000), threads=effort.threads,
        against=against.strategies if against else None, against_player=against.player if against else None,
    )  # fmt: skip
    return Played(golfer, player, strategies, sample)


@cache
def played(level: Level, course: str, effort: Effort) -> Played:
    """A reference golfer's rounds; strokes gained are counted on the tour golfer's of the group."""
    best = Level(None, level.group)
    against = None if level == best else played(best, course, effort)
    return play_golfer(level.golfer, course, effort, against=against)


#: Indices whose average scores are known; those between them are interpolated.
LADDER: dict[Group, tuple[float, ...]] = {
    "men": (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0),
    "women": (0.0, 10.0, 20.0, 30.0, 36.0),
}
QUICK_LADDER: dict[Group, tuple[float, ...]] = {"men": (0.0, 10.0, 20.0, 36.0), "women": (0.0, 20.0)}


def ladder(effort: Effort, group: Group = "men") -> list[Level]:
    return [Level(index, group) for index in effort.of(LADDER[group], QUICK_LADDER[group])]


def level_of_score(score: float, effort: Effort) -> Level:
    """The men's reference golfer whose average is ``score`` on the middle course, to a tenth of the index."""
    levels = ladder(effort)
    means = [played(level, "middle", effort).mean for level in levels]
    index = float(np.interp(score, means, [level.index or 0.0 for level in levels]))
    return Level(round(index, 1))


def averages(rounds: Played) -> dict[str, float]:
    """Per 18 holes; shares in per cent, the mean drive in yards."""
    sample = rounds.sample
    putts = sample.by_family[:, :, PUTTS]
    missed, fives = ~sample.green_hit, sample.par == 5
    drive = drives(rounds.golfer, shots=20_000)
    return {
        "score": rounds.mean,
        "sd": float(rounds.scores.std()),
        "greens": 100 * float(sample.green_hit.mean()),
        "fairways": 100 * float(sample.fairway_hit[:, sample.par > 3].mean()),
        "putts": float(putts.mean() * 18),
        "three-putts": float((putts >= 3).mean() * 18),
        "scrambling": 100 * float((sample.strokes <= sample.par)[missed].mean()),
        "penalties": float(sample.by_family[:, :, PENALTIES].mean() * 18),
        "one-putts of holes": 100 * float((putts == 1).mean()),
        "score of a par 5": float(sample.strokes[:, fives].mean()),
        "drive": float(drive.on_m.mean() / YARD_M),
    }
