"""Filled cards: every fault told at once, nothing lost, and an interrupted card counts so far."""

from __future__ import annotations

import contextlib
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from filled_cards import blank_card, hit_card
from hypothesis import given
from hypothesis import strategies as st

from rangework.assessment.card import PACED_M, PACED_SHARE, Card, is_card_file, read_card
from rangework.demo.filled_card import filled_card
from rangework.errors import InputError
from rangework.records import read_records
from rangework.units import YARD_M


@pytest.fixture
def card(tmp_path: Path) -> Path:
    return hit_card(tmp_path, "card.csv", date(2026, 6, 1), 3)


def changed(file: Path, row: int, column: str, text: str) -> None:
    """Write something else into a cell; row 2 is the first ball."""
    rows = [line.split(",") for line in file.read_text("utf-8").splitlines()]
    rows[row - 1][rows[0].index(column)] = text
    file.write_text("\n".join(map(",".join, rows)) + "\n", encoding="utf-8")


def test_a_whole_card(card: Path) -> None:
    read = read_card(card)
    assert (read.name, read.day, len(read.balls), read.to_come) == ("June test", date(2026, 6, 1), 24, 0)
    assert not read.warnings
    assert not read.left_out


def test_its_balls_are_ordinary_records(card: Path) -> None:
    """The same balls, to the millimetre, whichever way they are read."""
    aimed = read_records([card]).aimed
    balls = read_card(card).balls
    for name in ("target_m", "long_m", "right_m"):
        assert aimed[name].to_numpy() == pytest.approx(balls[name].to_numpy(), abs=1e-9)
    assert set(aimed["purpose"]) == {"test"}


def test_all_faults_are_told_at_once_and_nothing_is_lost(card: Path) -> None:
    changed(card, 3, "long_yd", "ten")
    changed(card, 5, "right_yd", "")
    changed(card, 7, "long_yd", "400")
    changed(card, 9, "right_yd", "180")
    changed(card, 11, "hole", "")
    changed(card, 13, "pin", "")
    changed(card, 15, "date", "yesterday")
    before = card.read_bytes()
    with pytest.raises(InputError) as error:
        read_card(card)
    told = [problem.place.split(",")[0] for problem in error.value.problems]
    assert told == sorted(told, key=lambda place: told.index(place))
    assert set(told) == {f"row {row}" for row in (3, 5, 7, 9, 11, 13, 15)}
    assert card.read_bytes() == before
    rest = read_card(card, leave_out_faulty=True)
    assert len(rest.balls) == 17
    assert len(rest.left_out) >= 7


def test_an_interrupted_card_counts_so_far(tmp_path: Path) -> None:
    file = blank_card(tmp_path)
    lines = file.read_text("utf-8").splitlines()
    half = tmp_path / "half.csv"
    half.write_text("\n".join(lines[:11]), encoding="utf-8")
    filled = filled_card(half, date(2026, 6, 1), steps={}, seed=1).splitlines()
    half.write_text("\n".join([*filled, *lines[11:]]), encoding="utf-8")
    read = read_card(half)
    assert (len(read.balls), read.to_come) == (10, 14)
    gone_on = filled_card(half, date(2026, 6, 3), steps={}, seed=2)
    assert gone_on.splitlines()[:11] == filled
    half.write_text(gone_on, encoding="utf-8", newline="")
    assert (len(read_card(half).balls), read_card(half).day) == (24, date(2026, 6, 3))


def test_balls_passed_over_are_named(card: Path) -> None:
    for column in ("long_yd", "right_yd"):
        changed(card, 6, column, "")
    (warning,) = read_card(card).warnings
    assert "ball 5" in warning.expected
    assert "misread" in warning.remedy


def test_misread_and_holed_balls(card: Path) -> None:
    for row, column in ((4, "misread"), (6, "holed")):
        changed(card, row, "long_yd", "")
        changed(card, row, "right_yd", "")
        changed(card, row, column, "1")
    balls = read_card(card).balls
    assert balls["misread"].sum() == balls["holed"].sum() == 1
    assert np.isnan(balls["long_m"]).sum() == 2


def test_what_paced_results_are_off_by(tmp_path: Path) -> None:
    file = blank_card(tmp_path, measured_by="paced")
    file.write_text(filled_card(file, date(2026, 6, 1), steps={}, seed=1), encoding="utf-8", newline="")
    balls = read_card(file).balls
    assert set(balls["error_m"]) == {PACED_M}
    assert set(balls["error_share"]) == {PACED_SHARE}
    yards = balls["long_m"] / YARD_M
    assert yards.to_numpy() == pytest.approx(yards.round().to_numpy(), abs=1e-9)


def test_a_file_that_is_no_card(tmp_path: Path) -> None:
    file = tmp_path / "shots.csv"
    file.write_text("date,place,lie,target_yd,long_yd,right_yd\n2026-06-01,range,fairway,100,1,2\n", "utf-8")
    assert not is_card_file(file)
    assert not is_card_file(tmp_path / "none.csv")
    with pytest.raises(InputError, match="column assessment"):
        read_card(file)


def test_a_card_without_a_ball(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="at least one ball"):
        read_card(blank_card(tmp_path))


@given(st.binary(max_size=300))
def test_any_bytes_give_a_card_or_problems(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    file = tmp_path_factory.mktemp("any") / "card.csv"
    file.write_bytes(b"assessment,ball,date,target_yd,long_yd,right_yd\n" + data)
    with contextlib.suppress(InputError):
        assert isinstance(read_card(file), Card)
