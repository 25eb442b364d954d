"""The examples of the course pages are courses that read without a problem."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from rangework.course import read_course

DOCS = Path(__file__).parents[2] / "docs"
PLAIN_HOLE = "[[holes]]\npar = 4\nlength_yd = { back = 380, forward = 320 }\nstroke_index = "


def blocks(page: str) -> list[str]:
    return re.findall(r"```toml\n(.*?)```", (DOCS / page).read_text("utf-8"), flags=re.DOTALL)


def test_the_how_to_adds_up_to_a_course(course_file: Path) -> None:
    said = "\n".join(blocks("how-to/describe-a-course.md"))
    others = "".join(f"{PLAIN_HOLE}{index}\n" for index in (1, 2, 3, 4, 6, 7, 9))
    course_file.write_text(f"{said}\n{others}", "utf-8")
    course = read_course(course_file)
    assert course.warnings == ()
    assert set(course.holes[1].pins) == {"saturday", "sunday"}


@pytest.mark.parametrize("block", blocks("reference/course.md"))
def test_every_example_of_the_reference_suits_a_hole(block: str, write_nine: Callable[..., Path]) -> None:
    read_course(write_nine(f"par = 4\nlength_yd = 390\n{block}"))
