"""A faultless map of nine equal holes, to be spoilt by the tests."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

import numpy as np
from map_sheet import Drawn, MapSheet

Form = Literal["geojson", "osm"]
FORMS: tuple[Form, ...] = ("geojson", "osm")

LENGTH_M, APART_M = 350.0, 300.0
FAR_FROM_LAND = (-30.0, -40.0)


def circle(x: float, y: float, radius: float, corners: int = 48) -> list[tuple[float, float]]:
    angles = np.linspace(0.0, 2 * np.pi, corners, endpoint=False)
    return [(x + radius * float(np.cos(a)), y + radius * float(np.sin(a))) for a in angles]


def rectangle(left: float, low: float, right: float, high: float) -> list[tuple[float, float]]:
    return [(left, low), (right, low), (right, high), (left, high)]


def plain_nine(longitude: float = FAR_FROM_LAND[0], latitude: float = FAR_FROM_LAND[1]) -> MapSheet:
    """Holes that run north side by side: a round green of 12 m, two tees, a fairway, a fringe, a pin."""
    sheet = MapSheet(longitude, latitude, "Drawn for a test")
    for hole in range(1, 10):
        x = (hole - 5) * APART_M
        ref = str(hole)
        sheet.line({"golf": "hole", "ref": ref, "par": "4", "handicap": ref}, [(x, 0), (x, LENGTH_M)])
        sheet.area({"golf": "green"}, circle(x, LENGTH_M, 12.0))
        sheet.area({"golf": "fringe"}, circle(x, LENGTH_M, 14.0))
        sheet.area({"golf": "tee", "tee": "white"}, rectangle(x - 4, -4, x + 4, 4))
        sheet.area({"golf": "tee", "tee": "red"}, rectangle(x - 4, 36, x + 4, 44))
        sheet.area({"golf": "fairway"}, rectangle(x - 16, 120, x + 16, 330))
        sheet.point({"golf": "pin"}, (x, LENGTH_M + 2))
    return sheet


def first_hole_x() -> float:
    return -4 * APART_M


def leave_out(sheet: MapSheet, unwanted: Callable[[Drawn], bool]) -> None:
    sheet.features = [drawn for drawn in sheet.features if not unwanted(drawn)]


def on_first_hole(value: str) -> Callable[[Drawn], bool]:
    """Features golf=``value`` of the first hole."""
    near = first_hole_x() + APART_M / 2
    return lambda drawn: drawn.tags.get("golf") == value and drawn.rings[0][0][0] < near


def retag(sheet: MapSheet, chosen: Callable[[Drawn], bool], **tags: str | None) -> None:
    """Change tags of some features; None takes a tag away."""
    for index, drawn in enumerate(sheet.features):
        if chosen(drawn):
            changed = {**drawn.tags, **tags}
            kept = {key: value for key, value in changed.items() if value is not None}
            sheet.features[index] = Drawn(kept, drawn.kind, drawn.rings)


def write(sheet: MapSheet, folder: Path, form: Form = "geojson", name: str = "map") -> Path:
    path = folder / f"{name}.{form}"
    path.write_text(sheet.geojson() if form == "geojson" else sheet.osm(), "utf-8")
    return path
