"""Time, value error and policy loss of the strategies of the demo course.

Run: python benchmarks/strategy.py [COARSE_M FINE_M]. One thread, processor time, best of 3; handicap 12. Against
a much finer solution (nodes 4 m and 2 m apart, four times the error points, four targets refined): by hole, the
value error is the difference of the two solutions' values on the tee, the policy loss what the finer solution's
evaluation says that the targets cost. Goals: under 1.5 s, both at most 0.005 strokes a hole.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from demo_course import best_seconds, demo_grids
from rangework.play.kernels import Player, Policy, nearest_node
from rangework.play.lattice import lay_out
from rangework.play.points import error_points
from rangework.play.strategy import (
    Effort,
    Strategy,
    compile_player,
    evaluate_policy,
    solve_course,
    solve_hole,
)
from rangework.skill.reference import reference_golfer

GOAL_S, GOAL_STROKES = 1.5, 0.005


def fine_effort() -> Effort:
    return Effort(
        far=(error_points(96, 24), error_points(400, 96, 0.1), error_points(2048, 512, 0.3, 8)),
        near=(error_points(96, 24), error_points(256, 64, 0.1), error_points(768, 192, 0.3, 8)),
        starts=4,
    )


def played_on(strategy: Strategy, finer: Strategy, player: Player, effort: Effort) -> float:
    """Expected strokes by the finer solution's evaluation when the targets are those of ``strategy``."""
    rough, nodes = strategy.layout, finer.layout.nodes
    places = zip(nodes.row[:-1], nodes.x[:-1], nodes.y[:-1], strict=True)
    source = np.array([*(nearest_node(rough.lattices, *place) for place in places), rough.tee_node])
    policy = Policy(
        *(
            np.where(source >= 0, ours[source], best)
            for ours, best in zip(strategy.policy, finer.policy, strict=True)
        )
    )
    moved = Strategy(finer.layout, policy, finer.value, finer.cost)
    return evaluate_policy(moved, player, near=effort.near[2], far=effort.far[2]).expected_strokes


def main() -> None:
    steps = dict(zip(("coarse_step_m", "fine_step_m"), map(float, sys.argv[1:3]), strict=False))
    player, grids, finest = compile_player(reference_golfer(12.0)), demo_grids(), fine_effort()
    layouts = [lay_out(grid, **steps) for grid in grids]
    works = [lambda layout=layout: solve_hole(layout, player) for layout in layouts]
    seconds = best_seconds(works, 3, time.process_time)
    strategies = solve_course(layouts, player)
    finer = solve_course(
        [lay_out(grid, coarse_step_m=4.0, fine_step_m=2.0) for grid in grids], player, effort=finest
    )
    errors = np.array(
        [s.expected_strokes - f.expected_strokes for s, f in zip(strategies, finer, strict=True)]
    )
    losses = np.array(
        [played_on(s, f, player, finest) - f.expected_strokes for s, f in zip(strategies, finer, strict=True)]
    )
    print("hole par nodes   ms   value   error    loss")
    for layout, spent, best, error, loss in zip(layouts, seconds, finer, errors, losses, strict=True):
        nodes = len(layout.nodes.x)
        print(
            f"{layout.number:4} {layout.par:3} {nodes:5} {spent * 1e3:4.0f} "
            f"{best.expected_strokes:7.4f} {error:7.4f} {loss:7.4f}"
        )
    print(f"18 holes on one thread: {sum(seconds):.2f} s (goal < {GOAL_S})")
    print(
        f"value error: mean {errors.mean():.4f}, largest {np.abs(errors).max():.4f} (goal <= {GOAL_STROKES})"
    )
    print(f"policy loss: mean {losses.mean():.4f}, largest {losses.max():.4f} (goal <= {GOAL_STROKES})")


if __name__ == "__main__":
    main()
