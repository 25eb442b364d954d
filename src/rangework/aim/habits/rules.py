"""Rules: what a player aims at on which shots. Habits are rules, and so is the advice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from rangework.aim.habits.shots import FloatArray, HolePlaces, Kind, Mask, Shots
from rangework.aim.targets import Base, Target
from rangework.lie import Ground
from rangework.play.kernels import Player, Policy
from rangework.play.strategy import Strategy
from rangework.skill.model import CARRY_SHARE, STANDARD

#: The line of play is looked at in steps this long, and a shot's line for what it crosses.
_LINE_STEP_M, _CROSSING_STEP_M = 1.0, 3.0
_GREEN_BASES = (Base.PIN, Base.MIDDLE)


@dataclass(frozen=True, slots=True)
class Rule:
    """On ``shots`` aim at ``target``, moved by the share ``inward`` of the way from the pin to the green's middle.

    A target of None is the player's best one. With ``best_line`` only the length is that of the target (a longest
    shot or a carry), and the line is the best target's.
    """

    shots: Shots
    target: Target | None
    inward: float = 0.0
    best_line: bool = False


def usual_habits(base: Base) -> tuple[Rule, ...]:
    """The longest shot off every tee and wherever the green is out of reach, and ``base`` on every approach."""
    return (
        Rule(Shots(Kind.APPROACH), Target(base)),
        Rule(Shots(Kind.TEE), Target(Base.LONGEST)),
        Rule(Shots(Kind.LONG), Target(Base.LONGEST)),
    )


def aimed(strategy: Strategy, places: HolePlaces, player: Player, rules: Sequence[Rule]) -> Strategy:
    """The strategy with the targets that ``rules`` give; the first that fits a shot holds, else the best target.

    ``player`` is the golfer whose best targets ``strategy`` has. A rule gives way where its target cannot be aimed
    at, or where the line to it crosses out of bounds: what follows it in the list holds there.
    """
    policy = Policy(*(column.copy() for column in strategy.policy))
    open_ = np.ones(len(policy.x), dtype=np.bool_)
    for rule in rules:
        held = np.flatnonzero(open_ & places.asked.of_shots(rule.shots))
        if rule.target is not None and len(held):
            at, usable = rule_targets(rule, places, player, held, strategy.policy)
            held, at = held[usable], at[usable]
            policy.x[held], policy.y[held], policy.height[held] = at[:, 0], at[:, 1], STANDARD
        open_[held] = False
    return replace(strategy, policy=policy)


def rule_targets(
    rule: Rule, places: HolePlaces, player: Player, nodes: np.ndarray, best: Policy | None = None
) -> tuple[FloatArray, Mask]:
    """Where a rule's target lies from each of ``nodes``, and whether it may be aimed at.

    ``best`` holds the best targets, for rules with ``best_line``.
    """
    target = rule.target
    assert target is not None
    all_nodes = places.played.layout.nodes
    start = np.stack([all_nodes.x[nodes], all_nodes.y[nodes]], axis=1)
    to_pin_m, longest_m = places.asked.to_pin_m[nodes], player.longest[all_nodes.reach[nodes]]
    usable = np.ones(len(nodes), dtype=np.bool_)
    if target.base in _GREEN_BASES:
        pin, middle = np.asarray(places.played.pin_m), np.asarray(places.played.middle_m)
        base = pin + (middle - pin) * (1.0 if target.base is Base.MIDDLE else rule.inward)
        base = np.broadcast_to(base, start.shape)
    elif target.base is Base.LAY_UP:
        length_m = target.length_m or 0.0
        usable &= to_pin_m > length_m + 1.0
        place = places.played.before_pin(length_m) or places.played.start_m
        base = np.broadcast_to(np.asarray(place), start.shape)
    else:
        far_m = longest_m if target.base is Base.LONGEST else _totals_m(target, player, all_nodes.row[nodes])
        usable &= far_m <= longest_m + 0.6
        far_m = np.minimum(np.minimum(far_m, longest_m), to_pin_m)
        if rule.best_line and best is not None:
            base = _towards(start, np.stack([best.x[nodes], best.y[nodes]], axis=1), far_m)
        else:
            base = _ahead(places, start, far_m)
    at = _moved(start, base, target)
    return at, usable & ~_over_bounds(places, start, at, longest_m)


def _totals_m(target: Target, player: Player, rows: np.ndarray) -> FloatArray:
    """Total lengths of standard shots that fly as far as ``target`` says, by lie."""
    totals = np.empty(len(rows))
    for row in np.unique(rows):
        share = player.table[row, STANDARD, :, CARRY_SHARE]
        lengths = np.arange(len(share), dtype=float)
        totals[rows == row] = np.interp(target.length_m or 0.0, lengths * share, lengths)
    return totals


def _towards(start: FloatArray, place: FloatArray, far_m: FloatArray) -> FloatArray:
    """So far from each start on the line to a place."""
    along = place - start
    ends: FloatArray = start + along * (far_m / np.maximum(np.hypot(*along.T), 1e-9))[:, None]
    return ends


def _moved(start: FloatArray, base: FloatArray, target: Target) -> FloatArray:
    """Places to the right of the bases and beyond them, as seen from the starts."""
    along = base - start
    far = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
    ahead = along / far
    right = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1)
    return base + target.right_m * right + target.long_m * ahead


def _ahead(places: HolePlaces, start: FloatArray, far_m: FloatArray) -> FloatArray:
    """The places on the line of play so far ahead of each start, as ``PlayedHole.ahead`` has them."""
    line = _dense(places.played.line_m)
    away = np.hypot(line[None, :, 0] - start[:, None, 0], line[None, :, 1] - start[:, None, 1])
    passed = np.arange(len(line))[None, :] >= away.argmin(axis=1)[:, None]
    gone = passed & (away >= far_m[:, None])
    after = np.clip(gone.argmax(axis=1), 1, None)
    rows = np.arange(len(start))
    low, high = away[rows, after - 1], away[rows, after]
    share = np.clip((far_m - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)[:, None]
    on_line = line[after - 1] + share * (line[after] - line[after - 1])
    pin = np.asarray(places.played.pin_m)
    along = (pin - start) / np.maximum(np.hypot(*(pin - start).T), 1e-9)[:, None]
    at: FloatArray = np.where(gone.any(axis=1)[:, None], on_line, start + far_m[:, None] * along)
    return at


def _dense(line_m: FloatArray) -> FloatArray:
    legs = np.hypot(*np.diff(line_m, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(legs)])
    along = np.linspace(0.0, at[-1], int(at[-1] / _LINE_STEP_M) + 2)
    return np.stack([np.interp(along, at, line_m[:, 0]), np.interp(along, at, line_m[:, 1])], axis=1)


def _over_bounds(places: HolePlaces, start: FloatArray, at: FloatArray, longest_m: FloatArray) -> Mask:
    """Whether a line crosses ground that is out of bounds: other people's, for all that the map shows."""
    grid = places.played.layout.grid
    if not (grid.ground == int(Ground.OUT)).any():
        return np.zeros(len(start), dtype=np.bool_)
    far = np.hypot(*(at - start).T)
    held = np.minimum(1.0, longest_m / np.maximum(far, 1e-9))[:, None]
    end = start + (at - start) * held
    steps = np.linspace(0.0, 1.0, int(far.max() / _CROSSING_STEP_M) + 2)[1:]
    x = start[:, None, 0] + (end - start)[:, None, 0] * steps
    y = start[:, None, 1] + (end - start)[:, None, 1] * steps
    crossed: Mask = (grid.ground_at(x, y) == int(Ground.OUT)).any(axis=1)
    return crossed


def speaks_of(rules: Sequence[Rule], places: HolePlaces) -> Mask:
    """The nodes that some rule with a target is about."""
    held = np.zeros(len(places.asked.to_pin_m), dtype=np.bool_)
    for rule in rules:
        if rule.target is not None:
            held |= places.asked.of_shots(rule.shots)
    return held
