"""Shots that a course asks of a player: all those off the greens of simulated rounds, with what they were aimed at."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rangework.lie import PUTTED_LIES, Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import Player
from rangework.play.strategy import Strategy, player_on
from rangework.skill.model import Golfer

FloatArray = NDArray[np.float64]

#: A shot is one at the green where its target lies on the green or its fringe, or this near to the pin.
_NEAR_PIN_M = 10.0


@dataclass(frozen=True, slots=True, eq=False)
class AskedShots:
    """Shots of ``rounds`` simulated rounds, putts left out.

    Arrays [shot]: hole number, lie, distance to the target and to the pin, and whether it was played at the green.
    """

    rounds: int
    hole: NDArray[np.int64]
    lie: NDArray[np.int64]
    target_m: FloatArray
    to_pin_m: FloatArray
    at_green: NDArray[np.bool_]

    def chosen(self, these: NDArray[np.bool_]) -> AskedShots:
        """Some of the shots."""
        return replace(
            self,
            hole=self.hole[these],
            lie=self.lie[these],
            target_m=self.target_m[these],
            to_pin_m=self.to_pin_m[these],
            at_green=self.at_green[these],
        )


def asked_shots(strategies: Sequence[Strategy], golfer: Golfer, rounds: int, *, seed: int) -> AskedShots:
    """Every shot that ``golfer`` plays in so many rounds with the targets of ``strategies``."""
    player = player_on([strategy.layout for strategy in strategies], golfer)
    rows = [
        shot
        for number in range(1, rounds + 1)
        for strategy in strategies
        for shot in _hole_shots(strategy, player, number, seed)
    ]
    hole, lie, target, to_pin, at_green = (np.array(column) for column in zip(*rows, strict=True))
    return AskedShots(rounds, hole, lie, target, to_pin, at_green)


def _hole_shots(
    strategy: Strategy, player: Player, round_number: int, seed: int
) -> Iterator[tuple[int, int, float, float, bool]]:
    layout = strategy.layout
    hole, nodes, policy, tee = layout.hole, layout.nodes, strategy.policy, layout.tee_node
    key = np.uint64(kernels.luck_key(seed, round_number, layout.number))
    x, y, row, reach = nodes.x[tee], nodes.y[tee], int(nodes.row[tee]), int(nodes.reach[tee])
    target = (policy.x[tee], policy.y[tee], policy.height[tee])
    lie, played = Lie.TEE, 0
    while lie not in PUTTED_LIES and played < kernels.MOST_STROKES:
        target_m = math.hypot(target[0] - x, target[1] - y)
        to_pin_m = math.hypot(hole.pin_x - x, hole.pin_y - y)
        yield layout.number, int(lie), target_m, to_pin_m, _at_green(hole, target)
        x, y, ending, *_ = kernels.play_stroke(hole, player, key, played, row, reach, x, y, *target)
        played += 1
        if ending in (kernels.IN_PLAY, kernels.DROPPED):
            lie = Lie(kernels.lie_on(kernels.ground_at(hole, x, y)))
            if lie not in PUTTED_LIES:
                row = reach = int(lie)
                target = kernels.next_target(hole, layout.lattices, policy, row, x, y)


def _at_green(hole: kernels.HoleArrays, target: tuple[float, float, int]) -> bool:
    near = math.hypot(target[0] - hole.pin_x, target[1] - hole.pin_y) <= _NEAR_PIN_M
    return bool(near or kernels.ground_at(hole, target[0], target[1]) in (Ground.GREEN, Ground.FRINGE))
