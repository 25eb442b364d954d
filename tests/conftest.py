"""Settings of every test: examples that hypothesis makes up are the same in every run, and none is timed."""

from __future__ import annotations

from importlib.resources import as_file, files
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from rangework.course import Course

# two busy cores make any deadline a matter of luck
settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")


@pytest.fixture(scope="session")
def demo_course() -> Course:
    """The course of the demo scenario."""
    from rangework.course import read_course

    with as_file(files("rangework.demo").joinpath("files", "course.toml")) as path:
        return read_course(path)
