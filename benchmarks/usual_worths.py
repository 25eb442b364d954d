"""The table of usual worths, computed anew: ``python benchmarks/usual_worths.py`` prints ``WORTHS``.

For src/rangework/skill/usual_worths.py, after a change of reference golfers, standard holes or strategy. A slow test
compares one column.
"""

from __future__ import annotations

import numpy as np

from rangework.course.standard_hole import standard_hole
from rangework.play.lattice import lay_out
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.parts import PARTS
from rangework.skill.reference import reference_golfer
from rangework.skill.usual_worths import LEVELS, STANDARD_CARD_YD
from rangework.units import YARD_M
from rangework.worth.savings import WorthPoints, golfer_worths


def main() -> None:
    layouts = [
        lay_out(standard_hole(length * YARD_M, seed=number))
        for number, length in enumerate(STANDARD_CARD_YD, start=1)
    ]
    columns = []
    for level in LEVELS:
        golfer = reference_golfer(level)
        strategies = solve_course(layouts, compile_player(golfer))
        columns.append(golfer_worths(strategies, golfer, points=WorthPoints.many()))
    print("WORTHS: dict[str, tuple[float, ...]] = {")
    for part, row in zip(PARTS, np.array(columns).T, strict=True):
        if part.kind != "bias":
            print(f'    "{part.id}": ({", ".join(f"{max(worth, 0.0):.2f}" for worth in row)}),')
    print("}")


if __name__ == "__main__":
    main()
