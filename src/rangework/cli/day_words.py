"""The day that a command plays on, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rangework.course import Course
    from rangework.units import Units


def day_words(course: Course, units: Units) -> str:
    """The day's conditions, and that the course climbs; empty where all is neutral."""
    from rangework.conditions.words import told

    climbs = "climbs as the course states them" if any(hole.climb_m for hole in course.holes) else ""
    return ", ".join(filter(None, (told(course.conditions, units), climbs)))
