"""Habits files: read as written, with every fault told at once."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangework.aim.habits.habit_file import parse_habits, read_habits
from rangework.aim.habits.rules import Rule, usual_habits
from rangework.aim.habits.shots import Kind, PinPlace, Shots
from rangework.aim.targets import Base, Target
from rangework.errors import InputError
from rangework.units import YARD_M

FILE = """
[[habit]]
shots = "approach"
distance_yd = [60, 130]
lie = "rough"
pin = "tucked"
aim = "5 left of halfway"

[[habit]]
shots = "tee"
par = 5
holes = [3, 13]
aim = "carry 180"

[[habit]]
shots = "long"
aim = "best"
"""


def test_a_file_of_habits(tmp_path: Path) -> None:
    path = tmp_path / "habits.toml"
    path.write_text(FILE, encoding="utf-8")
    first, second, third = read_habits(path, "yards")
    near = Shots(Kind.APPROACH, lie="rough", from_m=60 * YARD_M, to_m=130 * YARD_M, pin=PinPlace.TUCKED)
    assert first == Rule(near, Target(Base.PIN, right_m=-5 * YARD_M), 0.5)
    assert second == Rule(Shots(Kind.TEE, holes=(3, 13), pars=(5,)), Target(Base.CARRY, 180 * YARD_M))
    assert third == Rule(Shots(Kind.LONG), None)


def test_lengths_are_in_the_units_asked_for() -> None:
    (rule,) = parse_habits({"habit": [{"shots": "long", "aim": "lay up to 90"}]}, "h.toml", "metres")
    assert rule.target == Target(Base.LAY_UP, 90.0)


@pytest.mark.parametrize("word", ["pin", "middle", "centre", "Pin"])
def test_a_word_stands_for_all_habits(word: str) -> None:
    base = Base.PIN if word.lower() == "pin" else Base.MIDDLE
    assert read_habits(word, "yards") == usual_habits(base)


def test_every_fault_is_told_at_once() -> None:
    habits = [
        {"shots": "putts", "aim": "pin"},
        {"shots": "approach", "aim": "driver", "distance_yd": [130, 60]},
        {"shots": "approach", "aim": "longest"},
        {"shots": "tee", "aim": "pin", "par": "five", "hole": 3},
        {"shots": "long", "lie": "mud", "pin": "middle"},
    ]
    with pytest.raises(InputError) as failed:
        parse_habits({"habit": habits, "colour": 1}, "habits.toml", "yards")
    places = {problem.place for problem in failed.value.problems}
    assert places == {
        "habit[1].shots", "habit[2].aim", "habit[2].distance_yd", "habit[3].aim", "habit[4].aim", "habit[4].par",
        "habit[4].hole", "habit[5].lie", "habit[5].pin", "habit[5].aim", "colour",
    }  # fmt: skip


@pytest.mark.parametrize("text", ["habit = [", "", "habit = 3"])
def test_what_is_no_file_of_habits(text: str, tmp_path: Path) -> None:
    path = tmp_path / "habits.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError):
        read_habits(path, "yards")


def test_a_file_that_is_not_there_says_what_words_there_are(tmp_path: Path) -> None:
    with pytest.raises(InputError) as failed:
        read_habits(tmp_path / "pins", "yards")
    assert "pin, middle" in failed.value.problems[0].remedy


@given(
    st.dictionaries(
        st.sampled_from(["shots", "aim", "distance_m", "par", "lie"]),
        st.text() | st.integers() | st.floats() | st.lists(st.floats(), max_size=3),
    )
)
def test_any_habit_is_read_or_refused(table: dict[str, object]) -> None:
    try:
        (rule,) = parse_habits({"habit": [table]}, "habits.toml", "yards")
    except InputError:
        return
    assert 0.0 <= rule.shots.from_m < rule.shots.to_m
    assert rule.target is None or math.isfinite(rule.target.right_m)
