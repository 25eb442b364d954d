"""The wheel holds all that the installed package reads, and nothing that it does not."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "rangework"


@pytest.mark.slow
def test_the_wheel_holds_every_file_of_the_package(tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "--no-build-isolation",
        "-w",
        tmp_path,
        ROOT,
    ]
    subprocess.run(command, check=True)
    (wheel,) = tmp_path.glob("rangework-*.whl")
    held = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    written = {
        path.relative_to(PACKAGE.parent).as_posix()
        for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert held == written
    assert {"rangework/py.typed", "rangework/sources.toml", "rangework/cli/main.py"} <= held
