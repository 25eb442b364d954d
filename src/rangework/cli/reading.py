"""Reading what a command was given, so that the faults of all its files are told together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, ParamSpec, TypeVar, cast

from rangework.cli.kept import KeptCourse, KeptPlayer
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.course import Course
    from rangework.records.profile import PlayerProfile
    from rangework.records.shots import ShotRecords

P = ParamSpec("P")
T = TypeVar("T")


class ReadTogether:
    """Runs readers one after another; on leaving, raises one InputError with the problems of all of them.

    >>> with ReadTogether() as together:
    ...     course = together.read(float, "72.0")
    >>> course
    72.0
    """

    def __init__(self) -> None:
        self._problems: list[Problem] = []

    def __enter__(self) -> ReadTogether:
        return self

    def read(self, reader: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """What the reader gives. Use it only after the block: inside it may stand for nothing."""
        try:
            return reader(*args, **kwargs)
        except InputError as error:
            self._problems += error.problems
            return cast(T, None)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if kind is None and self._problems:
            raise InputError(self._problems)


def player_shots(records: Sequence[Path] | KeptPlayer, mappings: Sequence[Path]) -> ShotRecords:
    """The balls of the record files, or of the player of the roster who stands in for them."""
    if isinstance(records, KeptPlayer):
        from rangework.roster.kept import kept_records

        if mappings:
            expected = "no mapping beside --player: the roster's balls are read already"
            raise InputError(Problem("--mapping", "", str(mappings[0]), expected))
        return kept_records(records.roster, records.player)
    from rangework.records import read_records

    return read_records(records, mappings=mappings)


def chosen_course(course: Path | KeptCourse) -> Course:
    """The course of the file, or of the roster."""
    if isinstance(course, KeptCourse):
        from rangework.roster.kept import kept_course

        return kept_course(course.roster, player=course.player, course=course.course)
    from rangework.course import read_course

    return read_course(course)


def player_profile(
    file: Path | None, handicap: float | None, records: Sequence[Path] | KeptPlayer = ()
) -> PlayerProfile:
    """The profile of ``--profile`` or of the roster's player, its handicap replaced by that of ``--handicap``."""
    from rangework.records.profile import PlayerProfile, read_profile

    if file:
        profile = read_profile(file)
    elif isinstance(records, KeptPlayer):
        from rangework.roster.kept import kept_profile

        profile = kept_profile(records.roster, records.player)
    else:
        profile = PlayerProfile()
    return profile if handicap is None else replace(profile, handicap=handicap)
