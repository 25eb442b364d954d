"""The free strokes of a player on a course: what habits cost, and the few rules that win most of it back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.aim.habits.candidates import Aims
from rangework.aim.habits.choosing import Chooser, choose_rules
from rangework.aim.habits.free_strokes import (
    BASIS,
    ROUNDS,
    FreeStrokes,
    about_golfer,
    drawn_values,
    free_strokes,
    paired_error,
    played_scores,
    ranged,
)
from rangework.aim.habits.rules import Rule
from rangework.aim.habits.shots import FloatArray
from rangework.aim.habits.valuing import PlayedCourse
from rangework.course.geometry import Course
from rangework.course.ground_grid import ground_grid
from rangework.course.outlines import POSITIONS_DEG
from rangework.estimate import Estimate
from rangework.lie import Lie
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Effort, Strategy, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.posterior import Posterior
from rangework.units import Units

#: Sets of pins that rules are chosen on, none of them the one that is told; and plausible players who choose.
PIN_SETS, CHOOSING_DRAWS = 4, 4
#: Node spacings where many golfers are valued.
_COARSE_M = (14.0, 7.0)
#: Free strokes under this are too few for a share of them to mean anything.
_SHARE_FROM = 0.1
RULES_BASIS = "assumption.aim.rules"


@dataclass(frozen=True, slots=True)
class RuleSaving:
    """A rule, and what it saves when it alone is kept to, with the Monte Carlo error."""

    rule: Rule
    alone: Estimate
    standard_error: float


@dataclass(frozen=True, slots=True, eq=False)
class HabitAdvice:
    """What habits cost and which rules win it back.

    ``together``: what all ``rules`` save at once; ``share``: of the free strokes, None where there are hardly any.
    Both come from pins and plausible players that did not choose the rules.
    """

    habits: tuple[Rule, ...]
    free: FreeStrokes
    rules: tuple[RuleSaving, ...]
    together: Estimate
    together_error: float
    share: Estimate | None


def habit_advice(
    posterior: Posterior,
    course: Course,
    tee: str,
    pins: Sequence[str],
    strategies: Sequence[Strategy],
    habits: Sequence[Rule],
    *,
    reference: Golfer | None = None,
    draws: int = 40,
    rounds: int = ROUNDS,
    units: Units = "yards",
    seed: int = 0,
    threads: int = 2,
    basis: str,
    progress: Callable[[], None] | None = None,
) -> HabitAdvice:
    """The free strokes of the posterior's player with ``pins`` and the best targets ``strategies``, and the rules.

    Half of the ``draws`` and other pins choose the rules; the other half and ``pins`` tell what they save.
    """
    golfer = posterior.mean
    player = compile_player(golfer)
    ground = player_and_course(course, strategies, posterior)
    coarse = ground.coarse(course)
    drawn = posterior.draws(draws)
    told = drawn[1::2]
    free = free_strokes(
        ground, coarse, golfer, habits, draws=told, reference=_solved(ground, reference, threads),
        rounds=rounds, seed=seed, threads=threads, basis=basis, progress=progress,
    )  # fmt: skip
    choosing = drawn[:: max(2, len(drawn) // CHOOSING_DRAWS // 2 * 2)][:CHOOSING_DRAWS]
    courses = [_other_pins(course, tee, pins, player, number, threads) for number in range(PIN_SETS)]
    aims = Aims(units, player.table[Lie.TEE], float(player.longest[Lie.TEE]))
    rules = choose_rules(Chooser.of(courses, golfer, choosing, threads), habits, aims, progress=progress)
    return _told(ground, coarse, golfer, habits, rules, free, told, rounds, seed, threads, f"{basis}+{BASIS}")


def _told(
    ground: PlayedCourse,
    coarse: PlayedCourse,
    golfer: Golfer,
    habits: Sequence[Rule],
    rules: Sequence[Rule],
    free: FreeStrokes,
    draws: Sequence[Golfer],
    rounds: int,
    seed: int,
    threads: int,
    basis: str,
) -> HabitAdvice:
    """The rules alone and together, played under the luck of the habits, with ranges over ``draws``."""
    basis = f"{basis}+{RULES_BASIS}"
    lists = [list(rules), *([rule] for rule in rules)] if rules else []
    now = played_scores(ground.with_rules(habits), ground.planner, rounds, seed, threads)
    policies = [coarse.with_rules([*each, *habits]) for each in ([], *lists)]
    values = drawn_values(policies, golfer, draws, threads=threads)
    savings, errors = [], []
    for number, each in enumerate(lists, start=1):
        played = played_scores(ground.with_rules([*each, *habits]), ground.planner, rounds, seed, threads)
        apart = values[:, 0] - values[:, number]
        savings.append(float((now - played).mean()) + about_golfer(apart))
        errors.append(paired_error(now - played))
    alone = [
        RuleSaving(rule, ranged(saved, basis), error)
        for rule, saved, error in zip(rules, savings[1:], errors[1:], strict=True)
    ]
    if not lists:
        return HabitAdvice(tuple(habits), free, (), ranged(np.zeros(1), basis), 0.0, None)
    share = _share(savings[0], free.draws, basis)
    return HabitAdvice(tuple(habits), free, tuple(alone), ranged(savings[0], basis), errors[0], share)


def _share(saved: FloatArray, whole: FloatArray, basis: str) -> Estimate | None:
    """What share of the free strokes is won back; its range over the draws."""
    if whole.mean() < _SHARE_FROM:
        return None
    value = float(saved.mean() / whole.mean())
    if len(whole) < 2:
        return Estimate(value, None, None, "share", basis)
    low, high = np.quantile(saved / np.maximum(whole, _SHARE_FROM), [0.05, 0.95])
    return Estimate(value, float(low), float(high), "share", basis)


def _solved(
    ground: PlayedCourse, reference: Golfer | None, threads: int
) -> tuple[Player, Sequence[Strategy]] | None:
    if reference is None:
        return None
    player = compile_player(reference)
    layouts = [strategy.layout for strategy in ground.strategies]
    return player, solve_course(layouts, player, threads=threads)


def _other_pins(
    course: Course, tee: str, pins: Sequence[str], player: Player, number: int, threads: int
) -> PlayedCourse:
    """The course with other pins than ``pins``, coarsely: each hole's own ones first, then places on its green."""
    layouts = []
    for index, (hole, told) in enumerate(zip(course.holes, pins, strict=True)):
        own = [name for name in hole.pins if name != told]
        places = [word for word in POSITIONS_DEG if word != told]
        usual = [*own[:2], *(places[(3 * index + 3 * turn) % len(places)] for turn in range(PIN_SETS))]
        grid = ground_grid(hole, tee, usual[number])
        layouts.append(lay_out(grid, coarse_step_m=_COARSE_M[0], fine_step_m=_COARSE_M[1]))
    return PlayedCourse.of(course, solve_course(layouts, player, effort=_rough(), threads=threads), player)


def _rough() -> Effort:
    """Enough to know the cost of what follows a shot."""
    return Effort(
        far=(error_points(48, 12), error_points(160, 40, 0.1), error_points(320, 64, 0.3, 8)),
        near=(error_points(32, 8), error_points(96, 24, 0.1), error_points(96, 24, 0.3, 8)),
    )


def player_and_course(course: Course, strategies: Sequence[Strategy], posterior: Posterior) -> PlayedCourse:
    """The holes of ``strategies`` with what each of their places asks for."""
    return PlayedCourse.of(course, strategies, compile_player(posterior.mean))


def quick_free_strokes(
    posterior: Posterior,
    course: Course,
    strategies: Sequence[Strategy],
    habits: Sequence[Rule],
    *,
    draws: int = 20,
    rounds: int = ROUNDS // 2,
    seed: int = 0,
    threads: int = 2,
    basis: str,
) -> FreeStrokes:
    """What habits cost, without the rules and without a reference golfer: for a page that tells it in a line."""
    ground = player_and_course(course, strategies, posterior)
    return free_strokes(
        ground, ground.coarse(course), posterior.mean, habits, draws=posterior.draws(draws), rounds=rounds,
        seed=seed, threads=threads, basis=basis,
    )  # fmt: skip
