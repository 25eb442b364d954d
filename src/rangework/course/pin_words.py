"""Pins by the place they have on a green, as the player arrives: the middle, or near one of eight sides."""

from __future__ import annotations

from rangework.course.drawn_green import Green
from rangework.course.geometry import Point
from rangework.course.outlines import POSITIONS_DEG
from rangework.units import YARD_M

PIN_WORDS = ("middle", *POSITIONS_DEG)

#: Pins where a file names none.
USUAL_PINS = ("front-left", "middle", "back-right")

#: Least distance from the edge: Course Rating Manual, p. 71, "4 yards".
LEAST_EDGE_M = 4 * YARD_M

#: Where a pin named by a word lies off the edge it faces, as far as the green has room.
WORD_EDGE_M = 5 * YARD_M


def pin_by_word(green: Green, word: str, edge_m: float | None = None) -> Point:
    """The pin ``edge_m`` inside where the green's edge faces ``word``; the usual distance where none is given."""
    return green.middle if word == "middle" else green.edge(word, -(edge_m or word_edge_m(green)))[0]


def word_edge_m(green: Green) -> float:
    """How far from the edge a pin named by a word lies."""
    return max(LEAST_EDGE_M, min(WORD_EDGE_M, 0.6 * green.room_m))
