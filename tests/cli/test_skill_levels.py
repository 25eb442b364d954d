"""What the pieces of the game look like, said in a sentence and a table that a coach reads at a glance."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from rangework.cli.skill_levels import level_text, pieces_sentence, pieces_table
from rangework.cli.tables import WIDTH
from rangework.skill.level_by_piece import ASSUMED, PIECES, Apart, LevelByPiece, PieceLevel


def report(
    levels: dict[str, float],
    apart: Apart | None = None,
    *,
    stated: float | None = 14.0,
    longest_m: float = 150.0,
) -> Any:
    """A report with these levels (give or take 3); every other piece is not measured."""
    pieces = [
        PieceLevel(
            piece.id,
            piece.family,
            level,
            None if level is None else level - 3.0,
            None if level is None else level + 3.0,
            0 if level is None else 60,
            "data",
            ASSUMED if level is None else "measured",
        )
        for piece in PIECES
        for level in [levels.get(piece.id)]
    ]
    return SimpleNamespace(
        level_by_piece=LevelByPiece(pieces, apart), stated_handicap=stated, longest_m={"fairway": longest_m}
    )


@pytest.mark.parametrize(
    ("level", "shown"),
    [(-5.0, "tour"), (-4.4, "+4"), (-0.3, "0"), (0.4, "0"), (13.6, "14"), (53.4, "53"), (53.6, "54+")],
)
def test_a_level_is_written_in_whole_strokes(level: float, shown: str) -> None:
    assert level_text(level) == shown


@pytest.mark.parametrize(
    ("levels", "apart", "sentence"),
    [
        (
            {"putting": 6.2, "tee": 14.4, "approach": 10.0},
            Apart("putting", "tee"),
            "Putts like a golfer of 6, drives like one of 14.",
        ),
        (
            {"approach": -5.0, "short_game": 54.0},
            Apart("approach", "short_game"),
            "Plays approaches like a tour golfer, plays the short game like one of 54 or more.",
        ),
        (
            {"tee": 0.1, "putting": -2.0},
            Apart("putting", "tee"),
            "Putts like a golfer of +2, drives like a scratch golfer.",
        ),
        ({"tee": 12.0, "putting": 14.0}, None, "None of driving and putting is surely better than another."),
        ({"putting": 9.0}, None, "Putts like a golfer of 9; nothing else is measured."),
        ({"chip": 9.0}, None, ""),
        ({}, None, ""),
    ],
)
def test_the_sentence_names_what_stands_apart(
    levels: dict[str, float], apart: Apart | None, sentence: str
) -> None:
    assert pieces_sentence(report(levels, apart)) == sentence


def test_what_is_not_measured_says_what_stands_in() -> None:
    shown = pieces_table(report({"putting": 6.0}), "yards")
    flat = " ".join(shown.split())
    assert "driving" in shown
    assert "straightness" not in shown
    assert flat.count("not measured") == 3
    assert "Not measured: the stated handicap stands in." in flat
    without = pieces_table(report({"putting": 6.0}, stated=None), "yards")
    assert "the level of the whole stands in" in " ".join(without.split())
    everything = pieces_table(report({piece.id: 12.0 for piece in PIECES}), "yards")
    assert "not measured" not in everything.lower()
    assert max(map(len, [*shown.splitlines(), *everything.splitlines()])) <= WIDTH


def test_distances_beyond_reach_are_left_out_and_ends_are_explained() -> None:
    short_hitter = pieces_table(report({"approach": 53.0, "chip": -4.0}, longest_m=130.0), "yards")
    assert "100-150 yd" in short_hitter
    assert "150-200 yd" not in short_hitter
    assert "50 to 54+" in short_hitter
    assert "Tour means tour or better and 54+ means 54 or more." in " ".join(short_hitter.split())
    assert "137-183 m" in pieces_table(report({"approach": 20.0}), "metres")
