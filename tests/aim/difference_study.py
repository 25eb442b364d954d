"""How often two targets are called different: simulated players whose true strokes are known, and their records.

Each player comes off the fit's prior around a stated handicap, and records balls with irons on the range, in sessions
that differ. On a par 3 of 130 m with its pin tucked beside a bunker three targets are set by the truth: one on
either side of the best target, each truly 0.05 strokes dearer than it.

Run ``python tests/aim/difference_study.py [PLAYERS BALLS]`` for the figures of docs/explanation/aim.md.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

sys.path.extend(str(Path(__file__).parents[1] / folder) for folder in ("play", "skill", "validation"))

from aimed_holes import par_three
from recorded_players import HiddenPlayer, SimulatedPlayer, hidden_player

from rangework.aim import Aiming, Comparison, PlayedHole, Shot, place_ball
from rangework.aim.comparing import SMALLEST, Difference, Values
from rangework.aim.objectives import FewestStrokes, plausible_values
from rangework.aim.values import AimPoints, balanced_points, mean_value
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player, solve_hole
from rangework.records.profile import PlayerProfile
from rangework.records.shots import ShotRecords
from rangework.skill.fit import fit_player
from rangework.skill.model import Golfer

GAP_STROKES = 0.05
BALLS, SESSION_BALLS, DRAWS = 1000, 60, 100
IRONS_YD = [60.0, 80.0, 95.0, 110.0, 125.0, 140.0, 155.0, 165.0, 180.0]
POINTS = AimPoints(
    balanced_points(640, 160, 0.1, 4),
    balanced_points(2000, 500, 0.37, 2),
    balanced_points(1000, 250, 0.37, 2),
)
#: Shares of plausible players that have to agree, to be compared with the one in use.
LIMITS = (0.9, 0.95, 0.96, 0.97, 0.98, 0.99)
FARTHEST_M, STEP_M = 40.0, 0.5


@dataclass(frozen=True)
class Told:
    """What is told of two targets that cost the same, and of two that are 0.05 strokes apart."""

    same: Difference
    apart: Difference


@cache
def played_hole() -> PlayedHole:
    grid = par_three(pin_x=9.0, sand=True)
    return PlayedHole(lay_out(grid), np.array([grid.tee_m, grid.pin_m]), (-9.0, grid.pin_m[1]))


def objective_of(golfer: Golfer) -> FewestStrokes:
    """The golfer's own best targets, from the tee."""
    played, player = played_hole(), compile_player(golfer)
    aiming = Aiming(played, place_ball(played, player), player)
    return FewestStrokes(solve_hole(played.layout, player), aiming)


def beside_the_pin(right_m: float) -> Shot:
    x, y = played_hole().pin_m
    return Shot((x + right_m, y))


def true_targets(golfer: Golfer) -> tuple[Shot, Shot, Shot]:
    """The best target on the line across the pin, and those right and left of it that truly cost 0.05 more."""
    outlook = objective_of(golfer).own
    right = np.arange(-FARTHEST_M, FARTHEST_M, STEP_M)
    value = np.array([mean_value(outlook, beside_the_pin(at), POINTS.value) for at in right])
    best = int(value.argmin())
    level = value[best] + GAP_STROKES
    first = best + int(np.argmax(value[best:] > level))
    last = best - int(np.argmax(value[best::-1] > level))
    sides = [
        np.interp(level, value[[k - step, k]], right[[k - step, k]]) for k, step in ((first, 1), (last, -1))
    ]
    return (beside_the_pin(float(right[best])), *(beside_the_pin(float(side)) for side in sides))


def recorded(hidden: HiddenPlayer, balls: int) -> ShotRecords:
    player = SimulatedPlayer(hidden.golfer, 100_000 * hidden.seed + balls, hidden.days)
    sessions = max(1, round(balls / SESSION_BALLS))
    return player.records(aimed=player.practice(IRONS_YD, round(balls / sessions), sessions))


def told(seed: int, balls: int = BALLS) -> Told:
    """What the tool says of one player from their records alone."""
    hidden = hidden_player(seed)
    shots = true_targets(hidden.golfer)
    posterior = fit_player(recorded(hidden, balls), profile=PlayerProfile(handicap=hidden.stated), seed=seed)
    golfer = posterior.mean
    objective = objective_of(golfer)
    means = np.array([mean_value(objective.own, shot, POINTS.value) for shot in shots])
    *drawn, rough = plausible_values(objective, golfer, posterior.draws(DRAWS), shots, POINTS.draw, threads=1)
    values = Values(means, np.array(drawn) + (means - rough))
    compared = Comparison(objective.aiming, (), 0, values, "strokes", 0, "data")
    return Told(compared.difference(1, 2), compared.difference(1, 0))


def main() -> None:
    players, balls = map(int, sys.argv[1:3] or (200, BALLS))
    found = []
    for seed in range(players):
        found.append(told(seed, balls))
        each = (found[-1].same, found[-1].apart)
        print(seed, *(f"{of.amount.value:+.3f} {of.agreeing:.2f} {of.is_real}" for of in each), flush=True)
    print(f"said to differ when they do not: {np.mean([each.same.is_real for each in found]):.3f}")
    print(f"0.05 strokes found: {np.mean([found_right(each.apart) for each in found]):.3f}")
    for limit in LIMITS:
        said, right = (
            np.mean([told_at(limit, of) and of.amount.value > low for of in differences])
            for differences, low in (
                ([each.same for each in found], -9.0),
                ([each.apart for each in found], 0.0),
            )
        )
        print(f"with {limit:.0%} of the plausible players to agree: {said:.3f} and {right:.3f}")


def told_at(limit: float, difference: Difference) -> bool:
    """Whether a difference would be called real if so many had to agree."""
    return difference.agreeing >= limit and abs(difference.amount.value) >= SMALLEST


def found_right(apart: Difference) -> bool:
    """Whether a true difference is told, and the right way round."""
    return apart.is_real and apart.amount.value > 0.0


if __name__ == "__main__":
    main()
