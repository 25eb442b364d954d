"""Maps that hold more than one course."""

from __future__ import annotations

from pathlib import Path

import pytest
from map_sheet import Drawn, MapSheet
from plain_maps import FORMS, Form, plain_nine, rectangle, retag, write

from rangework.course import Course, read_course
from rangework.errors import InputError


def is_hole(drawn: Drawn) -> bool:
    return drawn.tags.get("golf") == "hole"


def two_nines(**first: str) -> MapSheet:
    """Eighteen holes: the plain nine, and as many par threes 2 km north of them."""
    sheet = plain_nine()
    retag(sheet, is_hole, **first)
    for number in range(1, 10):
        x = 300.0 * number
        tags = {"golf": "hole", "ref": str(number), "par": "3", "golf:course:name": "Short Side"}
        sheet.line(tags, [(x, 2000), (x, 2150)])
    return sheet


def pars(course: Course) -> set[int]:
    return {hole.par for hole in course.holes}


@pytest.mark.parametrize("form", FORMS)
def test_two_courses_must_be_chosen_from(tmp_path: Path, form: Form) -> None:
    path = write(two_nines(**{"golf:course:name": "Long Side"}), tmp_path, form)
    with pytest.raises(InputError) as caught:
        read_course(path)
    told = str(caught.value)
    assert "'Long Side (9 holes); Short Side (9 holes)': expected one course" in told
    assert f'"{path}#Long Side"' in told
    assert pars(read_course(f"{path}#Long Side")) == {4}
    assert pars(read_course(f"{path}#short side")) == {3}
    assert read_course(f"{path}#short side").name == "Short Side"


def test_names_with_odd_signs(tmp_path: Path) -> None:
    path = write(two_nines(**{"golf:course:name": "St. Bride #2 / old"}), tmp_path, "osm")
    assert pars(read_course(f"{path}#St. Bride #2 / old")) == {4}


def test_unknown_name_is_told_with_the_nearest(tmp_path: Path) -> None:
    path = write(two_nines(**{"golf:course:name": "Long Side"}), tmp_path)
    with pytest.raises(
        InputError, match=r"is 'Long Sid': expected a course of this map. Did you mean Long Side?"
    ):
        read_course(f"{path}#Long Sid")


@pytest.mark.parametrize("form", FORMS)
def test_chosen_by_the_outline_that_holds_it(tmp_path: Path, form: Form) -> None:
    sheet = two_nines()
    retag(sheet, is_hole, **{"golf:course:name": None})
    sheet.area({"leisure": "golf_course", "name": "Low Ground"}, rectangle(-1300, -100, 1300, 500))
    sheet.area({"leisure": "golf_course", "name": "High Ground"}, rectangle(0, 1900, 3000, 2300))
    path = write(sheet, tmp_path, form)
    assert pars(read_course(f"{path}#Low Ground")) == {4}
    assert pars(read_course(f"{path}#High Ground")) == {3}


def test_the_only_course_with_all_its_holes_is_taken(tmp_path: Path) -> None:
    sheet = two_nines(**{"golf:course:name": "Long Side"})
    sheet.features = [
        drawn for drawn in sheet.features if drawn.tags.get("par") != "3" or drawn.tags["ref"] < "4"
    ]
    course = read_course(write(sheet, tmp_path))
    assert (course.name, pars(course)) == ("Long Side", {4})
    assert "Long Side (9 holes), Short Side (3 holes)" in str(course.warnings[0])


@pytest.mark.parametrize("outlined", [True, False])
def test_hole_without_a_name_goes_with_its_neighbours(tmp_path: Path, outlined: bool) -> None:
    sheet = plain_nine()
    retag(sheet, is_hole, **{"golf:course:name": "Long Side"})
    retag(sheet, lambda drawn: is_hole(drawn) and drawn.tags["ref"] == "4", **{"golf:course:name": None})
    if outlined:
        sheet.area({"leisure": "golf_course", "name": "All"}, rectangle(-1300, -100, 1300, 500))
    course = read_course(write(sheet, tmp_path))
    assert course.name == "Long Side"
    assert any("hole 4 belongs to Long Side, as its neighbours do" in text for text in course.assumptions)


def test_back_nine_as_a_course_of_its_own(tmp_path: Path) -> None:
    sheet = plain_nine()
    for number in range(9, 0, -1):
        retag(sheet, lambda d, n=number: is_hole(d) and d.tags["ref"] == str(n), ref=str(number + 9))
    course = read_course(write(sheet, tmp_path))
    assert [hole.number for hole in course.holes] == list(range(1, 10))
    assert any("holes 10-18 of the map" in text for text in course.assumptions)


def test_relation_of_a_route_names_the_course_of_its_ways(tmp_path: Path) -> None:
    path = write(two_nines(), tmp_path, "osm")
    text = path.read_text("utf-8")
    ways = [
        line.split('"')[1] for line in text.splitlines() if line.startswith("<way") and 'v="hole"' in line
    ]
    members = "".join(f'<member type="way" ref="{way}" role=""/>' for way in ways[:9])
    tags = '<tag k="type" v="route"/><tag k="route" v="golf"/><tag k="name" v="Long Side"/>'
    path.write_text(text.replace("</osm>", f'<relation id="1">{members}{tags}</relation></osm>'), "utf-8")
    assert pars(read_course(f"{path}#Long Side")) == {4}


def test_a_hole_of_two_courses_belongs_to_both(tmp_path: Path) -> None:
    sheet = two_nines(**{"golf:course:name": "Long Side"})
    retag(sheet, lambda d: is_hole(d) and d.tags["ref"] == "9" and d.tags["par"] == "4", ref="9")
    sheet.features = [d for d in sheet.features if not (d.tags.get("par") == "3" and d.tags["ref"] == "9")]
    both = {"golf:course:name": "Long Side; Short Side"}
    retag(sheet, lambda d: is_hole(d) and d.tags["ref"] == "9", **both)
    path = write(sheet, tmp_path)
    assert read_course(f"{path}#Long Side").holes[8].par == 4
    assert read_course(f"{path}#Short Side").holes[8].par == 4


def test_a_file_whose_own_name_holds_the_mark(tmp_path: Path) -> None:
    for name in ("week#3", "a.osm#b"):
        assert len(read_course(write(plain_nine(), tmp_path, name=name)).holes) == 9
    with pytest.raises(InputError, match="a TOML file holds one course"):
        read_course(tmp_path / "course.toml#North")
