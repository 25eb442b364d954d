"""Course files for the tests."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"
for folder in (Path(__file__).parent, EXAMPLES):
    sys.path.insert(0, str(folder))

PLAIN_HOLE = "[[holes]]\npar = 4\nlength_yd = 380\n"


@pytest.fixture
def course_file(tmp_path: Path) -> Path:
    return tmp_path / "course.toml"


@pytest.fixture
def write_nine(course_file: Path) -> Callable[..., Path]:
    """Writes nine holes, of which the first says ``first``, and gives the file's path."""

    def write(first: str, *, top: str = "", others: str = PLAIN_HOLE) -> Path:
        course_file.write_text(f'name = "Test"\n{top}\n[[holes]]\n{first}\n' + others * 8, "utf-8")
        return course_file

    return write
