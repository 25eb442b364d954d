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
from rangework.plan.objective import WORST_SHARE, WorstSaving
from rangework.plan.returns import PracticeReturns, net_steps
from rangework.plan.rounding import Rounding

FloatArray = NDArray[np.float64]

#: Segments of every part's return; fewer than the mean plan's, since every draw needs its own slopes.
ROBUST_SEGMENTS = 12


def robust_hours(problem: HoursProblem, draws: PracticeReturns, start: FloatArray) -> FloatArray:
    """[drills] hours in five-minute steps that save most in the worst fifth of ``draws``.

    ``draws``: none may have a negative saving per step (``PracticeReturns.thinned``), so that every draw's
    returns are concave and share their segments. The linear program's hours are brought to whole blocks and
    the best of them, or of the plan ``start``, is improved step by step. (An integer program over all draws
    found the same within 0.001 strokes in the cases tried, but took up to ten times as long.)
    """
    objective = WorstSaving(draws, problem.drills)
    rounding = Rounding(problem, objective)
    program = LinearProgram()
    cut = segments(problem, ROBUST_SEGMENTS)
    add_drills(program, problem)
    add_segments(program, problem, cut, None)
    _add_worst_share(program, cut, draws)
    wanted = hours_of(problem, program.solve())
    whole = _whole_blocks(rounding, problem.blocks, wanted)
    starts = [start, *(hours for hours in map(rounding.in_five_minutes, whole) if rounding.feasible(hours))]
    return rounding.improved(max(starts, key=objective.value))


def _whole_blocks(rounding: Rounding, blocks: FloatArray, wanted: FloatArray) -> tuple[FloatArray, ...]:
    """The wanted hours without short blocks; and with the longer of them held in full where limits allow."""
    without = np.where(wanted >= blocks, wanted, 0.0)
    held = without.copy()
    for index in np.argsort(-wanted / blocks, kind="stable"):
        if 0.0 < wanted[index] < blocks[index]:
            held[index] = blocks[index]
            if not rounding.within(held):
                held[index] = 0.0
    return without, held


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
