"""Tables that fit the page, whatever they hold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.cli.tables import Block, clock, interval, number, paragraph, percent, table

CELLS = st.text(st.characters(codec="ascii", categories=["L", "N"]), min_size=1, max_size=12)
LABELS = st.text(st.characters(codec="ascii", categories=["L", "N", "Zs"]), max_size=120)


def test_a_table_reads_like_this() -> None:
    shown = table(
        ["part", "one step\nsaves", "90 % range"],
        [
            Block("Tee", [["tee.carry", "0.31", "0.22 to 0.41"]]),
            Block("Putting", [["putt.line", "0.7", "0.5 to 0.9"], ["putt.pace", "0.35", "?"]]),
            Block("Empty"),
        ],
    )
    assert shown.splitlines() == [
        "              one step",
        "  part           saves    90 % range",
        "Tee",
        "  tee.carry       0.31  0.22 to 0.41",
        "Putting",
        "  putt.line        0.7    0.5 to 0.9",
        "  putt.pace       0.35             ?",
    ]


@given(st.lists(st.tuples(LABELS, CELLS, CELLS), min_size=1, max_size=6))
def test_a_table_fits_80_columns_and_keeps_every_word(rows: list[tuple[str, str, str]]) -> None:
    shown = table(["what", "one", "two"], [Block("Block", rows)])
    assert max(map(len, shown.splitlines())) <= 80
    assert all(cell in shown for row in rows for cell in row[1:])


def test_a_table_without_rows_says_so() -> None:
    assert table(["what"], [Block("Block")]) == "  (nothing to show)"


def test_ragged_rows_are_refused() -> None:
    with pytest.raises(ValueError, match="zip"):
        table(["what", "one"], [Block("", [["a"]])])


@pytest.mark.parametrize(
    ("value", "decimals", "signed", "shown"),
    [(1.25, 1, False, "1.2"), (-0.04, 1, False, "0.0"), (-0.04, 1, True, "+0.0"), (3, 0, True, "+3")],
)
def test_numbers(value: float, decimals: int, signed: bool, shown: str) -> None:
    assert number(value, decimals, signed=signed) == shown


def test_the_unknown_is_shown_as_unknown() -> None:
    assert (
        number(math.nan)
        == number(None)
        == percent(None)
        == interval(None, 1.0)
        == interval(0.0, math.nan)
        == "?"
    )


def test_shares_intervals_and_times() -> None:
    assert percent(0.123) == "12 %"
    assert interval(-1, 2, signed=True) == "-1.0 to +2.0"
    assert [clock(minutes) for minutes in (45, 80, 119.9)] == ["45 min", "1 h 20", "2 h 00"]


def test_a_paragraph_is_wrapped() -> None:
    lines = paragraph("word " * 60, indent="  ").splitlines()
    assert len(lines) > 1
    assert all(line.startswith("  ") and len(line) <= 80 for line in lines)
