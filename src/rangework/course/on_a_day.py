"""A course in the conditions of a day."""

from __future__ import annotations

from dataclasses import replace

from rangework.conditions import Conditions
from rangework.course.geometry import Course
from rangework.errors import InputError, Problem


def on_a_day(course: Course, conditions: Conditions) -> Course:
    """The course as it is played in ``conditions``.

    Raises InputError for a wind by the compass on holes of unknown bearing, and for winds on holes that are not there.
    """
    numbers = {hole.number for hole in course.holes}
    problems = [
        Problem("wind_by_hole", str(hole), "", f"a hole of {course.name}: {min(numbers)} to {max(numbers)}")
        for hole in sorted(conditions.wind_by_hole.keys() - numbers)
    ]
    lost = [
        hole.number
        for hole in course.holes
        if hole.bearing_rad is None and _by_compass(conditions, hole.number)
    ]
    if lost:
        which = f"hole{'s' if len(lost) > 1 else ''} {', '.join(map(str, lost))}"
        if len(lost) == len(course.holes):
            which = "the holes"
        remedy = (
            "Write bearing_deg, the direction of the first leg in degrees from north, into each [[holes]] table, "
            "or give the wind along the holes, such as `10 mph from 2 o'clock`, or by hole in a --conditions file."
        )
        expected = f"a course that says which way {which} of {course.name} run{'s' if len(lost) == 1 else ''}"
        problems.append(Problem("wind", "", "by the compass", expected, remedy))
    if problems:
        raise InputError(problems)
    return replace(course, conditions=conditions)


def day_basis(course: Course) -> str:
    """What numbers rest on beside the golfer: the day's conditions and climbs, each id after a +."""
    climbs = "+assumption.conditions.slope" if any(hole.climb_m for hole in course.holes) else ""
    return course.conditions.basis + climbs


def _by_compass(conditions: Conditions, hole: int) -> bool:
    wind = conditions.wind_on(hole)
    return wind is not None and wind.compass
