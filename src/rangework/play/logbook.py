"""Rounds written down stroke by stroke, as a player would log them: same physics as the rounds that are counted."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.lie import PUTTED_LIES, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import Golfer
from rangework.skill.putting import PuttingSkill, capture_past_m
from rangework.skill.putting_kernels import HOLE_RADIUS_M

#: A putt that stops nearer than this has stopped on the lip.
_LEAST_LEFT_M = 0.1


@dataclass(frozen=True, slots=True)
class LoggedStroke:
    """One stroke of a course log.

    ``stroke`` counts penalty strokes; ``next_lie`` and ``left_to_hole_m`` are after any relief; ``penalty`` is
    what the stroke cost beside itself.
    """

    round: int
    hole: int
    stroke: int
    lie: Lie
    to_hole_m: float
    next_lie: Lie
    left_to_hole_m: float
    penalty: int


def play_logged(
    strategies: Sequence[Strategy],
    golfer: Golfer,
    rounds: int,
    *,
    seed: int,
    aim_scatter_rad: float = 0.0,
    first_round: int = 1,
    card_m: Sequence[float] | None = None,
) -> list[LoggedStroke]:
    """Every stroke of ``rounds`` rounds of ``golfer``, who means to play the targets of ``strategies``.

    A player does not aim as well as that: every target is turned by a normal angle of sd ``aim_scatter_rad``.
    Putts are rolled one by one. ``card_m`` are the holes' lengths on the card, which a player writes down on
    the tee; without them the straight line from tee to pin.
    """
    player = compile_player(golfer, conditions=strategies[0].layout.conditions)
    lengths = card_m or [_straight_m(strategy) for strategy in strategies]
    return [
        stroke
        for number in range(first_round, first_round + rounds)
        for strategy, length_m in zip(strategies, lengths, strict=True)
        for stroke in _hole_logged(
            strategy, player, golfer.putting, number, length_m, seed=seed, aim_scatter_rad=aim_scatter_rad
        )
    ]


def _straight_m(strategy: Strategy) -> float:
    return math.dist(strategy.layout.grid.tee_m, strategy.layout.grid.pin_m)


def _hole_logged(
    strategy: Strategy,
    player: Player,
    putting: PuttingSkill,
    round_number: int,
    card_m: float,
    *,
    seed: int,
    aim_scatter_rad: float,
) -> Iterator[LoggedStroke]:
    """The strokes of one hole, those on the green last."""
    layout = strategy.layout
    hole, nodes, policy, tee = layout.hole, layout.nodes, strategy.policy, layout.tee_node
    key = np.uint64(kernels.luck_key(seed, round_number, layout.number))
    rng = np.random.default_rng([seed, round_number, layout.number])
    x, y, row, reach = nodes.x[tee], nodes.y[tee], int(nodes.row[tee]), int(nodes.reach[tee])
    target = (policy.x[tee], policy.y[tee], policy.height[tee])
    lie, to_hole, taken, played = Lie.TEE, card_m, 0, 0
    while lie not in PUTTED_LIES and taken < kernels.MOST_STROKES:
        aimed = _turned(x, y, target[0], target[1], aim_scatter_rad * rng.standard_normal())
        x, y, ending, *_ = kernels.play_stroke(hole, player, key, played, row, reach, x, y, *aimed, target[2])
        played += 1
        penalty = int(ending in (kernels.DROPPED, kernels.REPLAYED))
        if ending in (kernels.IN_PLAY, kernels.DROPPED):
            next_lie, left = _at_rest(strategy, x, y)
        else:
            next_lie, left = lie, to_hole
        yield LoggedStroke(round_number, layout.number, taken + 1, lie, to_hole, next_lie, left, penalty)
        taken += 1 + penalty
        if ending in (kernels.IN_PLAY, kernels.DROPPED) and next_lie not in PUTTED_LIES:
            row = reach = int(next_lie)
            target = kernels.next_target(hole, layout.lattices, policy, row, x, y)
        lie, to_hole = next_lie, left
    yield from _putts_logged(putting, round_number, layout.number, taken, lie, to_hole, rng)


def _at_rest(strategy: Strategy, x: float, y: float) -> tuple[Lie, float]:
    hole = strategy.layout.hole
    lie = Lie(kernels.lie_on(kernels.ground_at(hole, x, y)))
    return lie, max(math.hypot(x - hole.pin_x, y - hole.pin_y), _LEAST_LEFT_M)


def _turned(x: float, y: float, tx: float, ty: float, angle: float) -> tuple[float, float]:
    """A target seen from (x, y), turned to the right by ``angle``."""
    dx, dy, sin, cos = tx - x, ty - y, math.sin(angle), math.cos(angle)
    return x + dx * cos + dy * sin, y + dy * cos - dx * sin


def _putts_logged(
    putting: PuttingSkill,
    round_number: int,
    hole: int,
    taken: int,
    lie: Lie,
    to_hole: float,
    rng: np.random.Generator,
) -> Iterator[LoggedStroke]:
    while to_hole > 0.0 and taken < kernels.MOST_STROKES:
        holed, long_m, right_m = roll_putt_to(to_hole, putting, rng)
        next_lie = Lie.HOLED if holed else Lie.GREEN
        left = 0.0 if holed else max(math.hypot(long_m, right_m), _LEAST_LEFT_M)
        yield LoggedStroke(round_number, hole, taken + 1, lie, to_hole, next_lie, left, 0)
        taken, lie, to_hole = taken + 1, Lie.GREEN, left


def roll_putt_to(
    length_m: float, putting: PuttingSkill, rng: np.random.Generator
) -> tuple[bool, float, float]:
    """Roll one putt on a level green: whether it is holed, and long and right of the hole (0 when holed)."""
    line, pace = rng.standard_normal(2)
    angle = line * math.hypot(putting.line_rad, putting.reading_rad_per_m * length_m)
    past = putting.aim_past_m + pace * putting.pace * (length_m + putting.aim_past_m)
    if 0.0 <= past <= capture_past_m():
        width = HOLE_RADIUS_M * math.sqrt(1.0 - math.sqrt(past / capture_past_m()))
        if abs(math.sin(angle)) * length_m < width:
            return True, 0.0, 0.0
    rolled = max(length_m + past, 0.0)
    return False, rolled * math.cos(angle) - length_m, rolled * math.sin(angle)
