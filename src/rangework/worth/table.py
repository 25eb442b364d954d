"""The worth of every part over a posterior, with its Monte Carlo error and its range."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from rangework.play.strategy import Strategy, coarsened, narrowed
from rangework.skill.model import FloatArray, Golfer
from rangework.worth.savings import WorthPoints, aim_shifts, golfer_worths, in_threads, reached_nodes

#: Independent tables of error points that the Monte Carlo error is measured over.
REPLICATES = 4


@dataclass(frozen=True, slots=True)
class WorthTable:
    """Strokes a round saved by one step of each of ``PARTS``.

    ``strokes_saved[part]`` is the mean over the posterior, ``standard_error[part]`` its Monte Carlo error;
    ``draws[draw, part]`` the saving of each posterior draw.
    """

    strokes_saved: FloatArray
    standard_error: FloatArray
    draws: FloatArray

    def interval(self) -> tuple[FloatArray, FloatArray]:
        """The central 90 % of the draws, by part."""
        low, high = np.quantile(self.draws, [0.05, 0.95], axis=0)
        return low, high


def part_worths(
    strategies: Sequence[Strategy],
    mean: Golfer,
    draws: Sequence[Golfer],
    *,
    threads: int = 2,
    progress: Callable[[], None] | None = None,
) -> WorthTable:
    """Worth of every part: strategy of the posterior mean, played by each draw.

    The draws are valued on few error points. The mean golfer, valued on few and on many, tells how far off
    those are, and the mean over the draws is corrected by it.
    """
    exact = []
    for replicate in range(REPLICATES):
        points = WorthPoints.many(0.3 + 0.11 * replicate)
        exact.append(golfer_worths(strategies, mean, points=points, threads=threads))
        if progress:
            progress()
    many, error = np.mean(exact, axis=0), np.std(exact, axis=0, ddof=1) / np.sqrt(REPLICATES)
    if not draws:
        return WorthTable(many, error, many[None, :])
    quick, coarse = WorthPoints.quick(), [coarsened(strategy) for strategy in strategies]
    reached = reached_nodes(coarse, mean, quick)
    coarse = [narrowed(strategy, nodes) for strategy, nodes in zip(coarse, reached, strict=True)]
    few = golfer_worths(coarse, mean, points=quick, reached=reached, threads=threads)
    shifts = aim_shifts(mean)

    def of_draw(number: int) -> FloatArray:
        saved = golfer_worths(
            coarse, draws[number], aimed_by=mean, shifts=shifts, points=quick, reached=reached, threads=1
        )
        if progress:
            progress()
        return saved

    # draws, not holes, share the threads: compiling one draw then overlaps with valuing another
    saved = np.array(in_threads(of_draw, range(len(draws)), threads)) + (many - few)
    return WorthTable(saved.mean(axis=0), error, saved)
