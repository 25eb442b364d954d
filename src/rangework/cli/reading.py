"""Reading what a command was given, so that the faults of all its files are told together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, ParamSpec, TypeVar, cast

from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.records.profile import PlayerProfile

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


def player_profile(file: Path | None, handicap: float | None) -> PlayerProfile:
    """The profile of ``--profile``, its handicap replaced by that of ``--handicap`` where one is given."""
    from rangework.records.profile import PlayerProfile, read_profile

    profile = read_profile(file) if file else PlayerProfile()
    return profile if handicap is None else replace(profile, handicap=handicap)
