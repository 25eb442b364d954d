"""At most five rules: chosen on some plausible players and pins, told by what they save on others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from rangework.aim.habits.candidates import Aims
from rangework.aim.habits.rules import Rule
from rangework.aim.habits.screening import Screen, screen
from rangework.aim.habits.shots import FloatArray
from rangework.aim.habits.valuing import PlayedCourse, RulePoints, same_targets, valued
from rangework.play.kernels import Player
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import Golfer

MOST_RULES = 5
#: A rule must save this much, in strokes a round, and save for this share of the plausible players that choose.
LEAST, AGREEING = 0.05, 0.9
#: What a condition more must bring: this share of the rule's saving (a choice: rules are to be remembered).
CONDITION_PRICE = 0.06
#: How many of the rules ranked by the screen are valued exactly at each step, and how many of one kind and target.
VALUED, _ALIKE = 4, 2
#: Rules of one target whose first-order savings are this near are the same rule to a player.
_SAME = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Chooser:
    """Where and by whom rules are tried: coarse courses with other pins than those told, and plausible players."""

    courses: Sequence[PlayedCourse]
    players: Sequence[Player]
    threads: int

    @classmethod
    def of(
        cls, courses: Sequence[PlayedCourse], golfer: Golfer, draws: Sequence[Golfer], threads: int
    ) -> Chooser:
        """Trying rules by ``golfer``, the planner, and by ``draws``."""
        conditions = courses[0].strategies[0].layout.conditions
        players = [
            compile_player(draw, aimed_by=golfer, conditions=conditions, putt_step_m=0.2)
            for draw in (golfer, *draws)
        ]
        return cls(courses, players, threads)


class _Tried:
    """Lists of rules valued exactly, by player, course and hole; holes with the same targets are valued once."""

    def __init__(self, chooser: Chooser, habits: Sequence[Rule]) -> None:
        self._chooser, self._habits = chooser, tuple(habits)
        self._policies = [course.with_rules(habits) for course in chooser.courses]
        self._known: dict[tuple[Rule, ...], tuple[list[tuple[Strategy, ...]], FloatArray]] = {}
        self._values = self._valued(self._policies, None)
        self.strokes = self._total(self._values)

    def _valued(self, policies: Sequence[Sequence[Strategy]], known: FloatArray | None) -> FloatArray:
        """[player, course, hole]"""
        points = RulePoints.few()
        values = np.empty((len(self._chooser.players), len(policies), len(policies[0])))
        changed = []
        for place, policy in enumerate(policies):
            for hole, strategy in enumerate(policy):
                if known is not None and same_targets(strategy, self._policies[place][hole]):
                    values[:, place, hole] = known[:, place, hole]
                else:
                    changed.append((place, hole, strategy))

        def by_player(number: int) -> None:
            for place, hole, strategy in changed:
                player = self._chooser.players[number]
                values[number, place, hole] = valued(strategy, player, points).expected_strokes

        with ThreadPoolExecutor(self._chooser.threads) as pool:
            list(pool.map(by_player, range(len(self._chooser.players))))
        return values

    @staticmethod
    def _total(values: FloatArray) -> FloatArray:
        """Strokes a round by player, mean over the courses."""
        total: FloatArray = values.sum(axis=2).mean(axis=1)
        return total

    def saved(self, rules: Sequence[Rule]) -> FloatArray:
        """What habits with these rules before them save beside what is kept so far, by player."""
        return self.strokes - self._total(self._of(tuple(rules))[1])

    def _of(self, rules: tuple[Rule, ...]) -> tuple[list[tuple[Strategy, ...]], FloatArray]:
        """The targets of these rules before the habits, and what they cost; each list is valued once."""
        if rules not in self._known:
            policies = [course.with_rules([*rules, *self._habits]) for course in self._chooser.courses]
            self._known[rules] = policies, self._valued(policies, self._values)
        return self._known[rules]

    def keep(self, rules: Sequence[Rule]) -> None:
        """Go on from these rules."""
        self._policies, self._values = self._of(tuple(rules))
        self._known = {}
        self.strokes = self._total(self._values)


def choose_rules(
    chooser: Chooser,
    habits: Sequence[Rule],
    aims: Aims,
    *,
    most: int = MOST_RULES,
    progress: Callable[[], None] | None = None,
) -> tuple[Rule, ...]:
    """The rules that save most beside ``habits``, each chosen with those before it in force.

    A rule may go before the others, where it overrules them, or after them. The list is read from the top: the first
    rule that fits a shot holds.
    """
    tried, at_first = _Tried(chooser, habits), screen(chooser.courses, habits, aims)
    seen = at_first
    rules: list[Rule] = []
    while len(rules) < most:
        best = _next_rule(tried, seen, rules, aims)
        if progress:
            progress()
        if best is None:
            break
        rules = best
        tried.keep(rules)
        seen = _in_force(at_first, rules)
    return tuple(_without_idle(tried, rules))


def _without_idle(tried: _Tried, rules: Sequence[Rule]) -> list[Rule]:
    """The rules without those that later ones have made all but idle."""
    kept = list(rules)
    for rule in rules:
        fewer = [each for each in kept if each is not rule]
        if len(kept) > 1 and float(tried.saved(fewer).mean()) > -0.5 * LEAST:
            kept = fewer
            tried.keep(kept)
    return kept


def _in_force(at_first: Screen, rules: Sequence[Rule]) -> Screen:
    """The screen with all rules in force."""
    free = np.ones(len(at_first.now), dtype=np.bool_)
    seen = at_first
    for rule in rules:
        seen = seen.with_rule(rule, free)
        free &= ~seen.holds(rule)
    return seen


def _next_rule(tried: _Tried, seen: Screen, rules: Sequence[Rule], aims: Aims) -> list[Rule] | None:
    """The list with one more rule, or None when no rule saves enough for nearly all players."""
    best, best_worth = None, 0.0
    for rule, longer in _promising(seen, rules, aims):
        saved = tried.saved(longer)
        worth = float(saved.mean()) * _remembered(rule)
        holds = float((saved > 0.0).mean()) >= AGREEING and float(saved.mean()) >= LEAST
        if holds and worth > best_worth:
            best, best_worth = longer, worth
    return best


def _promising(seen: Screen, rules: Sequence[Rule], aims: Aims) -> list[tuple[Rule, list[Rule]]]:
    """The rules ranked first by the screen, with the list that each would make."""
    everywhere = np.ones(len(seen.now), dtype=np.bool_)
    free = everywhere.copy()
    for rule in rules:
        free &= ~seen.holds(rule)
    ranked = [(saved, rule, [rule, *rules]) for saved, rule in seen.ranked(aims, everywhere, 0.5 * LEAST)]
    if rules:
        ranked += [(saved, rule, [*rules, rule]) for saved, rule in seen.ranked(aims, free, 0.5 * LEAST)]
    ranked.sort(key=lambda each: -each[0] * _remembered(each[1]))
    kept: list[tuple[float, Rule, list[Rule]]] = []
    for saved, rule, longer in ranked:
        alike = [each for each in kept if _aim(each[1]) == _aim(rule)]
        if len(alike) < _ALIKE and all(abs(each[0] - saved) > _SAME for each in alike):
            kept.append((saved, rule, longer))
        if len(kept) == VALUED:
            break
    return [(rule, longer) for _, rule, longer in kept]


def _aim(rule: Rule) -> tuple[object, ...]:
    return rule.shots.kind, rule.target, rule.inward


def _remembered(rule: Rule) -> float:
    return 1.0 - CONDITION_PRICE * rule.shots.conditions
