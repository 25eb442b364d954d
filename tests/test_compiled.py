"""Compiled kernels are renewed when any kernel's text changes, and kept when none does."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from numba.core.errors import TypingError
from numpy.typing import NDArray

from rangework.compiled import compiled_folder, kernel_files, uncounted

ROOT = Path(__file__).parents[1]

CALLED = "from rangework.compiled import kernel\n\n\n@kernel\ndef number():\n    return {value}\n"
CALLER = """from rangework.compiled import kernel
from rangework.play.called_kernels import number


@kernel
def twice():
    return 2 * number()
"""


def package_in(folder: Path) -> Path:
    """A small package of the same name: the compiler, and a kernel that calls one of another file."""
    package = folder / "rangework"
    (package / "play").mkdir(parents=True)
    shutil.copy(ROOT / "src/rangework/compiled.py", package)
    for name in ("__init__.py", "lie.py", "units.py", "play/__init__.py"):
        (package / name).write_text("")
    (package / "skill").mkdir()
    (package / "skill" / "coordinates.py").write_text("")
    (package / "play" / "caller_kernels.py").write_text(CALLER)
    return package


def twice_in(folder: Path) -> str:
    program = "from rangework.play.caller_kernels import twice; print(twice())"
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=folder, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_an_edit_in_another_file_is_noticed(tmp_path: Path) -> None:
    package = package_in(tmp_path)
    for value in (21, 4):
        (package / "play" / "called_kernels.py").write_text(CALLED.format(value=value))
        assert twice_in(tmp_path) == str(2 * value)
    assert len(list((package / "__pycache__").glob("kernels-*"))) == 2


def test_machine_code_is_kept(tmp_path: Path) -> None:
    package = package_in(tmp_path)
    (package / "play" / "called_kernels.py").write_text(CALLED.format(value=3))
    twice_in(tmp_path)
    kept = {file: file.stat().st_mtime_ns for file in (package / "__pycache__").rglob("*.nbc")}
    assert kept
    twice_in(tmp_path)
    assert {file: file.stat().st_mtime_ns for file in (package / "__pycache__").rglob("*.nbc")} == kept


def test_every_kernel_file_counts() -> None:
    named = {file.name for file in kernel_files()}
    holders = {file.name for file in (ROOT / "src").rglob("*.py") if "\n@kernel" in file.read_text("utf-8")}
    assert holders <= named


def test_folder_that_cannot_be_written(tmp_path: Path) -> None:
    package = package_in(tmp_path)
    (package / "__pycache__").write_text("a file where the folder should be")
    assert compiled_folder(package) == ""


class Held(NamedTuple):
    first: NDArray[np.float64]
    second: NDArray[np.float64]


@uncounted
def added(held: Held, i: int) -> float:
    held.second[i] += held.first[i]
    return float(held.second[i])


@uncounted
def made(n: int) -> float:
    return float(np.empty(n)[0])


def test_uncounted_functions_read_and_write_what_they_are_given() -> None:
    held = Held(np.array([1.0, 2.0]), np.array([3.0, 4.0]))
    counts = [sys.getrefcount(array) for array in held]
    assert [added(held, 1), added(held, 1)] == [6.0, 8.0]
    assert [sys.getrefcount(array) for array in held] == counts


def test_uncounted_functions_make_no_array() -> None:
    """What they made would never be let go: the compiler refuses it."""
    with pytest.raises(TypingError):
        made(3)
