"""A plan against bad luck: maximise the mean of the worst fifth of the draws (conditional value at risk).

The mean of the worst share ``a`` of draws is the maximum over a level ``t`` of
``t - mean(max(0, t - saving)) / a`` (Rockafellar and Uryasev 2000), which is linear beside concave returns.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rangework.plan.hours_program import (
    HoursProblem,
    Segments,
    add_drills,
    add_segments,
    hours_of,
    segment_name,
    segments,
)
from rangework.plan.linear_program import LinearProgram
from rangework.plan.returns import PracticeReturns, net_steps
from rangework.plan.rounding import add_least_blocks, in_five_minutes

FloatArray = NDArray[np.float64]

WORST_SHARE = 0.2
#: Segments of every part's return; fewer than the mean plan's, since every draw needs its own slopes.
ROBUST_SEGMENTS = 12
#: Strokes a round from the best at which the robust program may stop; rounding to five minutes loses as much.
ROBUST_GAP = 0.002


def worst_mean(savings: FloatArray, share: float = WORST_SHARE) -> float:
    """Mean of the worst ``share`` of the savings, the draw at the edge counted in part."""
    ordered = np.sort(savings)
    weight = np.clip(share * len(ordered) - np.arange(len(ordered)), 0.0, 1.0)
    return float(ordered @ weight / (share * len(ordered)))


def worst_saving(problem: HoursProblem, draws: PracticeReturns, hours: FloatArray) -> float:
    """Mean strokes saved in the worst fifth of ``draws`` with these hours."""
    return worst_mean(draws.savings(problem.part_hours(hours)))


def robust_hours(problem: HoursProblem, draws: PracticeReturns) -> FloatArray:
    """[drills] hours in five-minute steps that save most in the worst fifth of ``draws``.

    ``draws``: none may have a negative saving per step (``PracticeReturns.thinned``), so that every draw's
    returns are concave and share their segments. The program stops within 0.002 strokes of the best.
    """
    program = LinearProgram()
    cut = segments(problem, ROBUST_SEGMENTS)
    add_drills(program, problem)
    add_segments(program, problem, cut, None)
    add_least_blocks(program, problem)
    _add_worst_share(program, cut, draws)
    hours = hours_of(problem, program.solve(gap=ROBUST_GAP))
    return in_five_minutes(problem, hours, lambda tried: worst_saving(problem, draws, tried))


def _add_worst_share(program: LinearProgram, cut: Segments, draws: PracticeReturns) -> None:
    none = draws.savings(np.zeros(len(cut.knots)))
    slopes = _slopes(cut, draws)
    program.variable("level", low=None, cost=-1.0)
    names = [segment_name(part, segment) for part, segment in np.ndindex(*cut.widths.shape)]
    for draw, (at_zero, row) in enumerate(zip(none, slopes, strict=True)):
        program.variable(f"shortfall.{draw}", cost=1.0 / (WORST_SHARE * len(none)))
        terms = dict(zip(names, (-row).ravel().tolist(), strict=True))
        terms |= {"level": 1.0, f"shortfall.{draw}": -1.0}
        program.row(f"draw.{draw}", terms, "<=", float(at_zero))


def _slopes(cut: Segments, draws: PracticeReturns) -> FloatArray:
    """[draws, parts, segments] strokes an hour."""
    steps = np.stack([net_steps(knot, draws.responses, draws.weeks) for knot in cut.knots.T], axis=-1)
    rise = np.diff(steps, axis=-1) * draws.saved[..., np.newaxis]
    return np.asarray(np.divide(rise, cut.widths, out=np.zeros_like(rise), where=cut.widths > 1e-12))
