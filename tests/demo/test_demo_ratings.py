"""The invented ratings of the demo course suit its reference golfers, and are near those estimated here."""

from __future__ import annotations

import pytest

from rangework.course import read_course
from rangework.course.choices import chosen_pins
from rangework.course.geometry import Course
from rangework.demo.scenario import demo_files
from rangework.play.handicap import STANDARD_SLOPE, simulated_index
from rangework.play.rating import estimate_rating, official_rating, rating_layouts
from rangework.play.rounds import play_rounds
from rangework.play.strategy import compile_player, solve_course
from rangework.skill.reference import Group, reference_golfer


@pytest.fixture(scope="module")
def course() -> Course:
    return read_course(next(file for file in demo_files() if file.name == "course.toml"))


@pytest.mark.slow
@pytest.mark.parametrize(("tee", "group", "index"), [("middle", "men", 12.0), ("middle", "women", 20.0)])
def test_reference_golfers_play_to_their_index(course: Course, tee: str, group: Group, index: float) -> None:
    """On the course file's ratings and on the estimated ones; rated for much harder holes they do not."""
    layouts = rating_layouts(course, tee, chosen_pins(course, None))
    official = official_rating(next(each for each in course.tees if each.name == tee), group)
    assert official
    estimated = estimate_rating(layouts, group).rounded
    assert estimated.course_rating == pytest.approx(official.course_rating, abs=0.6)
    assert estimated.slope == pytest.approx(official.slope, abs=5)
    player = compile_player(reference_golfer(index, group))
    scores = play_rounds(solve_course(layouts, player), player, 4000).scores
    for rating in (official, estimated):
        found = simulated_index((scores - rating.course_rating) * STANDARD_SLOPE / rating.slope)
        assert found == pytest.approx(index, abs=0.7)
    harder = (scores - official.course_rating - 2.0) * STANDARD_SLOPE / official.slope
    assert simulated_index(harder) < index - 0.7
