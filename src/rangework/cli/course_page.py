"""A course as `rangework course check` shows it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rangework.cli.tables import Block, number, paragraph, table

if TYPE_CHECKING:
    from rangework.course import Course, Hole
    from rangework.units import Units

#: Tee sets that a row of the table has room for; of more, the longest, a middle one and the shortest are shown.
MOST_TEES = 3
REMEDY = """\
To put something else in the place of what was assumed, draw it on the map, or write the course as TOML with \
`rangework course convert` and edit that."""


def course_text(course: Course, units: Units) -> str:
    """Name, holes, and everything that is odd or assumed."""
    from rangework.units import shot_unit

    par = sum(hole.par for hole in course.holes)
    title = paragraph(f"{course.name}: {len(course.holes)} holes, par {par}, lengths in {shot_unit(units)}")
    parts = [title]
    if course.attribution:
        parts.append(paragraph(f"Map data: {course.attribution}"))
    parts.append(_table(course, units))
    parts.append("\n".join(paragraph(f"Look at {warning}") for warning in course.warnings))
    parts.append("\n".join(paragraph(f"Assumed: {text}.") for text in course.assumptions))
    parts += [paragraph(REMEDY)] if course.assumptions else []
    return "\n\n".join(filter(None, parts))


def course_results(course: Course) -> dict[str, Any]:
    """The same as plain values, lengths in metres."""
    return {
        "name": course.name,
        "attribution": course.attribution or None,
        "tees": [{"name": tee.name, "men": tee.men, "women": tee.women} for tee in course.tees],
        "holes": [
            {
                "number": hole.number,
                "par": hole.par,
                "stroke_index": hole.stroke_index,
                "lengths_m": _lengths_m(hole),
                "pins": list(hole.pins),
                "green_m": _green_m(hole),
                "climb_m": hole.climb_m,
            }
            for hole in course.holes
        ],
        "warnings": [str(warning) for warning in course.warnings],
        "assumptions": list(course.assumptions),
    }


def _table(course: Course, units: Units) -> str:
    from rangework.units import METRES_PER, putt_unit, shot_unit

    unit_m, climb_unit = METRES_PER[shot_unit(units)], putt_unit(units)
    names = [tee.name for tee in course.tees]
    names = names if len(names) <= MOST_TEES else [names[0], names[len(names) // 2], names[-1]]
    climbs = {
        hole.number: number(hole.climb_m / METRES_PER[climb_unit], 0) if hole.climb_m else ""
        for hole in course.holes
    }
    climb = [f"climb\n{climb_unit}"] if any(hole.climb_m for hole in course.holes) else []
    rows = [[*_row(hole, names, unit_m), *(climbs[hole.number] for _ in climb)] for hole in course.holes]
    totals = [sum(_lengths_m(hole)[name] for hole in course.holes) / unit_m for name in names]
    total = ["in all", "", "", *(number(each, 0) for each in totals), "", "", "", "", *("" for _ in climb)]
    shown = [name[:10] for name in names]
    headings = ["hole", "par", "index", *shown, "green\nwide x deep", "sand", "water", "out", *climb]
    return table(headings, [Block("", [*rows, total])])


def _row(hole: Hole, names: list[str], unit_m: float) -> list[str]:
    from rangework.lie import Ground

    lengths_m, (wide_m, deep_m) = _lengths_m(hole), _green_m(hole).values()
    count = Counter(area.ground for area in hole.areas)
    around = [str(count[ground] or "") for ground in (Ground.SAND, Ground.WATER, Ground.OUT)]
    lengths = [number(lengths_m[name] / unit_m, 0) for name in names]
    green = f"{number(wide_m / unit_m, 0)} x {number(deep_m / unit_m, 0)}"
    return [str(hole.number), str(hole.par), str(hole.stroke_index), *lengths, green, *around]


def _lengths_m(hole: Hole) -> Mapping[str, float]:
    from rangework.course.line_of_play import length_from

    return {name: length_from(hole.line, place) for name, place in hole.tees.items()}


def _green_m(hole: Hole) -> dict[str, float]:
    from rangework.course.drawn_green import green_of

    green = green_of(hole)
    return {"width": green.width_m, "depth": green.depth_m}
