"""Writes the demo scenario's files into a folder."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from rangework.demo.squad import squad_files
from rangework.errors import InputError, Problem


def demo_files() -> list[Traversable]:
    """The files of the demo scenario as they ship with the package, by name."""
    return sorted(files("rangework.demo").joinpath("files").iterdir(), key=lambda file: file.name)


def write_demo(folder: Path) -> list[Path]:
    """Write the demo scenario into ``folder``, made if need be; the paths written, by name.

    Raises InputError, with nothing written, where a file of the demo is already there or the folder
    cannot be made.
    """
    return _write(folder, {file.name: file.read_bytes() for file in demo_files()})


def write_squad(folder: Path) -> list[Path]:
    """Write the twelve players of the squad and their course into ``folder``; as ``write_demo``."""
    course = next(file for file in demo_files() if file.name == "course.toml")
    made = {name: text.encode("utf-8") for name, text in squad_files().items()}
    return _write(folder, made | {course.name: course.read_bytes()})


def _write(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    contents = {folder / name: content for name, content in files.items()}
    there = [
        Problem(str(path), "", "", "no file of that name", "Name another folder: nothing is overwritten.")
        for path in contents
        if path.exists()
    ]
    if there:
        raise InputError(there)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, content in contents.items():
            path.write_bytes(content)
    except OSError as error:
        raise InputError(Problem(str(folder), "", "", f"a folder to write to ({error.strerror})")) from error
    return list(contents)
