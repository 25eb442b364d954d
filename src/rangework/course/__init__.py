"""Courses: holes as areas on a plane, read from a file or an open map, and laid out as a grid of ground."""

from rangework.course.files import read_course
from rangework.course.geojson_writing import geojson_text
from rangework.course.geometry import Area, Course, Hole, Point, Rating, TeeSet
from rangework.course.ground_grid import GroundGrid, ground_grid
from rangework.course.on_a_day import day_basis, on_a_day
from rangework.course.standard_hole import Surroundings, standard_hole
from rangework.course.toml_writing import toml_text

__all__ = [
    "Area",
    "Course",
    "GroundGrid",
    "Hole",
    "Point",
    "Rating",
    "Surroundings",
    "TeeSet",
    "day_basis",
    "geojson_text",
    "ground_grid",
    "on_a_day",
    "read_course",
    "standard_hole",
    "toml_text",
]
