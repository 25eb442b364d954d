"""Two par 3s and a par 4 with water short and right of right-hand pins, and golfers who aim on them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rangework.aim.habits.valuing import PlayedCourse
from rangework.course.geometry import Course
from rangework.course.ground_grid import ground_grid
from rangework.play.lattice import lay_out
from rangework.play.points import error_points
from rangework.play.strategy import Effort, compile_player, solve_course
from rangework.skill.model import Golfer
from rangework.skill.reference import reference_golfer

COURSE = """\
name = "Sallow Marsh"

[every_hole]
green = { width_yd = 30, depth_yd = 26 }
fairway = { width_yd = 34 }
pins = { right = { at = "right", edge_yd = 4 }, right-back = { at = "back-right", edge_yd = 5 } }
water = [{ green = "front-right", width_yd = 25, length_yd = 40, gap_yd = 1 }]
"""
LENGTHS_YD = (150, 165, 390, 120, 120, 120, 120, 120, 120)


@dataclass(frozen=True, eq=False)
class Scene:
    """A course of a few holes, a golfer with best targets on it, finely and coarsely."""

    course: Course
    golfer: Golfer
    ground: PlayedCourse
    coarse: PlayedCourse


def quick() -> Effort:
    return Effort(
        far=(error_points(48, 12), error_points(160, 40, 0.1), error_points(320, 64, 0.3, 8)),
        near=(error_points(32, 8), error_points(96, 24, 0.1), error_points(96, 24, 0.3, 8)),
    )


def played(
    course: Course, golfer: Golfer, pin: str, coarse_m: float = 10.0, fine_m: float = 4.0
) -> PlayedCourse:
    """The course with one pin, and the golfer's best targets."""
    tee = course.tees[0].name
    layouts = [
        lay_out(ground_grid(hole, tee, pin), coarse_step_m=coarse_m, fine_step_m=fine_m)
        for hole in course.holes
    ]
    player = compile_player(golfer)
    return PlayedCourse.of(course, solve_course(layouts, player, effort=quick(), threads=1), player)


@cache
def scene(course: Course, index: float) -> Scene:
    """A reference golfer on the course, pins on the right."""
    golfer = reference_golfer(index)
    ground = played(course, golfer, "right")
    return Scene(course, golfer, ground, ground.coarse(course))
