"""The columns that a practice test's card adds to shot records (docs/reference/assessments.md).

They say what each ball was played at. Records don't need them, so reading shots passes over them without a word.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from rangework.records.columns import Column
from rangework.records.rows import Cells
from rangework.records.table import Table

#: The column that makes a file a card.
IDENTIFIER = "assessment"


def _same(*words: str) -> dict[str, int | str]:
    return {word: word for word in words}


_ALL = (
    Column(IDENTIFIER, "text", "name of the practice test"),
    Column("measured_by", "choice", "how the finish was measured", _same("paced", "device")),
    Column("measuring_error", "length", "standard deviation of that, in long and in right each"),
    Column("course", "text", "course whose greens are played at"),
    Column("tee", "text", "tees from which that hole's line of play runs"),
    Column("pin_distance", "length", "from the ball to the pin"),
    Column("pin_right", "length", "how far right of the line from ball to target the pin stands"),
    Column("run", "length", "run expected after the ball lands, where carry is measured"),
    Column("pin_side", "choice", "third of the green's width", _same("left", "middle", "right")),
    Column("pin_depth", "choice", "third of the green's depth", _same("front", "middle", "back")),
    Column("pin_from_left", "length", "green left of the pin"),
    Column("pin_from_right", "length", "green right of the pin"),
    Column("pin_from_front", "length", "green in front of the pin"),
    Column("pin_from_back", "length", "green behind the pin"),
    Column("short_side", "choice", "side with little green", _same("none", "left", "right", "front", "back")),
    Column("bunker", "choice", "side of the nearest bunker", _same("none", "left", "right", "front", "back")),
    Column("reference", "text", "golfer whose strokes are counted from: a handicap index, or tour"),
    Column("reference_group", "choice", "that golfer's tables", _same("men", "women")),
    Column("margin", "text", "strokes that a ball may lose and still count as a success"),
    Column("expected_strokes", "text", "strokes that golfer needs from where the ball is played"),
    Column("gained", "text", "strokes gained, where the card has worked them out"),
)

#: Every column that only a card has, by name, in the order in which cards are written.
CARD_COLUMNS: Mapping[str, Column] = MappingProxyType({column.name: column for column in _ALL})

#: What a ball that was hit fills, one of them at least.
_HIT = ("long_yd", "long_m", "long_ft", "right_yd", "right_m", "right_ft", "misread", "holed")
_NOTHING = {"", "0", "no", "false"}


def is_card(header: tuple[str, ...]) -> bool:
    """Whether a file is a practice test's card."""
    return IDENTIFIER in map(_plain, header)


def without_balls_to_come(table: Table) -> Table:
    """A card without the balls that nobody has hit yet; any other table as it is."""
    if not is_card(table.header):
        return table
    hit = np.zeros(len(table.lines), bool)
    for name, cells in zip(table.header, table.cells, strict=True):
        if _plain(name) in _HIT:
            flag = _plain(name) in ("misread", "holed")
            said = [text.strip().casefold() not in (_NOTHING if flag else {""}) for text in cells.texts]
            hit |= np.array(said, bool)[cells.codes]
    cells_kept = tuple(Cells(cells.codes[hit], cells.texts) for cells in table.cells)
    return Table(table.source, table.header, cells_kept, table.lines[hit], table.problems)


def _plain(name: str) -> str:
    return name.strip().casefold().replace(" ", "_")
