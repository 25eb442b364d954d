"""Courses: holes as areas on a plane, read from a file a coach writes, and laid out as a grid of ground."""

from rangework.course.geometry import Area, Course, Hole, Point, Rating, TeeSet
from rangework.course.ground_grid import GroundGrid, ground_grid

__all__ = [
    "Area",
    "Course",
    "GroundGrid",
    "Hole",
    "Point",
    "Rating",
    "TeeSet",
    "ground_grid",
]
