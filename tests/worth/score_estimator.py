"""The second estimator of worth: real strokes, each weighed by how much likelier the change would make it.

For a golfer changed by a small amount e of a part, the mean score moves by

    d E[strokes] / de = E[ sum over strokes of d log p(stroke) / de x (strokes still taken - value) ]

whatever the value is, because a stroke's score has mean 0 given where it is played from; the dynamic program's value
only makes it quiet. (The likelihood-ratio, or score function, method: Glynn 1990, Communications of the ACM 33:75.)
It shares with the gradient estimator the skill tables and where a ball stops, and nothing of how either sums.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from rangework.lie import Ground, Lie
from rangework.play import kernels
from rangework.play.kernels import AT_LONGEST, DROPPED, MOST_STROKES, REPLAYED, STUCK
from rangework.play.strategy import Strategy, compile_player
from rangework.skill.model import BIAS_DEPTH, BIAS_DIRECTION, STANDARD, Golfer, compile_golfer
from rangework.skill.parts import PART_IDS, PARTS, improve
from rangework.skill.putting import putt_tables

FloatArray = NDArray[np.float64]

_SHOT_PARTS = [index for index, part in enumerate(PARTS) if part.family != "putting"]
_PUTT_PARTS = [index for index, part in enumerate(PARTS) if part.family == "putting"]
RECOVERY, GREEN, FRINGE, SAFE = int(Lie.RECOVERY), int(Ground.GREEN), int(Ground.FRINGE), 1e-12


class Estimate(NamedTuple):
    """Strokes a round saved by a whole step of each part, to first order, and its standard error."""

    saved: FloatArray
    standard_error: FloatArray


def score_worths(
    strategies: Sequence[Strategy], golfer: Golfer, rounds: int, *, steps: float = 0.005, seed: int = 0,
    value: bool = True,
) -> Estimate:  # fmt: skip
    """Worth of every part from ``rounds`` simulated rounds; ``value=False`` weighs with 0 instead of the value."""
    player, changes, shifts = compile_player(golfer), *_changes(golfer, steps)
    cumulative = np.array(
        [putt_tables(improve(golfer, PART_IDS[i], steps).putting).cumulative for i in _PUTT_PARTS]
    )
    saved, variance = np.zeros(len(PARTS)), np.zeros(len(PARTS))
    for strategy in strategies:
        sums, squares = np.zeros(len(PARTS)), np.zeros(len(PARTS))
        layout = strategy.layout
        score_hole(
            layout.hole, layout.lattices, layout.nodes, strategy.policy, player, changes, shifts, cumulative,
            strategy.cost.ravel() if value else np.zeros_like(strategy.cost).ravel(),
            strategy.expected_strokes if value else 0.0, player.putts if value else 0.0 * player.putts,
            np.array(_SHOT_PARTS), np.array(_PUTT_PARTS), seed, layout.number, rounds, sums, squares,
        )  # fmt: skip
        mean = sums / rounds
        saved -= mean
        variance += (squares / rounds - mean**2) / rounds
    return Estimate(saved / steps, np.sqrt(variance) / steps)


def _changes(golfer: Golfer, steps: float) -> tuple[FloatArray, FloatArray]:
    """Tables after a small change of each shot part, and how the aim moves with a known bias."""
    before = compile_golfer(golfer).table
    tables, shifts = [], np.zeros((len(_SHOT_PARTS), before.shape[0], before.shape[2], 2))
    for row, part in enumerate(_SHOT_PARTS):
        improved = improve(golfer, PART_IDS[part], steps)
        tables.append(compile_golfer(improved, aimed_by=golfer).table)
        if PARTS[part].kind == "bias":
            moved = before[:, STANDARD] - compile_golfer(improved).table[:, STANDARD]
            shifts[row, :, :, 0], shifts[row, :, :, 1] = moved[:, :, BIAS_DEPTH], moved[:, :, BIAS_DIRECTION]
    return np.array(tables), shifts


@njit
def same_shot(player: Any, changed: Any, row: int, height: int, i: int) -> bool:
    """Whether a shot from table position ``i`` is untouched by a change."""
    here, there = player.table[row, height, i : i + 2], changed[row, height, i : i + 2]
    return bool(np.all(here == there))


@njit(error_model="numpy")
def shot_score(
    player: Any, changed: Any, row: int, height: int, target: float, longer: float, turn: float,
    z1: float, z2: float, is_poor: bool,
) -> float:  # fmt: skip
    """Change of the log density of one sampled shot, to first order in the change of its six numbers."""
    depth, direction, bias_depth, bias, poor, _ = kernels.shot_row(player, row, height, target)
    other = kernels.Player(
        changed, player.longest, player.correlation, player.putts, player.cumulative, player.putt_step
    )
    depth2, direction2, bias_depth2, bias2, poor2, _ = kernels.shot_row(other, row, height, target + longer)
    score = (poor2 - poor) / poor if is_poor else -(poor2 - poor) / (1.0 - poor)
    if row == RECOVERY and is_poor:
        return score
    stretch, mean_moves = 1.0, longer + bias_depth2 - bias_depth
    if is_poor:
        stretch, mean_moves = kernels.POOR_SPREAD, kernels.POOR_LENGTH * longer
    rho = player.correlation
    root = math.sqrt(1.0 - rho * rho)
    along, across = depth * stretch, direction * stretch
    whole = rho * z1 + root * z2  # the direction error in units of its sd
    score += (z1 - rho * z2 / root) * mean_moves / max(along, SAFE)
    score += z2 / root * (bias2 + turn - bias) / max(across, SAFE)
    score += (z1 * z1 - 1.0 - rho * z1 * z2 / root) * (depth2 - depth) / max(depth, SAFE)
    score += (z2 * whole / root - 1.0) * (direction2 - direction) / max(direction, SAFE)
    return score


@njit(error_model="numpy")
def putts_score(before: Any, after: Any, step: float, distance: float, count: int) -> float:
    """Change of the log chance of a number of putts."""
    position = distance / step
    i = min(int(position), before.shape[0] - 2)
    f = min(position - i, 1.0)
    chance, moved = 0.0, 0.0
    for table in range(2):
        now = before if table == 0 else after
        high = 1.0 if count == 5 else now[i, count - 1] * (1.0 - f) + now[i + 1, count - 1] * f
        low = 0.0 if count == 1 else now[i, count - 2] * (1.0 - f) + now[i + 1, count - 2] * f
        if table == 0:
            chance = high - low
        else:
            moved = high - low
    return (moved - chance) / max(chance, SAFE)


@njit(error_model="numpy")
def score_hole(
    hole, lattices, nodes, policy, player, changes, shifts, cumulative, cost, tee_value, putts,
    shot_parts, putt_parts, seed, number, rounds, sums, squares,
):  # type: ignore[no-untyped-def]  # fmt: skip
    """Play a hole in many rounds; add each part's score times (strokes still taken - value), and its square."""
    n_parts = sums.shape[0]
    scores, baseline = np.zeros((MOST_STROKES + 1, n_parts)), np.zeros(MOST_STROKES + 1)
    before = np.zeros(MOST_STROKES + 1)
    tee = nodes.x.shape[0] - 1
    for i in range(rounds):
        key = kernels.luck_key(seed, i, number)
        x, y, row, reach = nodes.x[tee], nodes.y[tee], nodes.row[tee], nodes.reach[tee]
        tx, ty, height = policy.x[tee], policy.y[tee], policy.height[tee]
        value, taken, played = tee_value, 0, 0
        while taken < MOST_STROKES:
            sx, sy = x, y
            x, y, ending, z1, z2, is_poor, target = kernels.play_stroke(
                hole, player, key, played, row, reach, sx, sy, tx, ty, height
            )
            scores[played] = 0.0
            baseline[played], before[played] = value, taken
            cell = min(int(target), player.table.shape[2] - 2)
            held_back = target >= AT_LONGEST * player.longest[reach]
            for change in range(changes.shape[0]):
                if same_shot(player, changes[change], row, height, cell):
                    continue
                longer = 0.0 if held_back else shifts[change, row, cell, 0]
                scores[played, shot_parts[change]] = shot_score(
                    player, changes[change], row, height, target, longer, shifts[change, row, cell, 1],
                    z1, z2, is_poor,
                )  # fmt: skip
            played += 1
            taken += 2 if ending in (DROPPED, REPLAYED) else 1
            if ending in (REPLAYED, STUCK):
                continue
            ground = kernels.ground_at(hole, x, y)
            if ground == GREEN or ground == FRINGE:  # noqa: SIM109
                distance = math.hypot(x - hole.pin_x, y - hole.pin_y)
                u = kernels.uniform(key, kernels.luck_counter(played, 3))
                count = kernels.putts_taken(player.cumulative, player.putt_step, distance, u)
                scores[played] = 0.0
                for change in range(cumulative.shape[0]):
                    scores[played, putt_parts[change]] = putts_score(
                        player.cumulative, cumulative[change], player.putt_step, distance, count
                    )
                baseline[played], before[played] = (
                    kernels.interpolate(putts, player.putt_step, distance),
                    taken,
                )
                taken += count
                played += 1
                break
            value = cost[kernels.cell_at(hole, x, y)]
            row = kernels.lie_on(ground)
            reach = row
            tx, ty, height = kernels.next_target(hole, lattices, policy, row, x, y)
        for part in range(n_parts):
            total = 0.0
            for k in range(played):
                total += scores[k, part] * (taken - before[k] - baseline[k])
            sums[part] += total
            squares[part] += total * total
