"""Course files: every fault told at once, with its place, value, expectation and remedy."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from rangework.course import read_course
from rangework.errors import InputError

WriteNine = Callable[..., Path]
PLAIN_HOLE = "[[holes]]\npar = 4\nlength_yd = 380\n"


def problems(path: Path) -> dict[str, str]:
    """Place to the whole message."""
    with pytest.raises(InputError) as caught:
        read_course(path)
    return {problem.place: str(problem) for problem in caught.value.problems}


def test_all_problems_are_told_at_once(write_nine: WriteNine) -> None:
    path = write_nine(
        'par = 7\nlength_yd = 380\nfairwy = {}\nbunkers = [{ side = "lft", at_yd = "far" }]',
        top="[tees.main]\nmen = { rating = 35.1, slope = 160 }",
    )
    found = problems(path)
    assert "is '7': expected a whole number from 3 to 6" in found["holes[1].par"]
    assert "Did you mean fairway?" in found["holes[1].fairwy"]
    assert "Did you mean left?" in found["holes[1].bunkers[1].side"]
    assert "is 'far'" in found["holes[1].bunkers[1].at_yd"]
    assert "whole number from 55 to 155" in found["tees.main.men.slope"]
    assert len(found) == 5
    assert str(path) in found["holes[1].par"]


@pytest.mark.parametrize(
    ("first", "place", "expected"),
    [
        ("length_yd = 380", "holes[1].par", "It is missing"),
        ("par = 4", "holes[1].length_yd", "It is missing"),
        ("par = 4\nlength = 380", "holes[1].length", "a unit at the end of the key"),
        ("par = 4\nlength_yd = 380\nlength_m = 350", "holes[1].length_yd", "only one of"),
        ("par = 4\nlength_yd = 5", "holes[1].length_yd", "a number from 40 to 900"),
        ("par = 4\nlength_yd = nan", "holes[1].length_yd", "a number from"),
        ("par = 4\nlength_yd = true", "holes[1].length_yd", "a number from"),
        ("par = 4.0\nlength_yd = 380", "holes[1].par", "a whole number"),
        ("par = 4\nlength_yd = 380\ngreen = 30", "holes[1].green", "a table"),
        ("par = 4\nlength_yd = 380\nbunkers = 3", "holes[1].bunkers", "a list of tables"),
        (
            "par = 4\nlength_yd = 380\ndoglegs = [{ at_yd = 500, turn_deg = 9 }]",
            "holes[1].doglegs[1].at_yd",
            "to 380",
        ),
        ("par = 4\nlength_yd = 380\ndoglegs = [{ at_yd = 200 }]", "holes[1].doglegs[1].turn_deg", "missing"),
        ('par = 4\nlength_yd = 380\ntrees = [{ side = "left" }]', "holes[1].trees[1].offset_yd", "missing"),
        ('par = 4\nlength_yd = 380\nwater = [{ side = "across" }]', "holes[1].water[1].from_yd", "missing"),
        (
            "par = 4\nlength_yd = 380\nfairway = { from_yd = 300, to_yd = 200 }",
            "holes[1].fairway",
            "ends beyond",
        ),
        ('par = 4\nlength_yd = 380\npins = ["top"]', "holes[1].pins[1]", "one of middle"),
        ('par = 4\nlength_yd = 380\npins = ["left", "left"]', "holes[1].pins[2]", "every pin once"),
        ('par = 4\nlength_yd = 380\nbunkers = [{ side = "left" }]', "holes[1].bunkers[1].at_yd", "missing"),
        (
            'par = 4\nlength_yd = 380\nwater = [{ side = "across", from_yd = 200, to_yd = 100 }]',
            "holes[1].water[1]",
            "ends beyond where it starts",
        ),
        (
            'par = 4\nlength_yd = 380\nbunkers = [{ side = "left", at_yd = 9, before_green_yd = 9 }]',
            "holes[1].bunkers[1]",
            "either at or before_green",
        ),
        (
            "par = 4\nlength_yd = 380\npins = { a = { left_yd = 9, right_yd = 9 } }",
            "holes[1].pins.a",
            "either left or right",
        ),
        ("par = 4\nlength_yd = 380\npins = {}", "holes[1].pins", "at least one pin"),
        ("par = 4\nlength_yd = 380\npins = { one = {} }", "holes[1].pins.one", "a distance from front"),
        ("par = 4\nlength_yd = 380\npins = { a = { left_yd = 3 } }", "holes[1].pins.a", "near_edge = true"),
        ("par = 4\nlength_yd = 380\npins = { a = { left_yd = 40 } }", "holes[1].pins.a", "off the green"),
        (
            'par = 4\nlength_yd = 380\nwater = [{ side = "across", from_yd = -10, to_yd = 90 }]',
            "holes[1].length",
            "a tee on dry ground",
        ),
        (
            'par = 4\nlength_yd = 380\nout = [{ side = "left", offset_yd = 0, from_yd = 300 }]',
            "holes[1].out",
            "a pin in bounds",
        ),
    ],
)
def test_faults_name_their_place_and_what_was_expected(
    write_nine: WriteNine, first: str, place: str, expected: str
) -> None:
    assert expected in problems(write_nine(first))[place]


def test_fault_in_every_hole_is_told_once(write_nine: WriteNine) -> None:
    found = problems(write_nine("par = 4\nlength_yd = 380", top="[every_hole]\ngreen = { wide_yd = 30 }"))
    assert list(found) == ["every_hole.green.wide_yd"]
    assert "Did you mean width_yd?" in found["every_hole.green.wide_yd"]


def test_missing_tee_and_unknown_tee(write_nine: WriteNine) -> None:
    tees = "[tees.back]\n[tees.front]\n"
    others = "[[holes]]\npar = 4\nlength_yd = { back = 400, front = 350 }\n"
    found = problems(write_nine("par = 4\nlength_yd = { back = 400, frnt = 350 }", top=tees, others=others))
    assert "missing" in found["holes[1].length_yd.front"]
    assert "Did you mean front?" in found["holes[1].length_yd.frnt"]


@pytest.mark.parametrize(
    ("given", "place"),
    [
        ([1, 2, 3, 4, 5, 6, 7, 8, 8], "holes[9].stroke_index"),
        ([1, 2, 3, 4, 5, 6, 7, 8, 10], "stroke_index"),
        ([1, 2, 3, 4, 5, 6, 7, 8, 0], "holes[9].stroke_index"),
    ],
)
def test_stroke_indexes_must_be_a_permutation(course_file: Path, given: list[int], place: str) -> None:
    assert place in problems(with_indexes(course_file, given))


@pytest.mark.parametrize("given", [range(1, 10), range(17, 0, -2), range(2, 19, 2)])
def test_stroke_indexes_of_nine_holes(course_file: Path, given: range) -> None:
    course = read_course(with_indexes(course_file, list(given)))
    assert [hole.stroke_index for hole in course.holes] == list(given)


def with_indexes(path: Path, given: list[int]) -> Path:
    holes = "".join(PLAIN_HOLE + f"stroke_index = {index}\n" for index in given)
    path.write_text(f'name = "Test"\n{holes}', "utf-8")
    return path


def test_number_of_holes(course_file: Path) -> None:
    course_file.write_text(f'name = "Test"\n{PLAIN_HOLE}', "utf-8")
    assert "9 or 18 holes" in problems(course_file)["holes"]
    course_file.write_text("", "utf-8")
    assert set(problems(course_file)) == {"name", "holes"}


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"name = ", "valid TOML"),
        (b"name = 'a'\nname = 'b'", "valid TOML"),
        (b"name = '\xff'", "text in UTF-8"),
        (b"x = " + b"[" * 5000, "not nested this deep"),
        (b"x = " + b"9" * 5000, "valid TOML"),
        (b"par = 0x" + b"f" * 6000, "a key that is known"),
    ],
)
def test_what_is_no_toml_is_one_clear_problem(course_file: Path, content: bytes, expected: str) -> None:
    course_file.write_bytes(content)
    with pytest.raises(InputError, match=expected):
        read_course(course_file)


def test_byte_order_mark_is_no_fault(write_nine: WriteNine) -> None:
    path = write_nine("par = 4\nlength_yd = 380")
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_course(path).name == "Test"


def test_other_files_are_refused(tmp_path: Path) -> None:
    with pytest.raises(
        InputError, match=r"course\.kml: suffix is '\.kml': expected a course file ending in \.toml"
    ):
        read_course(tmp_path / "course.kml")
    with pytest.raises(InputError, match="a file that can be read"):
        read_course(tmp_path / "missing.toml")


# Rules of Handicapping, Appendix F: yards by par


@pytest.mark.parametrize(
    ("par", "yards", "usual"),
    [
        (3, 260, True),
        (3, 261, False),
        (4, 200, True),
        (4, 199, False),
        (4, 490, True),
        (4, 491, False),
        (5, 370, True),
        (5, 369, False),
        (5, 710, True),
        (5, 711, False),
    ],
)
def test_odd_lengths_warn(write_nine: WriteNine, par: int, yards: int, usual: bool) -> None:
    course = read_course(write_nine(f"par = {par}\nlength_yd = {yards}"))
    assert [warning.place for warning in course.warnings] == ([] if usual else ["holes[1].length, main tee"])


@pytest.mark.parametrize(
    ("who", "par", "yards", "usual"),
    [
        ("men", 3, 260, True),
        ("men", 4, 239, False),
        ("men", 4, 240, True),
        ("men", 5, 449, False),
        ("women", 3, 221, False),
        ("women", 4, 421, False),
        ("women", 5, 600, True),
        ("women", 5, 601, False),
    ],
)
def test_lengths_are_judged_by_whom_the_tee_is_rated_for(
    write_nine: WriteNine, who: str, par: int, yards: int, usual: bool
) -> None:
    top = f"[tees.main]\n{who} = {{ rating = 35.0, slope = 120 }}"
    course = read_course(write_nine(f"par = {par}\nlength_yd = {yards}", top=top))
    assert any(warning.place.startswith("holes[1]") for warning in course.warnings) is not usual
