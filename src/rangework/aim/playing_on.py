"""The hole played on from a place, many times, with the same luck for every target."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rangework.aim.places import Ball
from rangework.aim.targets import Shot
from rangework.lie import Lie
from rangework.play import kernels
from rangework.play.kernels import Player, Policy
from rangework.play.rounds import play_rounds
from rangework.play.strategy import Strategy


@dataclass(frozen=True, slots=True)
class PlayedOn:
    """Strokes that the rest of the hole took, this shot included, and whether the shot found the green."""

    strokes: NDArray[np.uint8]
    green: NDArray[np.bool_]

    @property
    def mean(self) -> float:
        """Mean strokes."""
        return float(self.strokes.mean())

    @property
    def standard_error(self) -> float:
        """Standard error of the mean."""
        return float(self.strokes.std(ddof=1) / np.sqrt(len(self.strokes)))

    def score_chances(self, ball: Ball, par: int) -> tuple[float, float, float, float]:
        """Chances of birdie or better, par, bogey, and double bogey or worse on the whole hole."""
        over = self.strokes.astype(np.int64) + (ball.stroke - 1 - par)
        better = [float((over <= most).mean()) for most in (-1, 0, 1)]
        return better[0], better[1] - better[0], better[2] - better[1], 1.0 - better[2]


def play_on(
    strategy: Strategy, player: Player, ball: Ball, shot: Shot, rounds: int, *, seed: int, threads: int = 2
) -> PlayedOn:
    """Play ``shot`` from where the ball lies, and then the targets of ``strategy``, ``rounds`` times."""
    sample = play_rounds([starting_with(strategy, ball, shot)], player, rounds, seed=seed, threads=threads)
    return PlayedOn(sample.strokes[:, 0], sample.green_hit[:, 0])


def starting_with(strategy: Strategy, ball: Ball, shot: Shot) -> Strategy:
    """The same strategy with the ball's place for a tee and the shot for its target.

    A recovery that fails is tried again in the same way. Taken for a par 3, on which the green is hit in regulation
    when this very shot finds it.
    """
    nodes = strategy.layout.nodes
    started = nodes._replace(
        x=_changed(nodes.x, [-1], ball.place_m[0]),
        y=_changed(nodes.y, [-1], ball.place_m[1]),
        row=_changed(nodes.row, [-1], ball.row),
        reach=_changed(nodes.reach, [-1], ball.reach),
    )
    aimed = (*shot.place_m, shot.height)
    places = [-1, *_played_again_from(strategy, ball)]
    policy = Policy(
        *(_changed(column, places, value) for column, value in zip(strategy.policy, aimed, strict=True))
    )
    return replace(strategy, layout=replace(strategy.layout, nodes=started, par=3), policy=policy)


def _played_again_from(strategy: Strategy, ball: Ball) -> list[int]:
    """The node whose target a recovery that failed, and stayed where it was, is tried with again."""
    if ball.lie is not Lie.RECOVERY:
        return []
    nodes = strategy.layout.nodes
    node = int(nodes.cell_play[kernels.cell_at(strategy.layout.hole, *ball.place_m)])
    return [node] if 0 <= node < len(nodes.x) else []


def _changed(column: NDArray[Any], places: Sequence[int], value: float) -> NDArray[Any]:
    copied = column.copy()
    copied[list(places)] = value
    return copied
