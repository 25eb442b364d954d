"""What a map file holds, as read: features with tags, their positions in degrees."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from rangework.course.findings import Findings
from rangework.errors import InputError, Problem

#: Longitude and latitude in degrees, one position a row.
Positions = NDArray[np.float64]

#: More than the map of any golf course holds: what is larger is refused before it can fill the memory.
MOST_FEATURES = 50_000
MOST_POSITIONS = 2_000_000

SMALLER_MAP = "Download only the course and its surroundings."


@dataclass(frozen=True, slots=True, eq=False)
class MapFeature:
    """One thing on the map.

    ``place`` says where it stands in the file; keys of ``tags`` are in lower case. ``parts`` hold arrays of
    positions: every part of points and of a line is one array; a part of an area is its rings, closed, the
    ground between them being inside (even-odd). ``heights_m`` has the height of every position, in their order, nan
    where it has none (see ``written_heights.py``); None where no position has one.
    """

    place: str
    tags: Mapping[str, str]
    shape: Literal["points", "line", "area"]
    parts: tuple[tuple[Positions, ...], ...]
    heights_m: NDArray[np.float64] | None = None

    def positions(self) -> Iterator[Positions]:
        """Every array of positions."""
        for part in self.parts:
            yield from part

    def rings(self) -> tuple[tuple[Positions, ...], ...] | None:
        """The rings of each part of an area, closed lines being areas; None for what encloses nothing."""
        if self.shape == "area":
            return self.parts
        closed = [part for part in self.parts if len(part[0]) > 3 and (part[0][0] == part[0][-1]).all()]
        return tuple(closed) if self.shape == "line" and len(closed) == len(self.parts) else None


@dataclass(frozen=True, slots=True, eq=False)
class CourseMap:
    """Everything of a file that may matter to golf.

    ``broken`` are places of features of which the file lacks a part. ``tees`` and ``assumed`` are what only our
    own GeoJSON files say: ratings of tee sets, and what was assumed when the file's course was first read.
    """

    features: Sequence[MapFeature]
    broken: Sequence[MapFeature] = ()
    attribution: str = ""
    name: str = ""
    tees: Mapping[str, Any] = field(default_factory=dict)
    assumed: Sequence[str] = ()


def file_bytes(path: Path, most: int) -> bytes:
    """The file's bytes, never more than ``most``. Raises InputError where it is larger, or cannot be read."""
    try:
        with path.open("rb") as file:
            content = file.read(most + 1)
    except OSError as error:
        raise InputError(Problem(str(path), "", "", f"a file that can be read ({error.strerror})")) from error
    if len(content) > most:
        expected = f"a map of at most {most // 1_000_000} MB"
        raise InputError(Problem(str(path), "size", f"over {most // 1_000_000} MB", expected, SMALLER_MAP))
    return content


def refuse_too_many(findings: Findings, features: int, positions: int) -> None:
    """Raise InputError for a map that holds more than any golf course needs."""
    for what, count, most in (
        ("features", features, MOST_FEATURES),
        ("positions", positions, MOST_POSITIONS),
    ):
        if count > most:
            expected = f"at most {most:,} {what} that matter to golf"
            raise InputError(Problem(findings.source, "", f"over {most:,}", expected, SMALLER_MAP))


def fault_of(positions: Positions) -> str:
    """What is wrong with longitudes and latitudes, in words; empty where nothing is."""
    outside = ~((np.abs(positions) <= (180.0, 90.0)).all(axis=1))
    if not outside.any():
        return ""
    longitude, latitude = positions[int(np.argmax(outside))].tolist()
    return f"{longitude:.10g}, {latitude:.10g}"


#: What every position must be, and what to do where one is not.
DEGREES = "longitude from -180 to 180 and latitude from -90 to 90, in degrees (WGS 84)"
DEGREES_REMEDY = "Longitude comes first; save the map in WGS 84."
