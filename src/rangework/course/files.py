"""Course files: the reader is chosen by the file's suffix."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from rangework.course.geometry import Course
from rangework.course.maps.course import read_course_geojson, read_course_osm
from rangework.course.toml_file import read_course_toml
from rangework.errors import InputError, Problem

#: Readers of maps, which may hold several courses and take the name of the one that is meant.
MAP_READERS: dict[str, Callable[[Path, str | None], Course]] = {
    ".geojson": read_course_geojson,
    ".json": read_course_geojson,
    ".osm": read_course_osm,
    ".xml": read_course_osm,
}
SUFFIXES = (".toml", *MAP_READERS)

_NAMED = re.compile(rf"(.*?(?:{'|'.join(map(re.escape, SUFFIXES))}))#(.*\S.*)$", re.IGNORECASE | re.DOTALL)


def read_course(path: str | Path) -> Course:
    """The course of a file, read by the reader of its suffix.

    A map may hold several courses: ``map.osm#Name`` is the one of that name. Raises InputError with every
    problem found.
    """
    file, name = split_name(Path(path))
    suffix = file.suffix.lower()
    if suffix == ".toml" and name is None:
        return read_course_toml(file)
    if suffix in MAP_READERS:
        return MAP_READERS[suffix](file, name)
    if suffix == ".toml":
        raise InputError(Problem(str(path), "", name or "", "no name: a TOML file holds one course"))
    expected = "a course file ending in " + " or ".join(SUFFIXES)
    remedy = "docs/how-to/describe-a-course.md shows how to write one."
    raise InputError(Problem(str(file), "suffix", file.suffix or "(none)", expected, remedy))


def split_name(path: Path) -> tuple[Path, str | None]:
    """``map.osm#Name`` as file and name; a file of that very name, # and all, is taken as it is."""
    found = _NAMED.match(str(path))
    return (Path(found[1]), found[2].strip()) if found and not path.is_file() else (path, None)
