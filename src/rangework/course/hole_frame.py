"""What the parts of a hole are placed by."""

from __future__ import annotations

from dataclasses import dataclass

from rangework.course.drawn_green import Green
from rangework.course.findings import Findings
from rangework.course.hole_plane import SAME_PLANE, HolePlane
from rangework.course.line_of_play import LineOfPlay


@dataclass(frozen=True, slots=True, eq=False)
class HoleFrame:
    """A hole's line of play and green, and how far ahead of the longest tee the most forward one is.

    ``plane`` is where the hole's plane lies on that of its outlines.
    """

    number: int
    par: int
    line: LineOfPlay
    green: Green
    forward_tee_m: float
    findings: Findings
    plane: HolePlane = SAME_PLANE

    def assume(self, text: str) -> None:
        """Something this hole leaves open."""
        self.findings.assume(text, self.number)
