from pathlib import Path

import pytest

from rangework.errors import Problem
from rangework.records import check_records

AIMED_HEADER = "date,place,lie,target_yd,long_yd,right_yd,misread,holed"
PUTTS_HEADER = "date,lie,target_ft,holed,long_ft,right_ft"
LOG_HEADER = "date,place,round,hole,stroke,lie,to_hole_yd,next_lie,left_to_hole_yd,penalty,picked_up,conceded"


def checked(folder: Path, *lines: str) -> tuple[list[Problem], list[Problem]]:
    path = folder / "records.csv"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return check_records(path)


@pytest.mark.parametrize(
    ("header", "row", "place", "value"),
    [
        (AIMED_HEADER, "2026-02-30,range,tee,200,1,2,,", "date", "2026-02-30"),
        (AIMED_HEADER, "04.05.2026,range,tee,200,1,2,,", "date", "04.05.2026"),
        (AIMED_HEADER, "1066-10-14,range,tee,200,1,2,,", "date", "1066-10-14"),
        (AIMED_HEADER, ",range,tee,200,1,2,,", "date", ""),
        (AIMED_HEADER, "2026-05-04,beach,tee,200,1,2,,", "place", "beach"),
        (AIMED_HEADER, "2026-05-04,,tee,200,1,2,,", "place", ""),
        (AIMED_HEADER, "2026-05-04,range,,200,1,2,,", "lie", ""),
        (AIMED_HEADER, "2026-05-04,range,grass,200,1,2,,", "lie", "grass"),
        (AIMED_HEADER, '2026-05-04,range,tee,"54,9",1,2,,', "target_yd", "54,9"),
        (AIMED_HEADER, "2026-05-04,range,tee,401,1,2,,", "target_yd", "401"),
        (AIMED_HEADER, "2026-05-04,range,tee,0,1,2,,", "target_yd", "0"),
        (AIMED_HEADER, "2026-05-04,range,tee,200,nan,2,,", "long_yd", "nan"),
        (AIMED_HEADER, "2026-05-04,range,tee,200,1_0,2,,", "long_yd", "1_0"),
        (AIMED_HEADER, "2026-05-04,range,tee,200,1e999,2,,", "long_yd", "1e999"),
        (AIMED_HEADER, "2026-05-04,range,tee,200,,2,,", "long_yd", ""),
        (AIMED_HEADER, "2026-05-04,range,tee,200,1,300,,", "right_yd", "300"),
        (AIMED_HEADER, "2026-05-04,range,tee,200,1,2,maybe,", "misread", "maybe"),
        (AIMED_HEADER, "2026-05-04,range,rough,20,4,2,,1", "holed", "1"),
        (PUTTS_HEADER, "2026-05-04,green,151,1,,", "target_ft", "151"),
        (PUTTS_HEADER, "2026-05-04,green,10,,1,1", "holed", ""),
        (PUTTS_HEADER, "2026-05-04,green,10,0,1,", "right_ft", ""),
        (PUTTS_HEADER, "2026-05-04,green,10,1,4,1", "holed", "1"),
        (LOG_HEADER, "2026-05-04,course,1,0,1,tee,400,rough,200,0,,", "hole", "0"),
        (LOG_HEADER, "2026-05-04,course,1,1,1.5,tee,400,rough,200,0,,", "stroke", "1.5"),
        (LOG_HEADER, "2026-05-04,course,,1,1,tee,400,rough,200,0,,", "round", ""),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,1101,rough,200,0,,", "to_hole_yd", "1101"),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,water,200,1,,", "next_lie", "water"),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,,200,0,,", "next_lie", ""),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,rough,,0,,", "left_to_hole_yd", ""),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,holed,9,0,,", "left_to_hole_yd", "9"),
        (LOG_HEADER, "2026-05-04,range,1,1,1,tee,400,holed,0,0,,", "place", "range"),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,holed,0,0,1,", "picked_up", "1"),
        (LOG_HEADER, "2026-05-04,course,1,1,1,green,4,green,1,0,,1", "next_lie", "green"),
        (LOG_HEADER, "2026-05-04,course,1,1,1,tee,400,rough,200,-1,,", "penalty", "-1"),
    ],
)
def test_a_bad_cell_is_named_with_row_column_value_and_expectation(
    tmp_path: Path, header: str, row: str, place: str, value: str
) -> None:
    (error,), _ = checked(tmp_path, header, row)
    assert error.place == f"row 2, column {place}"
    assert error.value == value
    assert error.expected


@pytest.mark.parametrize(
    ("row", "remedy"),
    [
        ("2026-05-04,range,fareway,200,1,2,,", "Did you mean fairway?"),
        ('2026-05-04,range,tee,"54,9",1,2,,', "Decimal commas are read through a mapping"),
        ("2026-05-04,range,tee,2OO,1,2,,", ""),
    ],
)
def test_a_slip_gets_a_remedy(tmp_path: Path, row: str, remedy: str) -> None:
    (error,), _ = checked(tmp_path, AIMED_HEADER, row)
    assert error.remedy.startswith(remedy)


def test_ranges_are_told_in_the_unit_of_the_file(tmp_path: Path) -> None:
    (error,), _ = checked(tmp_path, PUTTS_HEADER, "2026-05-04,green,151,1,,")
    assert error.expected == "a length more than 0 and at most 150 ft"


def test_all_bad_cells_are_found_however_many(tmp_path: Path) -> None:
    rows = ["2026-05-04,range,tee,2OO,1,2,,", "2026-05-04,range,tee,200,1,2,,"] * 3000
    errors, _ = checked(tmp_path, AIMED_HEADER, *rows)
    assert len(errors) == 3000
    assert errors[-1].place == "row 6000, column target_yd"


def test_long_and_short_rows_are_faults_and_never_shifted(tmp_path: Path) -> None:
    good = "2026-05-04,range,tee,200,1,2,,"
    errors, _ = checked(tmp_path, AIMED_HEADER, good, good + ",", good[:-1], good)
    assert [(error.place, error.value) for error in errors] == [("row 3", "9 cells"), ("row 4", "7 cells")]


def test_empty_lines_and_empty_rows_are_no_balls(tmp_path: Path) -> None:
    errors, _ = checked(tmp_path, AIMED_HEADER, "", "2026-05-04,range,tee,200,1,2,,", ",,,,,,,", "   ")
    assert errors == []


@pytest.mark.parametrize(
    ("header", "remedy"),
    [
        ("date,place,lie,target,long_yd,right_yd", "Write one of target_yd, target_m, target_ft."),
        ("date,place,lie,traget_yd,long_yd,right_yd", "Did you mean target_yd?"),
        ("date,place,lie,target_yd,target_yd,right_yd", "Rename or remove one of them."),
        ("date,place,lie,,long_yd,right_yd", "Name the column or empty it."),
    ],
)
def test_a_header_that_is_not_understood(tmp_path: Path, header: str, remedy: str) -> None:
    errors, _ = checked(tmp_path, header, "2026-05-04,range,tee,200,1,2")
    assert remedy in [error.remedy for error in errors]


def test_a_column_of_the_coach_is_left_out_with_a_warning(tmp_path: Path) -> None:
    errors, warnings = checked(
        tmp_path, "date,place,lie,target_yd,long_yd,right_yd,mood", "2026-05-04,home,tee,200,1,2,fine"
    )
    assert errors == []
    assert [(warning.value, warning.remedy) for warning in warnings] == [("mood", "This column is not read.")]


def test_a_missing_column_is_one_problem_and_not_one_a_row(tmp_path: Path) -> None:
    errors, _ = checked(tmp_path, "date,place,lie,target_yd,long_yd", *["2026-05-04,range,tee,200,1"] * 50)
    assert [error.place for error in errors] == ["header"]
    assert errors[0].expected.startswith("a column right_yd")
    assert errors[0].remedy.startswith("Row 2 and 49 more")


def test_a_length_in_two_units_is_refused(tmp_path: Path) -> None:
    errors, _ = checked(
        tmp_path, "date,place,lie,target_yd,target_m,long_m,right_m", "2026-05-04,home,tee,200,183,1,2"
    )
    assert [error.place for error in errors] == ["row 2, column target_yd"]


def test_a_row_that_is_two_balls_or_none(tmp_path: Path) -> None:
    header = "date,place,lie,target_m,long_m,right_m,round,hole,stroke,to_hole_m,next_lie,left_to_hole_m"
    errors, _ = checked(
        tmp_path,
        header,
        "2026-05-04,course,tee,200,1,2,1,1,1,300,fairway,100",
        "2026-05-04,course,tee,,,,1,1,1,,,",
    )
    assert sorted(error.place for error in errors) == ["row 2, column target_m", "row 3, column target_m"]


def test_odd_balls_are_kept_with_a_warning(tmp_path: Path) -> None:
    errors, warnings = checked(
        tmp_path, "date,place,lie,target_m,long_m,right_m,measured", "2026-05-04,home,rough,20,-25,30,finish"
    )
    assert errors == []
    assert [warning.place for warning in warnings] == ["row 2, column long_m", "row 2, column right_m"]


def test_a_header_without_units_is_blamed_once_and_no_row_below_it(tmp_path: Path) -> None:
    rows = ["2026-05-04,range,tee,200,1,2"] * 50
    errors, _ = checked(tmp_path, "date,place,lie,target,long,right", *rows)
    assert [(problem.place, problem.value) for problem in errors] == [
        ("header", "target"),
        ("header", "long"),
        ("header", "right"),
    ]


def test_a_file_without_any_column_of_shots_is_told_once(tmp_path: Path) -> None:
    errors, _ = checked(tmp_path, "date,place,lie", *["2026-05-04,range,tee"] * 50)
    assert [problem.place for problem in errors] == ["header"]


def test_semicolons_with_decimal_commas_are_told_once(tmp_path: Path) -> None:
    errors, _ = checked(
        tmp_path, AIMED_HEADER.replace(",", ";"), *["2026-05-04;range;tee;54,9;1,0;2,5;;"] * 50
    )
    assert len(errors) == 1
    assert "--suggest-mapping" in errors[0].remedy


def test_carries_written_as_long_are_doubted_in_one_warning(tmp_path: Path) -> None:
    rows = [f"2026-05-04,short_game_area,fairway,{target},{target - 3},2,," for target in range(60, 200, 10)]
    errors, warnings = checked(tmp_path, AIMED_HEADER, *rows)
    assert errors == []
    assert [problem.place for problem in warnings] == ["row 2, column long_yd"]
    assert "carry or total" in warnings[0].remedy


def test_a_few_balls_that_went_far_too_far_are_not_doubted_as_carries(tmp_path: Path) -> None:
    rows = ["2026-05-04,short_game_area,fairway,60,50,2,,"] * 2
    rows += ["2026-05-04,short_game_area,fairway,60,-5,2,,"] * 2
    rows += ["2026-05-04,short_game_area,rough,8,9,2,,"] * 9
    assert checked(tmp_path, AIMED_HEADER, *rows) == ([], [])


def test_a_cell_that_is_refused_is_not_told_to_be_kept_as_well(tmp_path: Path) -> None:
    errors, warnings = checked(tmp_path, AIMED_HEADER, "2026-05-04,course,tee,200,9999,9999,,")
    assert len(errors) == 2
    assert all("misread 1" in problem.remedy for problem in errors)
    assert warnings == []
