"""What a player loses to a reference golfer, split into where they aim and how they hit it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace

import numpy as np

from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import FloatArray, Kind
from rangework.aim.habits.valuing import (
    PlayedCourse,
    RulePoints,
    expected_by_hole,
    shot_values,
    valued,
    visits,
)
from rangework.estimate import Estimate
from rangework.play.kernels import Player
from rangework.play.rounds import play_rounds
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import Golfer

UNIT = "strokes a round"
#: Rounds played with each list of targets: the standard error of a difference is then under 0.01.
ROUNDS = 200_000
BASIS = "assumption.aim.habits"


@dataclass(frozen=True, slots=True, eq=False)
class FreeStrokes:
    """What habits cost a player.

    ``decisions``: the player's habits against the player's best targets; ``execution``: the player with best targets
    against the reference golfer with theirs (None without one); the two sum to ``total``, in every draw as well.
    ``in_rounds`` is what rounds of the golfer in the middle of the draws say of the decisions, ``standard_error`` its
    Monte Carlo error, ``expected`` the same without luck: the other route (None where not asked for).
    ``by_kind`` splits them by the kind of shot.
    """

    decisions: Estimate
    standard_error: float
    in_rounds: float
    draws: FloatArray
    expected: float | None = None
    by_kind: Mapping[Kind, Estimate] = field(default_factory=dict)
    execution: Estimate | None = None
    total: Estimate | None = None
    execution_draws: FloatArray | None = None


def free_strokes(
    ground: PlayedCourse,
    coarse: PlayedCourse,
    golfer: Golfer,
    habits: Sequence[Rule],
    *,
    draws: Sequence[Golfer] = (),
    reference: tuple[Player, Sequence[Strategy]] | None = None,
    rounds: int = ROUNDS,
    seed: int = 0,
    threads: int = 2,
    whole: bool = True,
    basis: str,
    progress: Callable[[], None] | None = None,
) -> FreeStrokes:
    """What ``habits`` cost ``golfer`` beside the best targets of ``ground``, and what hitting costs beside them.

    ``coarse`` is the same course for the draws. Luck is shared by all rounds; draws share the rounds' level. Unless
    ``whole`` the split by kind of shot and the other route are left out.
    """
    player, basis = ground.planner, f"{basis}+{BASIS}"
    habitual, best = ground.with_rules(habits), ground.strategies
    aimed_best = played_scores(best, player, rounds, seed, threads)
    apart = played_scores(habitual, player, rounds, seed, threads) - aimed_best
    policies = [coarse.with_rules(habits), coarse.strategies]
    values = drawn_values(policies, golfer, draws, threads=threads, progress=progress)
    decisions = float(apart.mean()) + about_golfer(values[:, 0] - values[:, 1])
    found = FreeStrokes(ranged(decisions, basis), paired_error(apart), float(apart.mean()), decisions)
    if whole:
        by_kind = _by_kind(coarse, policies[0], float(decisions.mean()), basis)
        found = replace(found, by_kind=by_kind, expected=_without_luck(habitual, best, player))
    if reference is None:
        return found
    theirs = played_scores(reference[1], reference[0], rounds, seed, threads)
    execution = float((aimed_best - theirs).mean()) + about_golfer(values[:, 1])
    return replace(
        found,
        execution=ranged(execution, basis),
        total=ranged(decisions + execution, basis),
        execution_draws=execution,
    )


def _without_luck(habitual: Sequence[Strategy], best: Sequence[Strategy], player: Player) -> float:
    points = RulePoints.many()
    values = [expected_by_hole(strategies, player, points) for strategies in (habitual, best)]
    return float((values[0] - values[1]).sum())


def drawn_values(
    policies: Sequence[Sequence[Strategy]],
    golfer: Golfer,
    draws: Sequence[Golfer],
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> FloatArray:
    """Expected strokes a round ``[golfer, policy]``: of ``golfer`` first, then of each plausible player."""
    points, conditions = RulePoints.few(), policies[0][0].layout.conditions

    def of(drawn: Golfer | None) -> FloatArray:
        player = compile_player(drawn or golfer, aimed_by=golfer, conditions=conditions, putt_step_m=0.2)
        told = [expected_by_hole(policy, player, points).sum() for policy in policies]
        if progress and drawn is not None:
            progress()
        return np.array(told)

    with ThreadPoolExecutor(threads) as pool:
        return np.array(list(pool.map(of, [None, *draws])))


def ranged(draws: FloatArray, basis: str) -> Estimate:
    """The mean of the draws with the range of nine in ten of them; of one draw, no range."""
    if len(draws) < 2:
        return Estimate(float(draws.mean()), None, None, UNIT, basis)
    low, high = np.quantile(draws, [0.05, 0.95])
    return Estimate(float(draws.mean()), float(low), float(high), UNIT, basis)


def about_golfer(values: FloatArray) -> FloatArray:
    """By draw, how far it is from the golfer in the middle; only that golfer where there are no draws."""
    return values[1:] - values[0] if len(values) > 1 else np.zeros(1)


def played_scores(
    strategies: Sequence[Strategy], player: Player, rounds: int, seed: int, threads: int
) -> FloatArray:
    """Score of every round."""
    return play_rounds(strategies, player, rounds, seed=seed, threads=threads).scores.astype(np.float64)


def paired_error(apart: FloatArray) -> float:
    """Standard error of the mean of differences round by round."""
    return float(apart.std(ddof=1) / np.sqrt(len(apart)))


def _by_kind(
    coarse: PlayedCourse, habitual: Sequence[Strategy], decisions: float, basis: str
) -> dict[Kind, Estimate]:
    """The decisions by kind of shot.

    How often habits bring the player to a place, times what the habit costs there when all goes on with best
    targets, sums to the whole by the performance-difference identity; the little that is left is shared out.
    """
    points, player = RulePoints.few(), coarse.planner
    lost = dict.fromkeys(Kind, 0.0)
    for habit, best, places in zip(habitual, coarse.strategies, coarse.places, strict=True):
        come = visits(valued(habit, player, points), player, points)
        after, active = valued(best, player, points), come > 0.0
        costs = [shot_values(after, aim, player, points, active) for aim in (habit, best)]
        dearer = np.where(active, come * (costs[0] - costs[1]), 0.0)
        for kind in Kind:
            lost[kind] += float(dearer[places.asked.kinds[kind]].sum())
    known = sum(lost.values())
    scale = decisions / known if abs(known) > 1e-9 else 0.0
    return {kind: Estimate(scale * each, None, None, UNIT, basis) for kind, each in lost.items()}
