"""Strokes gained in a course log add up to expected minus score, whatever was logged."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.lie import Lie
from rangework.play.rounds import FAMILIES, GROUPS
from rangework.records.columns import NO_LIE
from rangework.records.shots import make_frame
from rangework.skill.putting import putt_tables, tour_putting
from rangework.strokes_gained.attribution import attribute_strokes, stroke_groups
from rangework.strokes_gained.expected import ExpectedStrokes
from rangework.units import YARD_M

#: A made-up golfer whose expected strokes are easy to reckon: 2 + a hundredth a metre, and 0.2 more a lie.
TABLE = ExpectedStrokes(
    np.array([0.0, 600.0]),
    np.array([2.0 + 0.2 * lie + np.array([0.0, 6.0]) for lie in range(5)]),
    putt_tables(tour_putting()),
)
Stroke = dict[str, Any]


def stroke(number: int, lie: Lie, to_hole_m: float, next_lie: int, left_m: float, **more: Any) -> Stroke:
    row = {"round": "one", "hole": 1, "stroke": number, "lie": lie, "to_hole_m": to_hole_m}
    row |= {"next_lie": next_lie, "left_to_hole_m": left_m, "penalty": 0}
    return row | {"picked_up": False, "conceded": False} | more


def log_of(rows: list[Stroke]) -> pd.DataFrame:
    values: dict[str, Any] = {name: [row[name] for row in rows] for name in rows[0]}
    n = len(rows)
    values |= {"date": [np.datetime64("2026-05-09")] * n, "row": list(range(n))}
    values |= {name: [""] * n for name in ("session", "place", "club", "source")}
    return make_frame("log", values)


DRIVE = stroke(1, Lie.TEE, 380.0, Lie.ROUGH, 150.0)
# the next row's distance was rounded
APPROACH = stroke(2, Lie.ROUGH, 151.0, Lie.GREEN, 8.0)
PUTT = stroke(3, Lie.GREEN, 8.0, Lie.GREEN, 1.0)
LAST = stroke(4, Lie.GREEN, 1.0, Lie.HOLED, 0.0)


def test_each_stroke_gains_what_the_equation_says() -> None:
    strokes = attribute_strokes(log_of([DRIVE, APPROACH, PUTT, LAST]), TABLE).strokes
    putts = TABLE.at(Lie.GREEN, np.array([8.0, 1.0]))
    tee, rough = 2.0 + 3.8, 2.0 + 0.4 + 1.51
    assert strokes["gained"].to_numpy() == pytest.approx(
        [tee - rough - 1, rough - putts[0] - 1, putts[0] - putts[1] - 1, putts[1] - 1]
    )
    assert strokes["family"].tolist() == ["tee", "approach", "putting", "putting"]


def test_a_hole_adds_up_to_expected_minus_score() -> None:
    hole = attribute_strokes(log_of([DRIVE, APPROACH, PUTT, LAST]), TABLE).holes.iloc[0]
    assert hole["score"] == 4
    assert hole["finished"]
    assert hole["gained"] == pytest.approx(5.8 - 4, abs=1e-12)
    assert hole["unlogged"] == pytest.approx(0.0, abs=1e-12)


def test_a_penalty_is_paid_by_the_stroke_that_cost_it() -> None:
    out = stroke(1, Lie.TEE, 380.0, Lie.TEE, 380.0, penalty=1)
    again = stroke(3, Lie.TEE, 380.0, Lie.GREEN, 1.0)
    result = attribute_strokes(log_of([out, again, stroke(4, Lie.GREEN, 1.0, Lie.HOLED, 0.0)]), TABLE)
    assert result.strokes["gained"].iloc[0] == pytest.approx(-2.0, abs=1e-12)
    assert result.holes["score"].iloc[0] == 4
    assert result.holes["unlogged"].iloc[0] == pytest.approx(0.0, abs=1e-12)


def test_a_conceded_putt_is_one_stroke_and_holed() -> None:
    conceded = stroke(3, Lie.GREEN, 1.0, Lie.HOLED, 0.0, conceded=True)
    result = attribute_strokes(log_of([DRIVE, stroke(2, Lie.ROUGH, 151.0, Lie.GREEN, 1.0), conceded]), TABLE)
    assert result.holes["score"].iloc[0] == 3
    assert result.strokes["gained"].iloc[2] == pytest.approx(float(TABLE.at(Lie.GREEN, 1.0)) - 1.0)


@pytest.mark.parametrize("instead", [False, True])
def test_a_ball_picked_up_counts_what_was_left_as_expected(instead: bool) -> None:
    if instead:
        end = [APPROACH, stroke(3, Lie.GREEN, 8.0, NO_LIE, np.nan, picked_up=True)]
    else:
        end = [APPROACH | {"picked_up": True}]
    result = attribute_strokes(log_of([DRIVE, *end]), TABLE)
    hole = result.holes.iloc[0]
    assert hole["score"] == pytest.approx(2.0 + float(TABLE.at(Lie.GREEN, 8.0)))
    assert not hole["finished"]
    assert hole["unlogged"] == pytest.approx(0.0, abs=1e-12)
    assert not result.strokes["gained"].isna().any()
    if instead:
        assert result.strokes["gained"].iloc[2] == 0.0


def test_missing_rows_are_kept_apart() -> None:
    result = attribute_strokes(log_of([DRIVE, LAST]), TABLE)
    hole = result.holes.iloc[0]
    assert hole["score"] == 4
    assert hole["unlogged"] == pytest.approx(float(TABLE.at(Lie.ROUGH, 150.0) - TABLE.at(Lie.GREEN, 1.0)) - 2)
    assert hole["gained"] + hole["unlogged"] == pytest.approx(hole["expected"] - hole["score"])


def test_groups_follow_lie_and_distance() -> None:
    yards = np.array([400, 150, 230, 49, 20, 19, 30, 60, 100, 250, 3])
    lies = [Lie.TEE, Lie.TEE, Lie.TEE, Lie.ROUGH, Lie.ROUGH, Lie.FAIRWAY, Lie.SAND, Lie.SAND, Lie.FAIRWAY]
    groups = stroke_groups(np.array([*lies, Lie.RECOVERY, Lie.GREEN], dtype=np.int8), yards * YARD_M)
    assert [GROUPS[group] for group in groups] == [
        "tee", "approach_150_200", "approach_200_up", "pitch", "pitch", "chip", "bunker",
        "approach_50_100", "approach_100_150", "approach_200_up", "putting",
    ]  # fmt: skip


@st.composite
def rounds(draw: st.DrawFn) -> list[Stroke]:
    """Complete holes with any lies, distances and penalties, each row beginning where it likes."""
    rows = []
    lie = st.sampled_from([Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY, Lie.GREEN])
    metres = st.floats(0.01, 550.0)
    for hole in range(1, draw(st.integers(1, 3)) + 1):
        number = 1
        length = draw(st.integers(1, 6))
        for k in range(length):
            penalty = draw(st.integers(0, 2))
            ended = k == length - 1
            end = (Lie.HOLED, 0.0) if ended else (draw(lie), draw(metres))
            row = stroke(number, draw(lie), draw(metres), *end, hole=hole, penalty=penalty)
            rows.append(row)
            number += 1 + penalty
    return draw(st.permutations(rows))


@given(rounds())
def test_any_complete_round_adds_up_exactly(rows: list[Stroke]) -> None:
    result = attribute_strokes(log_of(rows), TABLE)
    assert result.holes["unlogged"].to_numpy() == pytest.approx(0.0, abs=1e-9)
    score = sum(1 + row["penalty"] for row in rows)
    assert result.holes["score"].sum() == pytest.approx(score)
    total = result.holes["expected"].sum() - score
    assert sum(result.by_family().values()) == pytest.approx(total / result.rounds)
    assert sum(result.by_group().values()) == pytest.approx(total / result.rounds)
    assert list(result.by_family()) == list(FAMILIES)


def test_no_strokes_gain_nothing() -> None:
    result = attribute_strokes(make_frame("log", {}), TABLE)
    assert result.rounds == 0
    assert set(result.by_group().values()) == {0.0}
