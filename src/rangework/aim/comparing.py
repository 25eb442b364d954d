"""Targets compared for one shot: what each costs and risks, and which differences the records support."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rangework.aim.best import best_target
from rangework.aim.landing import ShotChances, shot_chances
from rangework.aim.objectives import BestChance, FewestStrokes, Objective, plausible_values
from rangework.aim.playing_on import PlayedOn, play_on
from rangework.aim.targets import Aiming, Shot, Target, same_shot
from rangework.aim.values import AimPoints, FloatArray, best_height, mean_value
from rangework.estimate import Estimate
from rangework.play.strategy import Strategy
from rangework.skill.model import Golfer

#: Differences smaller than this, in strokes or as a share of holes, are none to a player, and hardly more than the
#: strategy's own error (sources.toml: assumption.aim.real_difference).
SMALLEST = 0.01
#: Share of the plausible players that must agree on which of two targets costs less.
AGREEING = 0.98
#: Holes played on for each target.
ROUNDS = 400_000
DIFFERENCE_BASIS = "assumption.aim.real_difference"


@dataclass(frozen=True, slots=True)
class Difference:
    """What one target costs more than another, with its 90 % range over plausible players.

    ``chance`` is the share of plausible players for whom the first costs less, ``agreeing`` the share who agree
    with the player in the middle on which does.
    """

    amount: Estimate
    chance: float
    agreeing: float

    @property
    def is_real(self) -> bool:
        """Whether the records support it: nearly all plausible players agree, and it is not too small to matter."""
        return abs(self.amount.value) >= SMALLEST and self.agreeing >= AGREEING


@dataclass(frozen=True, slots=True)
class Choice:
    """A target, its shot, and what comes of it.

    ``strokes``: expected on the rest of the hole, with ``standard_error`` the Monte Carlo error; ``scores``: chances
    of birdie or better, par, bogey, double bogey or worse on the whole hole; ``finish``: of this one shot.
    ``distance_m`` is how far the target is, ``plays_m`` how far it plays (in calm neutral air on level ground) and
    ``carry_m`` what a solid shot at it flies, ``calm_carry_m`` what the same shot flies in calm. ``reached`` is the
    chance of the score that is aimed for, None where the fewest strokes are.
    """

    target: Target
    shot: Shot
    distance_m: float
    carry_m: float
    plays_m: float
    calm_carry_m: float
    strokes: Estimate
    standard_error: float
    scores: tuple[float, float, float, float]
    finish: ShotChances
    reached: Estimate | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Values:
    """What is made small, by choice; and ``draws[draw, choice]`` for plausible players."""

    means: FloatArray
    draws: FloatArray

    def estimate(self, choice: int, unit: str, basis: str) -> Estimate:
        """One choice's value with its 90 % range."""
        return _ranged(float(self.means[choice]), self.draws[:, choice], unit, basis)


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Named choices in the order given, then the best of all unless it is one of them.

    ``best`` is its place among ``choices``. Differences are in ``unit``: strokes, or the share of holes on which the
    score is missed. ``rounds``: holes played for each choice.
    """

    aiming: Aiming
    choices: tuple[Choice, ...]
    best: int
    values: Values
    unit: str
    rounds: int
    basis: str

    def difference(self, first: int, second: int) -> Difference:
        """What choice ``first`` costs more than choice ``second``."""
        draws = self.values.draws[:, first] - self.values.draws[:, second]
        amount = float(self.values.means[first] - self.values.means[second])
        basis = f"{self.basis}+{DIFFERENCE_BASIS}"
        cheaper, dearer = (_share(draws < 0.0), _share(draws > 0.0))
        agreeing = cheaper if amount < 0.0 else dearer
        return Difference(_ranged(amount, draws, self.unit, basis), cheaper, agreeing)


def _share(which: NDArray[np.bool_]) -> float:
    return float(which.mean()) if len(which) else float("nan")


def _ranged(value: float, draws: FloatArray, unit: str, basis: str) -> Estimate:
    if not len(draws):
        return Estimate(value, None, None, unit, basis)
    low, high = (float(end) for end in np.quantile(draws, [0.05, 0.95]))
    return Estimate(value, low, high, unit, basis)


def compare_targets(
    strategy: Strategy,
    golfer: Golfer,
    aiming: Aiming,
    targets: Sequence[Target],
    *,
    strokes_left: int | None = None,
    draws: Sequence[Golfer] = (),
    rounds: int = ROUNDS,
    seed: int = 0,
    threads: int = 2,
    unit_m: float = 1.0,
    basis: str,
    points: AimPoints | None = None,
    progress: Callable[[], None] | None = None,
) -> Comparison:
    """Compare ``targets``, all within reach, and the best of all, for ``golfer`` whose ``strategy`` it is.

    The best has the fewest expected strokes or, with ``strokes_left``, the largest chance to hole out within them;
    it is told in whole units of ``unit_m`` metres. ``draws`` are plausible players for the ranges. What luck does not
    decide is computed without any; the level of the strokes and the chances of scores come from playing on.
    """
    points = points or AimPoints.usual()
    fewest = FewestStrokes(strategy, aiming)
    objective: Objective = BestChance(strategy, aiming, strokes_left) if strokes_left else fewest
    shots = [best_height(objective.own, aiming.place(t), points.search, t.height) for t in targets]
    best, best_shot = best_target(objective.own, targets, points, unit_m)
    if not any(same_shot(shot, best_shot, unit_m) for shot in shots):
        targets, shots = [*targets, best], [*shots, best_shot]

    def values(of: Objective) -> Values:
        return _values(of, golfer, draws, shots, points, threads, progress)

    played = [
        play_on(strategy, aiming.player, aiming.ball, shot, rounds, seed=seed, threads=threads)
        for shot in shots
    ]
    strokes = _levelled(values(fewest), played)
    compared = values(objective) if strokes_left else strokes
    return _told(aiming, targets, shots, strokes, compared, played, points, basis, bool(strokes_left))


def _values(
    objective: Objective,
    golfer: Golfer,
    draws: Sequence[Golfer],
    shots: Sequence[Shot],
    points: AimPoints,
    threads: int,
    progress: Callable[[], None] | None,
) -> Values:
    """The golfer's values; the draws' are corrected by how far off the golfer's own rough ones are."""
    means = np.array([mean_value(objective.own, shot, points.value) for shot in shots])
    *drawn, rough = plausible_values(
        objective, golfer, draws, shots, points.draw, threads=threads, progress=progress
    )
    return Values(means, np.array(drawn).reshape(-1, len(shots)) + (means - rough))


def _levelled(values: Values, played: Sequence[PlayedOn]) -> Values:
    """Expected strokes at the level of the holes played on: one for all choices, so that luck parts no two."""
    level = float(np.mean([each.mean for each in played] - values.means))
    return Values(values.means + level, values.draws + level)


def _told(
    aiming: Aiming,
    targets: Sequence[Target],
    shots: Sequence[Shot],
    strokes: Values,
    compared: Values,
    played: Sequence[PlayedOn],
    points: AimPoints,
    basis: str,
    for_score: bool,
) -> Comparison:
    reached = Values(1.0 - compared.means, 1.0 - compared.draws)
    choices = [
        Choice(
            target=target,
            shot=shot,
            distance_m=aiming.ball.distance_m(shot.place_m),
            carry_m=aiming.carry_m(shot),
            plays_m=aiming.plays_m(shot.place_m),
            calm_carry_m=aiming.calm_carry_m(shot),
            strokes=strokes.estimate(number, "strokes", basis),
            standard_error=played[number].standard_error,
            scores=played[number].score_chances(aiming.ball, aiming.played.layout.par),
            finish=shot_chances(aiming, shot, points.value),
            reached=reached.estimate(number, "share", basis) if for_score else None,
        )
        for number, (target, shot) in enumerate(zip(targets, shots, strict=True))
    ]
    best = int(np.argmin(compared.means))
    unit = "share" if for_score else "strokes"
    return Comparison(aiming, tuple(choices), best, compared, unit, len(played[0].strokes), basis)
