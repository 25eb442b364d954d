"""The free strokes of a player on a course: what habits cost, and the few rules that win most of it back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Protocol

import numpy as np

from rangework.aim.habits.candidates import Aims
from rangework.aim.habits.choosing import MOST_RULES, Chooser, choose_rules
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
from rangework.course.geometry import Course, TeeSet
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


class ReadyPlayer(Protocol):
    """A player with best targets on a course, as ``advice.prepare`` makes one."""

    @property
    def posterior(self) -> Posterior:
        """Plausible players."""

    @property
    def course(self) -> Course:
        """The course."""

    @property
    def tee(self) -> TeeSet:
        """The tees played."""

    @property
    def pins(self) -> Sequence[str]:
        """The pin of each hole."""

    @property
    def strategies(self) -> Sequence[Strategy]:
        """The best targets of the posterior's mean."""

    @property
    def seed(self) -> int:
        """Where the luck starts."""

    @property
    def threads(self) -> int:
        """Processors to use."""


def habit_advice(
    ready: ReadyPlayer,
    habits: Sequence[Rule],
    *,
    reference: Golfer | None = None,
    draws: int = 40,
    rounds: int = ROUNDS,
    units: Units = "yards",
    basis: str,
    progress: Callable[[float, float], None] | None = None,
) -> HabitAdvice:
    """The free strokes of a player with these habits beside the best targets, and the rules that win them back.

    Half of the ``draws`` and other pins choose the rules; the other half and the pins played tell what they save.
    """
    posterior, threads = ready.posterior, ready.threads
    step = _counter(progress, draws // 2 + MOST_RULES + 1)
    golfer = posterior.mean
    player = compile_player(golfer, conditions=ready.course.conditions)
    ground = PlayedCourse.of(ready.course, ready.strategies, player)
    coarse = ground.coarse(ready.course)
    drawn = posterior.draws(draws)
    told = drawn[1::2]
    free = free_strokes(
        ground, coarse, golfer, habits, draws=told, reference=_solved(ground, reference, threads),
        rounds=rounds, seed=ready.seed, threads=threads, basis=basis, progress=step,
    )  # fmt: skip
    choosing = drawn[:: max(2, len(drawn) // CHOOSING_DRAWS // 2 * 2)][:CHOOSING_DRAWS]
    courses = [_other_pins(ready, player, number) for number in range(PIN_SETS)]
    aims = Aims(units, player.table[Lie.TEE], float(player.longest[Lie.TEE]))
    rules = choose_rules(Chooser.of(courses, golfer, choosing, threads), habits, aims, progress=step)
    savings = _Savings(ground, coarse, golfer, habits, told, rounds, ready.seed, threads)
    return _told(savings, rules, free, f"{basis}+{BASIS}+{RULES_BASIS}")


def _counter(progress: Callable[[float, float], None] | None, total: int) -> Callable[[], None]:
    done = count(1)

    def step() -> None:
        finished = next(done)
        if progress:
            progress(min(finished, total), total)

    return step


@dataclass(frozen=True, slots=True)
class _Savings:
    """Whose rules are told, where, and beside what."""

    ground: PlayedCourse
    coarse: PlayedCourse
    golfer: Golfer
    habits: Sequence[Rule]
    draws: Sequence[Golfer]
    rounds: int
    seed: int
    threads: int

    def of(self, lists: Sequence[Sequence[Rule]]) -> list[tuple[FloatArray, float]]:
        """By list of rules what it saves each draw, and its Monte Carlo error: played under the luck of the habits."""
        policies = [self.coarse.with_rules([*each, *self.habits]) for each in ([], *lists)]
        values = drawn_values(policies, self.golfer, self.draws, threads=self.threads)
        now = self._scores([])
        found = []
        for number, each in enumerate(lists, start=1):
            apart = now - self._scores(each)
            drawn = about_golfer(values[:, 0] - values[:, number])
            found.append((float(apart.mean()) + drawn, paired_error(apart)))
        return found

    def _scores(self, rules: Sequence[Rule]) -> FloatArray:
        strategies = self.ground.with_rules([*rules, *self.habits])
        return played_scores(strategies, self.ground.planner, self.rounds, self.seed, self.threads)


def _told(savings: _Savings, rules: Sequence[Rule], free: FreeStrokes, basis: str) -> HabitAdvice:
    """The rules alone and together."""
    habits = tuple(savings.habits)
    if not rules:
        return HabitAdvice(habits, free, (), ranged(np.zeros(1), basis), 0.0, None)
    (together, error), *alone = savings.of([rules, *([rule] for rule in rules)])
    each_alone = tuple(
        RuleSaving(rule, ranged(saved, basis), own_error)
        for rule, (saved, own_error) in zip(rules, alone, strict=True)
    )
    share = _share(together, free.draws, basis)
    return HabitAdvice(habits, free, each_alone, ranged(together, basis), error, share)


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
    layouts = [strategy.layout for strategy in ground.strategies]
    player = compile_player(reference, conditions=layouts[0].conditions)
    return player, solve_course(layouts, player, threads=threads)


def _other_pins(ready: ReadyPlayer, player: Player, number: int) -> PlayedCourse:
    """The course with other pins than those played, coarsely: each hole's own ones first, then places on its green."""
    layouts = []
    for index, (hole, played) in enumerate(zip(ready.course.holes, ready.pins, strict=True)):
        own = [name for name in hole.pins if name != played]
        places = [word for word in POSITIONS_DEG if word != played]
        usual = [*own[:2], *(places[(3 * index + 3 * turn) % len(places)] for turn in range(PIN_SETS))]
        grid = ground_grid(hole, ready.tee.name, usual[number])
        layouts.append(
            lay_out(
                grid, coarse_step_m=_COARSE_M[0], fine_step_m=_COARSE_M[1], conditions=ready.course.conditions
            )
        )
    strategies = solve_course(layouts, player, effort=_rough(), threads=ready.threads)
    return PlayedCourse.of(ready.course, strategies, player)


def _rough() -> Effort:
    """Enough to know the cost of what follows a shot."""
    return Effort(
        far=(error_points(48, 12), error_points(160, 40, 0.1), error_points(320, 64, 0.3, 8)),
        near=(error_points(32, 8), error_points(96, 24, 0.1), error_points(96, 24, 0.3, 8)),
    )


def quick_free_strokes(
    ready: ReadyPlayer, habits: Sequence[Rule], *, draws: int = 16, rounds: int = ROUNDS // 2, basis: str
) -> FreeStrokes:
    """What habits cost, without the rules and without a reference golfer: for a page that tells it in a line."""
    ground = PlayedCourse.of(
        ready.course,
        ready.strategies,
        compile_player(ready.posterior.mean, conditions=ready.course.conditions),
    )
    return free_strokes(
        ground, ground.coarse(ready.course), ready.posterior.mean, habits, draws=ready.posterior.draws(draws),
        rounds=rounds, seed=ready.seed, threads=ready.threads, whole=False, basis=basis,
    )  # fmt: skip
