"""Odd ways of drawing and tagging: the same ground, or a word about what was left out."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from map_sheet import MapSheet
from plain_maps import (
    FORMS,
    LENGTH_M,
    Form,
    first_hole_x,
    leave_out,
    on_first_hole,
    plain_nine,
    rectangle,
    retag,
    write,
)

from rangework.course import Course, Hole, ground_grid, read_course
from rangework.errors import InputError
from rangework.lie import Ground

X = first_hole_x()


def read(sheet: MapSheet, folder: Path, form: Form = "geojson") -> Course:
    return read_course(write(sheet, folder, form))


def ground_at(hole: Hole, x: float, y: float) -> Ground:
    grid = ground_grid(hole, next(iter(hole.tees)), next(iter(hole.pins)))
    return Ground(int(grid.ground_at(*grid.from_hole([x, y]))))


def told(course: Course, text: str) -> bool:
    return any(text in str(warning) for warning in course.warnings)


def placed(outline: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """An outline of the first hole's plane on the map."""
    return [(X + x, y) for x, y in outline]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("tags", "ground"),
    [
        ({"golf": "bunker"}, Ground.SAND),
        ({"natural": "sand"}, Ground.SAND),
        ({"natural": "beach"}, Ground.SAND),
        ({"golf": "water_hazard"}, Ground.WATER),
        ({"golf": "lateral_water_hazard", "natural": "wood"}, Ground.WATER),
        ({"natural": "water"}, Ground.WATER),
        ({"natural": "wood"}, Ground.TREES),
        ({"natural": "scrub"}, Ground.TREES),
        ({"landuse": "forest"}, Ground.TREES),
        ({"golf": "out_of_bounds"}, Ground.OUT),
        ({"golf": "fairway"}, Ground.FAIRWAY),
        ({"golf": "tee"}, Ground.FAIRWAY),
        ({"golf": "fringe"}, Ground.FAIRWAY),  # away from the green it is mown grass
        ({"golf": "rough"}, Ground.ROUGH),
        ({"golf": "rough", "natural": "wood"}, Ground.TREES),
        ({"golf": "driving_range"}, Ground.ROUGH),
        ({"Golf": " Bunker"}, Ground.SAND),
        ({"GOLF": "Lateral Water-Hazard"}, Ground.WATER),
        ({"golf": "cartpath;bunker"}, Ground.SAND),
        ({"natural": "water", "tunnel": "culvert"}, Ground.ROUGH),
    ],
)
def test_tags_become_ground(tmp_path: Path, form: Form, tags: dict[str, str], ground: Ground) -> None:
    sheet = plain_nine()
    sheet.area(tags, placed(rectangle(25, 150, 45, 200)))
    hole = read(sheet, tmp_path, form).holes[0]
    assert ground_at(hole, 35.0, 175.0) == ground
    assert ground_at(hole, 55.0, 175.0) == Ground.ROUGH


def test_misspelt_value_is_told_with_the_nearest(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "bunkr"}, placed(rectangle(25, 150, 45, 200)))
    sheet.area({"golf": "elephants"}, placed(rectangle(25, 250, 45, 300)))
    course = read(sheet, tmp_path)
    assert told(course, "Did you mean bunker?")
    assert len(course.warnings) == 1


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("tags", "half_m"),
    [
        ({"waterway": "stream"}, 1.0),
        ({"waterway": "stream", "width": "10"}, 5.0),
        ({"waterway": "stream", "width": "10 m"}, 5.0),
        ({"waterway": "stream", "width": "20'"}, 3.048),
        ({"waterway": "stream", "width": "6,4"}, 3.2),
        ({"waterway": "stream", "width": "wide"}, 1.0),
        ({"waterway": "river"}, 6.0),
        ({"golf": "water_hazard", "width": "8"}, 4.0),
        ({"natural": "tree_row"}, 3.0),
    ],
)
def test_lines_have_a_width(tmp_path: Path, form: Form, tags: dict[str, str], half_m: float) -> None:
    sheet = plain_nine()
    sheet.line(tags, placed([(35.0, 100.0), (35.0, 250.0)]))
    course = read(sheet, tmp_path, form)
    area = next(area.polygon for area in course.holes[0].areas if area.ground in (Ground.WATER, Ground.TREES))
    left, _, right, _ = area.bounds
    assert (left, right) == pytest.approx((35 - half_m, 35 + half_m), abs=0.05)
    assert any(" m wide where" in text for text in course.assumptions) == (
        "width" not in tags or half_m == 1.0
    )


@pytest.mark.parametrize("form", FORMS)
def test_single_trees(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.point({"natural": "tree", "diameter_crown": "8"}, (X + 5.0, 200.0))
    hole = read(sheet, tmp_path, form).holes[0]
    # it stands in the fairway, which is painted over trees
    assert ground_at(hole, 7.5, 200.0) == Ground.TREES
    assert ground_at(hole, 10.5, 200.0) == Ground.FAIRWAY


@pytest.mark.parametrize(
    ("below", "top", "seen"),
    [
        ({"golf": "fairway"}, {"natural": "wood"}, Ground.TREES),
        ({"golf": "fairway"}, {"golf": "rough"}, Ground.ROUGH),
        ({"natural": "wood"}, {"golf": "rough"}, Ground.ROUGH),
        ({"natural": "water"}, {"natural": "wood"}, Ground.TREES),
        ({"natural": "water"}, {"golf": "fairway"}, Ground.FAIRWAY),
        ({"golf": "bunker"}, {"golf": "rough"}, Ground.ROUGH),
        ({"golf": "fairway"}, {"golf": "bunker"}, Ground.SAND),
        ({"golf": "lateral_water_hazard"}, {"natural": "wood"}, Ground.WATER),
        ({"golf": "lateral_water_hazard"}, {"golf": "fairway"}, Ground.FAIRWAY),
        ({"golf": "out_of_bounds"}, {"natural": "wood"}, Ground.OUT),
    ],
)
def test_what_lies_on_a_larger_area_shows(
    tmp_path: Path, below: dict[str, str], top: dict[str, str], seen: Ground
) -> None:
    sheet = plain_nine()
    sheet.area(below, placed(rectangle(20, 150, 50, 220)))
    sheet.area(top, placed(rectangle(28, 170, 42, 200)))
    assert ground_at(read(sheet, tmp_path).holes[0], 35.0, 185.0) == seen


@pytest.mark.parametrize("form", FORMS)
def test_hole_in_an_area(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.area({"natural": "wood"}, placed(rectangle(18, 100, 58, 300)), placed(rectangle(28, 150, 48, 250)))
    hole = read(sheet, tmp_path, form).holes[0]
    assert ground_at(hole, 38.0, 200.0) == Ground.ROUGH
    assert ground_at(hole, 38.0, 120.0) == Ground.TREES


def test_the_same_water_twice_is_one_area(tmp_path: Path) -> None:
    sheet = plain_nine()
    pond = placed(rectangle(25, 150, 45, 200))
    sheet.area({"natural": "water"}, pond)
    sheet.area({"golf": "water_hazard"}, pond)
    hole = read(sheet, tmp_path).holes[0]
    assert sum(area.ground is Ground.WATER for area in hole.areas) == 1


def test_area_drawn_as_an_open_line_is_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.line({"golf": "bunker"}, placed([(25, 150), (45, 150), (45, 200)]))
    course = read(sheet, tmp_path)
    assert told(course, "'golf=bunker': expected an outline")
    assert ground_at(course.holes[0], 40.0, 160.0) == Ground.ROUGH


@pytest.mark.parametrize("form", FORMS)
def test_outline_with_a_small_loop_is_mended(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    looped = [*rectangle(25, 150, 45, 200)[:3], (25, 200.2), (25.5, 199.6), (25.2, 200.4)]
    sheet.area({"golf": "bunker"}, placed(looped))
    assert ground_at(read(sheet, tmp_path, form).holes[0], 35.0, 175.0) == Ground.SAND


@pytest.mark.parametrize("form", FORMS)
def test_outline_that_crosses_itself_is_a_problem(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "bunker"}, placed([(25, 150), (45, 200), (25, 200), (45, 150)]))
    with pytest.raises(InputError, match=r"is 'bunker': expected an outline that does not cross itself"):
        read(sheet, tmp_path, form)


def test_outline_that_crosses_itself_far_away_does_not_matter(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "bunker"}, [(9025, 150), (9045, 200), (9025, 200), (9045, 150)])
    assert len(read(sheet, tmp_path).holes) == 9


@pytest.mark.parametrize("form", FORMS)
def test_boundary_beside_a_hole(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.line({"golf": "out_of_bounds"}, placed([(-40, -60), (-35, 100), (-45, 250), (-40, 420)]))
    course = read(sheet, tmp_path, form)
    hole = course.holes[0]
    assert ground_at(hole, -50.0, 250.0) == Ground.OUT
    assert ground_at(hole, -40.0, 250.0) == Ground.ROUGH
    assert ground_at(hole, 50.0, 250.0) == Ground.ROUGH
    assert not any("out of bounds" in text for text in course.assumptions)


def test_boundary_across_a_hole_is_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.line({"golf": "out_of_bounds"}, placed([(-60, 200), (60, 200)]))
    course = read(sheet, tmp_path)
    assert told(course, "a boundary beside the line of play")
    assert not any(area.ground is Ground.OUT for area in course.holes[0].areas)


def test_bounds_drawn_round_the_course(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "out_of_bounds"}, rectangle(-1240, -60, 1400, 420))
    hole = read(sheet, tmp_path).holes[0]
    assert ground_at(hole, -45.0, 100.0) == Ground.OUT
    assert ground_at(hole, 0.0, 100.0) == Ground.ROUGH


@pytest.mark.parametrize("form", FORMS)
def test_sea_on_the_right_of_a_coastline(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    sheet.line({"natural": "coastline"}, placed([(-40, 3000), (-35, 200), (-45, -3000)]))
    hole = read(sheet, tmp_path, form).holes[0]
    assert ground_at(hole, -50.0, 200.0) == Ground.WATER
    assert ground_at(hole, -30.0, 200.0) == Ground.ROUGH


def test_coastline_that_ends_on_the_course_is_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.line({"natural": "coastline"}, placed([(-40, 3000), (-35, 200)]))
    course = read(sheet, tmp_path)
    assert told(course, "a coast that parts land from sea")
    assert ground_at(course.holes[0], -50.0, 250.0) == Ground.ROUGH


@pytest.mark.parametrize("form", FORMS)
def test_double_green(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    other = X + 300.0
    for value in ("green", "fringe", "pin"):
        leave_out(sheet, on_first_hole(value))
        leave_out(
            sheet, lambda drawn, v=value: drawn.tags.get("golf") == v and drawn.rings[0][0][0] < other + 50
        )
    leave_out(sheet, lambda drawn: drawn.tags.get("ref") == "2")
    line = {"golf": "hole", "ref": "2", "par": "4", "handicap": "2"}
    sheet.line(line, [(other, 0), (X + 50, LENGTH_M)])
    sheet.area({"golf": "green"}, rectangle(X - 14, LENGTH_M - 12, X + 64, LENGTH_M + 12))
    sheet.point({"golf": "pin"}, (X + 45, LENGTH_M))
    course = read(sheet, tmp_path, form)
    first, second = course.holes[:2]
    # each hole's part is its half: the first's middle lies between -14 and 25
    assert first.line[-1] == pytest.approx((0.0, math.hypot(5.5, LENGTH_M)), abs=0.2)
    assert first.pins["right"][0] < 25.0
    assert set(second.pins) == {"mapped"}
    for hole in (first, second):
        green = next(area.polygon for area in hole.areas if area.ground is Ground.GREEN)
        assert green.area == pytest.approx(78 * 24, rel=0.01)
    assert any("double green" in text and "(holes 1-2)" in text for text in course.assumptions)


def test_shared_fairway_belongs_to_both_holes(tmp_path: Path) -> None:
    sheet = plain_nine()
    other = X + 300.0
    leave_out(sheet, lambda drawn: drawn.tags.get("golf") == "fairway" and drawn.rings[0][0][0] < other + 50)
    sheet.area({"golf": "fairway"}, rectangle(X - 20, 120, other + 20, 330))
    course = read(sheet, tmp_path)
    assert not any("fairway" in text for text in course.assumptions)
    assert ground_at(course.holes[0], 50.0, 200.0) == Ground.FAIRWAY
    assert ground_at(course.holes[1], -50.0, 200.0) == Ground.FAIRWAY


def test_lines_from_other_tees_to_the_same_green(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: drawn.tags.get("golf") == "tee")
    for hole in range(9):
        x = X + 300 * hole
        retag(sheet, lambda drawn, h=hole: drawn.tags.get("ref") == str(h + 1), tee="white")
        sheet.line({"golf": "hole", "ref": str(hole + 1), "tee": "blue"}, [(x, 60), (x, LENGTH_M)])
    course = read(sheet, tmp_path)
    assert [tee.name for tee in course.tees] == ["white", "blue"]
    assert course.holes[4].tees["blue"] == pytest.approx((0.0, 60.0), abs=0.02)


@pytest.mark.parametrize(("unit", "metres"), [(1.0, 1.0), (0.9144, 0.9144)])
def test_stated_lengths_place_tees_in_the_likelier_unit(tmp_path: Path, unit: float, metres: float) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: drawn.tags.get("golf") == "tee")
    stated = {"dist:white": f"{LENGTH_M / unit:.0f}", "dist:red": f"{290 / unit:.0f}"}
    retag(sheet, lambda drawn: drawn.tags.get("golf") == "hole", **stated)
    course = read(sheet, tmp_path)
    assert [tee.name for tee in course.tees] == ["white", "red"]
    assert course.holes[0].tees["red"] == pytest.approx((0.0, 60.0), abs=1.0)


def test_stated_length_far_from_the_drawn_one_is_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, lambda drawn: drawn.tags.get("golf") == "hole", dist="380 yd")
    retag(sheet, on_first_hole("hole"), dist="480 yd")
    assert [warning.place for warning in read(sheet, tmp_path).warnings] == ["hole 1 (features[1]) dist"]


@pytest.mark.parametrize("ref", ["1", "01", "Hole 1", "#1", "1;10"])
def test_numbers_in_odd_writing(tmp_path: Path, ref: str) -> None:
    sheet = plain_nine()
    retag(sheet, on_first_hole("hole"), ref=ref)
    assert read(sheet, tmp_path).holes[0].stroke_index == 1


def test_tees_by_colour(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, lambda drawn: drawn.tags.get("tee") == "white", tee=None, colour="White;Yellow")
    retag(sheet, lambda drawn: drawn.tags.get("tee") == "red", tee=None, red="yes")
    assert {tee.name for tee in read(sheet, tmp_path).tees} == {"white", "yellow", "red"}


def test_tees_named_on_few_holes_are_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "tee", "tee": "orange"}, placed(rectangle(-4, 76, 4, 84)))
    course = read(sheet, tmp_path)
    assert [tee.name for tee in course.tees] == ["white", "red"]
    assert told(course, "tees orange")


def test_pins_off_every_green_are_told_and_those_at_the_edge_moved_on(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.point({"golf": "pin"}, (X + 40, 100))
    sheet.point({"golf": "pin", "name": "edge"}, (X + 13.2, LENGTH_M))
    course = read(sheet, tmp_path)
    assert told(course, "expected a pin on a green")
    hole = course.holes[0]
    assert set(hole.pins) == {"mapped", "edge"}
    assert hole.pins["edge"][0] < 12.0


def test_pieces_of_a_line_of_play(tmp_path: Path) -> None:
    path = write(plain_nine(), tmp_path)
    data = json.loads(path.read_text("utf-8"))
    geometry = data["features"][0]["geometry"]
    (west, south), (east, north) = geometry["coordinates"]
    middle = [(west + east) / 2, (south + north) / 2]
    geometry |= {"type": "MultiLineString", "coordinates": [[[west, south], middle], [middle, [east, north]]]}
    path.write_text(json.dumps(data), "utf-8")
    assert len(read_course(path).holes[0].line) == 2
