"""What can go wrong, told so that the reader can mend it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with an input.

    ``source`` is the file (or option) it was found in, ``place`` the row, column or key inside it,
    ``value`` what stood there, ``expected`` what should stand there, ``remedy`` what to do.
    """

    source: str
    place: str
    value: str
    expected: str
    remedy: str = ""

    def __str__(self) -> str:
        where = f"{self.source}: {self.place}" if self.place else self.source
        found = f" is {self.value!r}" if self.value else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return f"{where}{found}: expected {self.expected}.{remedy}"


def told_together(problems: Sequence[Problem]) -> list[str]:
    """The problems in words; rows with the same fault are told once, as ``rows 2-84, 90``."""
    rows: dict[Problem, list[int]] = {}
    for problem in problems:
        found = _ROW.match(problem.place)
        alike = replace(problem, place=problem.place[found.end() :]) if found else problem
        rows.setdefault(alike, []).extend([int(found[1])] if found else [])
    return [
        str(replace(alike, place=_rows_in_words(numbers) + alike.place)) for alike, numbers in rows.items()
    ]


_ROW = re.compile(r"row (\d+)(?!\d)")


def _rows_in_words(numbers: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1][1:] = [number]
        else:
            runs.append([number])
    told = ", ".join("-".join(map(str, run)) for run in runs)
    return f"row{'s' if len(told.split(', ')) > 1 or '-' in told else ''} {told}" if told else ""


class RangeworkError(Exception):
    """Any failure that rangework foresees."""


class InputError(RangeworkError):
    """Something the user gave cannot be used; every problem found is in ``problems``."""

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        self.problems = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


class FitError(RangeworkError):
    """The records do not determine a player; the message says what is missing."""


class NoFeasiblePlanError(RangeworkError):
    """The limits on a plan clash; ``clashes`` names each with the amount by which it is broken."""

    def __init__(self, clashes: Sequence[str]) -> None:
        self.clashes = tuple(clashes)
        super().__init__("No plan meets every limit. These clash:\n" + "\n".join(self.clashes))
