"""Equal faults of many rows are told once, and no row is lost."""

from __future__ import annotations

from rangework.errors import Problem, told_together


def _date(row: int, value: str = "3/4/26") -> Problem:
    return Problem("shots.csv", f"row {row}, column date", value, "a date")


def test_rows_with_the_same_fault_are_told_as_runs() -> None:
    problems = [
        *map(_date, (2, 3, 4, 9)),
        _date(5, "tomorrow"),
        Problem("player.toml", "age", "300", "years"),
    ]
    assert told_together(problems) == [
        "shots.csv: rows 2-4, 9, column date is '3/4/26': expected a date.",
        "shots.csv: row 5, column date is 'tomorrow': expected a date.",
        "player.toml: age is '300': expected years.",
    ]


def test_single_problems_are_told_as_they_are() -> None:
    problems = [
        _date(7),
        Problem("a.csv", "row 3", "9 cells", "13 cells", "Look."),
        Problem("b", "", "", "c"),
    ]
    assert told_together(problems) == [str(problem) for problem in problems]
