"""Fixtures of habits: a course with water by its right-hand pins."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from marsh_holes import COURSE, LENGTHS_YD, Scene, scene

from rangework.course import read_course
from rangework.course.geometry import Course


@pytest.fixture(scope="session")
def marsh(tmp_path_factory: pytest.TempPathFactory) -> Course:
    holes = [f"[[holes]]\npar = {4 if yards > 300 else 3}\nlength_yd = {yards}\n" for yards in LENGTHS_YD]
    path = Path(tmp_path_factory.mktemp("marsh")) / "marsh.toml"
    path.write_text(COURSE + "\n".join(holes), encoding="utf-8")
    course = read_course(path)
    return replace(course, holes=course.holes[:3])


@pytest.fixture(scope="session")
def twenty(marsh: Course) -> Scene:
    return scene(marsh, 20.0)
