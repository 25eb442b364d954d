"""The profile file: what it may say, and that every fault in it is told at once."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.errors import InputError
from rangework.records.profile import PlayerProfile, parse_handicap, read_profile

FULL = """\
name = "Robin Ashdown"
handicap = 12.4
age = 41
hand = "left"
reference = "women"
swings_a_week = 150

[carry_yd]
driver = 200
"7 iron" = 130.5
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "profile.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_full_profile(tmp_path: Path) -> None:
    profile = read_profile(written(tmp_path, FULL))
    assert profile == PlayerProfile(
        "Robin Ashdown", 12.4, 41, "left", "women", {"driver": 200 * 0.9144, "7 iron": 130.5 * 0.9144}, 150
    )


def test_empty_profile_says_nothing(tmp_path: Path) -> None:
    assert read_profile(written(tmp_path, "")) == PlayerProfile()


def test_carries_in_metres_are_taken_as_they_are(tmp_path: Path) -> None:
    assert read_profile(written(tmp_path, "[carry_m]\ndriver = 190")).clubs == {"driver": 190.0}


@pytest.mark.parametrize("line", ["+2", "+2.0", '"+2"', "-2"])
def test_plus_two_is_better_than_scratch(tmp_path: Path, line: str) -> None:
    # TOML itself reads +2 as 2: a player of +2 would become one of 2
    assert read_profile(written(tmp_path, f"age = 30\nhandicap = {line}\n")).handicap == -2.0


def test_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    assert read_profile(written(tmp_path, "\ufeffage = 30")).age == 30


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "name = 3\nhandicap = 60\nage = true\nhand = 'both'\nreference = 'juniors'\nswing_a_week = 10\n"
        "[carry_yd]\ndriver = 900\nputter = 'short'\n[carry_m]\ndriver = 200\n",
    )
    with pytest.raises(InputError) as caught:
        read_profile(path)
    places = {problem.place for problem in caught.value.problems}
    assert places == {
        "name",
        "handicap",
        "age",
        "hand",
        "reference",
        "swing_a_week",
        "carry_yd.driver",
        "carry_yd.putter",
        "carry_m",
    }
    assert all(problem.source == str(path) and problem.expected for problem in caught.value.problems)
    assert "Did you mean 'swings_a_week'?" in str(caught.value)


@pytest.mark.parametrize("content", [b"age = = 3", b"\xff\xfe", b"carry_yd = 3", b"age = nan", b"hand = []"])
def test_a_file_that_cannot_be_used_is_an_input_error(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "profile.toml"
    path.write_bytes(content)
    with pytest.raises(InputError):
        read_profile(path)


def test_missing_file_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="a file that can be read"):
        read_profile(tmp_path / "none.toml")


@given(st.integers(-100, 540))
def test_handicap_survives_being_written(tenths: int) -> None:
    index = tenths / 10
    text = f"+{-index}" if index < 0 else str(index)
    assert parse_handicap(text) == index


@given(st.text())
def test_any_other_text_is_a_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        assert -10 <= parse_handicap(text) <= 54


@pytest.mark.parametrize("text", ["", "+", "scratch", "54.1", "+11", "nan", "1e1", "--2", "12,4"])
def test_what_is_no_handicap_is_told_with_what_one_is(text: str) -> None:
    with pytest.raises(ValueError, match="handicap index from"):
        parse_handicap(text)


def test_a_number_that_no_float_holds_is_a_fault_of_the_file(tmp_path: Path) -> None:
    for line in ("age = 9", "[carry_yd]\ndriver = 9", "handicap = 9"):
        with pytest.raises(InputError):
            read_profile(written(tmp_path, line + 400 * "9"))
