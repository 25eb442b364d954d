"""Whatever a file holds, reading it ends in records or in one InputError, never in another exception."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from rangework.errors import InputError, Problem
from rangework.records import check_records, read_records

EXAMPLE = Path(__file__).parents[2] / "examples" / "mapping-semicolon-export.toml"
CANONICAL = b"""date,session,place,lie,club,target_yd,long_yd,right_yd,target_ft,holed,\
round,hole,stroke,to_hole_yd,next_lie,left_to_hole_yd
2026-05-04,one,range,tee,"driver, old",230,-10,5.5,,,,,,,,
2026-05-04,p,green,green,,,,,3.0,1,,,,,,
2026-05-04,r,course,tee,,,,,,,1,1,1,385,rough,166.9
2026-05-04,r,course,rough,,,,,,,1,1,2,167,holed,0
"""
FOREIGN = """\ufeffNr;Datum;Einheit;Schläger;Ziel [m];Flugweite [m];Seite [m];Bemerkung\r
1;04.05.2026;Training 1;SW;54,9;51,0;7,8;\r
2;04.05.2026;Training 1;DR;208,5;225,4;-5,8;\r
""".encode()


def survives(folder: Path, data: bytes) -> None:
    path = folder / "damaged.csv"
    path.write_bytes(data)
    try:
        read_records([path], mappings=[EXAMPLE])
        problems: tuple[Problem, ...] = ()
    except InputError as error:
        problems = error.problems or (Problem("", "", "", ""),)
    assert all(problem.expected and str(problem) for problem in problems)


@settings(max_examples=250, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    whole=st.sampled_from([CANONICAL, FOREIGN]),
    damage=st.lists(
        st.tuples(
            st.integers(0, 420),
            st.integers(0, 20),
            st.binary(max_size=5) | st.sampled_from([b'"', b"\r", b",,", b"\0"]),
        ),
        min_size=1,
        max_size=3,
    ),
)
def test_damaged_files(tmp_path: Path, whole: bytes, damage: list[tuple[int, int, bytes]]) -> None:
    for position, length, inserted in damage:
        whole = whole[:position] + inserted + whole[position + length :]
    survives(tmp_path, whole)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200))
@example(b"\xff\xfe")
@example(b"\xef\xbb\xbf\xef\xbb\xbf")
@example(b"\0")
@example(b'"')
@example(b"\r\r\r,\r")
def test_any_bytes(tmp_path: Path, data: bytes) -> None:
    survives(tmp_path, data)


@pytest.mark.parametrize(
    ("data", "place", "expected"),
    [
        (b"", "", "a header and rows, and the file is empty"),
        (b"\xef\xbb\xbf\r\n \n", "", "a header and rows, and the file is empty"),
        (b"date,place,lie,target_m,long_m,right_m\n", "", "rows below the header, and there are none"),
        (CANONICAL.replace(b"old", b"\xe4lter"), "row 2", "text in UTF-8"),
        (CANONICAL.replace(b"old", b"o\0d"), "row 2", "text without NUL characters"),
        (CANONICAL.decode().encode("utf-16"), "", "text in UTF-8, and this is UTF-16"),
        (CANONICAL.replace(b"old", b"o" * 200_000), "row 2", "cells of usual length"),
        (CANONICAL.replace(b"old", b"o" * 2_000), "row 2, column club", "at most 200 characters"),
        (CANONICAL.replace(b'old"', b"old"), "row 2", "16 cells, as in the header"),
    ],
)
def test_each_damage_has_its_own_words(tmp_path: Path, data: bytes, place: str, expected: str) -> None:
    path = tmp_path / "damaged.csv"
    path.write_bytes(data)
    errors, _ = check_records(path)
    assert [error.place for error in errors] == [place]
    assert errors[0].expected.startswith(expected)
    assert len(str(errors[0])) < 500


def test_an_overlong_cell_does_not_hide_the_rows_before_it(tmp_path: Path) -> None:
    path = tmp_path / "damaged.csv"
    path.write_bytes(CANONICAL.replace(b"230", b"2x30").replace(b"3.0", b"3" * 200_000))
    errors, _ = check_records(path)
    assert [error.place for error in errors] == ["row 3", "row 2, column target_yd"]


def test_missing_files_and_folders(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.csv", tmp_path / ("x" * 400), tmp_path / "no\0name"):
        errors, _ = check_records(path, [path])
        assert len(errors) == 2
