"""A command tells the faults of all its files at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from rangework.cli.reading import ReadTogether, player_profile
from rangework.errors import InputError, Problem


def faulty(source: str) -> int:
    raise InputError(Problem(source, "", "", "something else"))


def test_what_is_read_is_there_after_the_block() -> None:
    with ReadTogether() as together:
        number = together.read(int, "3")
    assert number == 3


def two_faulty_files() -> None:
    with ReadTogether() as together:
        together.read(faulty, "one")
        together.read(int, "3")
        together.read(faulty, source="two")


def a_faulty_file_and_a_fault_of_ours() -> None:
    with ReadTogether() as together:
        together.read(faulty, "one")
        together.read(lambda: 1 // 0)


def test_faults_of_all_readers_are_raised_together() -> None:
    with pytest.raises(InputError) as caught:
        two_faulty_files()
    assert [problem.source for problem in caught.value.problems] == ["one", "two"]


def test_a_fault_of_ours_is_not_covered_up() -> None:
    with pytest.raises(ZeroDivisionError):
        a_faulty_file_and_a_fault_of_ours()


def test_a_stated_handicap_wins_over_the_profile(tmp_path: Path) -> None:
    file = tmp_path / "player.toml"
    file.write_text("handicap = 12\nage = 40\n")
    assert player_profile(file, None).handicap == 12
    assert player_profile(file, 3.0).handicap == 3.0
    assert player_profile(file, 3.0).age == 40
    assert player_profile(None, None).handicap is None
