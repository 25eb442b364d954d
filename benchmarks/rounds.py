"""Time of whole rounds beside NumPy's SFC64 drawing the same numbers, NumPy rounds and two threads.

Run: python benchmarks/rounds.py [ROUNDS]. Demo course, handicap 12, best of 7 turns in which every way is timed
once. Goals: at most 1.6 times what SFC64 takes for two normal numbers and a uniform one a full shot and one
uniform a green; at least 4 times as fast as NumPy; two threads at least 1.6 times as fast as one. NumPy plays
blocks of rounds that suit its cache, and draws with SFC64.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np

from demo_course import argument, best_seconds, demo_grids
from numpy_rounds import NumpyHole
from rangework.play.kernels import Player
from rangework.play.lattice import lay_out
from rangework.play.rounds import PUTTS, RoundSample, play_rounds
from rangework.play.strategy import Strategy, compile_player, solve_course
from rangework.skill.reference import reference_golfer

_BLOCK = 16384
#: Numbers drawn at a time: they stay in the cache.
_DRAWN = 16384


def draw_only(rng: np.random.Generator, normals: int, uniforms: int) -> None:
    """Draw as many numbers into the same places over and over."""
    place = np.empty(_DRAWN)
    for draw, count in ((rng.standard_normal, normals), (rng.random, uniforms)):
        for _ in range(count // _DRAWN):
            draw(out=place)
        draw(count % _DRAWN)


def numpy_rounds(strategies: list[Strategy], player: Player, rounds: int, rng: np.random.Generator) -> Any:
    """Strokes by hole and family, and strokes gained a round."""
    families, gained = [], np.zeros(9)
    for strategy in strategies:
        hole = NumpyHole(strategy, player)
        blocks = [hole.play(min(_BLOCK, rounds - start), rng) for start in range(0, rounds, _BLOCK)]
        families.append(np.concatenate([family for family, _, _ in blocks], axis=1))
        gained += np.sum([gains for _, _, gains in blocks], axis=0)
    return np.array(families), gained / rounds


def compare(strategies: list[Strategy], player: Player, rounds: int) -> None:
    rng = np.random.Generator(np.random.SFC64(1))
    ours = play_rounds(strategies, player, rounds, threads=1)
    theirs, _ = numpy_rounds(strategies, player, rounds, rng)
    scores = theirs.sum(axis=(0, 1))
    error = np.hypot(ours.standard_error, scores.std() / np.sqrt(rounds))
    print(f"mean score {ours.mean:.3f}, NumPy rounds {scores.mean():.3f}, standard error {error:.3f}")
    shots, greens = _shots(ours)
    draw, one, two, plain = best_seconds(
        [
            lambda: draw_only(rng, 2 * shots, shots + greens),
            lambda: play_rounds(strategies, player, rounds, threads=1),
            lambda: play_rounds(strategies, player, rounds, threads=2),
            lambda: numpy_rounds(strategies, player, rounds, rng),
        ]
    )
    for name, seconds in (("SFC64", draw), ("one thread", one), ("two threads", two), ("NumPy", plain)):
        print(
            f"{name:12} {seconds / shots * 1e9:7.1f} ns a shot {rounds / seconds / 1e6:7.3f} million rounds a second"
        )
    print(f"rounds / SFC64 {one / draw:.2f} (goal <= 1.6)")
    print(f"NumPy / rounds {plain / one:.1f} (goal >= 4)")
    print(f"one / two threads {one / two:.2f} (goal >= 1.6)")


def _shots(sample: RoundSample) -> tuple[int, int]:
    return int(sample.by_family[:, :, :PUTTS].sum()), sample.strokes.size


def main() -> None:
    rounds = argument(65536)
    player = compile_player(reference_golfer(12.0))
    start = time.perf_counter()
    strategies = solve_course([lay_out(grid) for grid in demo_grids()], player)
    print(f"strategies of {len(strategies)} holes: {time.perf_counter() - start:.1f} s; {rounds} rounds")
    compare(strategies, player, rounds)


if __name__ == "__main__":
    main()
