"""A player or a course named in the roster, in place of files, as the options hand it on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class KeptPlayer:
    """The player of this name in the roster of this file: stands in for RECORDS and --profile."""

    roster: Path
    player: str


@dataclass(frozen=True, slots=True)
class KeptCourse:
    """A course of the roster: the one named, or the home course of the player where ``course`` is empty."""

    roster: Path
    player: str
    course: str
