"""Course files: the reader is chosen by the file's suffix."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from rangework.course.geometry import Course
from rangework.course.toml_file import read_course_toml
from rangework.errors import InputError, Problem

READERS: dict[str, Callable[[Path], Course]] = {".toml": read_course_toml}


def read_course(path: str | Path) -> Course:
    """The course of a file, read by the reader of its suffix.

    Raises InputError with every problem found.
    """
    path = Path(path)
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        expected = "a course file ending in " + " or ".join(READERS)
        remedy = "docs/how-to/describe-a-course.md shows how to write one."
        raise InputError(Problem(str(path), "suffix", path.suffix or "(none)", expected, remedy))
    return reader(path)
