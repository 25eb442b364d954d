from pathlib import Path

import pytest

from rangework.records import check_records, read_records

HEADER = "date,round,hole,stroke,lie,to_hole_yd,next_lie,left_to_hole_yd,penalty"
HOLE = (
    "2026-05-04,1,1,1,tee,385,rough,166.9,0",
    "2026-05-04,1,1,2,rough,167,green,3.4,0",
    "2026-05-04,1,1,3,green,3.43,green,0.3,0",
    "2026-05-04,1,1,4,green,0.31,holed,0,0",
)


def places(folder: Path, *lines: str) -> tuple[list[str], list[str]]:
    path = folder / "log.csv"
    path.write_text("\n".join((HEADER, *lines)), "utf-8")
    errors, warnings = check_records(path)
    return [error.place for error in errors], [warning.place for warning in warnings]


def test_rounded_distances_follow(tmp_path: Path) -> None:
    assert places(tmp_path, *HOLE) == ([], [])


def test_order_of_rows_does_not_matter(tmp_path: Path) -> None:
    assert places(tmp_path, *reversed(HOLE)) == ([], [])


@pytest.mark.parametrize(
    ("line", "old", "new", "place"),
    [
        (1, "rough,167", "sand,167", "row 3, column lie"),
        (1, "rough,167", "rough,120", "row 3, column to_hole_yd"),
        (2, "green,3.43", "green,5.5", "row 4, column to_hole_yd"),
        (0, "166.9,0", "166.9,1", "row 3, column stroke"),
        (0, "tee,385", "fairway,385", "row 2, column lie"),
        (3, "holed,0", "green,0.1", "row 5, column next_lie"),
    ],
)
def test_strokes_that_do_not_follow_are_odd(
    tmp_path: Path, line: int, old: str, new: str, place: str
) -> None:
    lines = list(HOLE)
    lines[line] = lines[line].replace(old, new)
    assert places(tmp_path, *lines) == ([], [place])


def test_a_missing_first_row_is_odd(tmp_path: Path) -> None:
    assert places(tmp_path, *HOLE[1:]) == ([], ["row 2, column stroke"])


def test_a_stroke_told_twice_is_an_error(tmp_path: Path) -> None:
    assert places(tmp_path, *HOLE, HOLE[1]) == (["row 6, column stroke"], [])


def test_the_same_round_name_on_another_day_is_another_round(tmp_path: Path) -> None:
    again = [line.replace("2026-05-04", "2026-05-11") for line in HOLE]
    assert places(tmp_path, *HOLE, *again) == ([], [])


def test_a_stroke_from_nothing_is_played_from_a_centimetre(tmp_path: Path) -> None:
    lines = [*HOLE[:2], "2026-05-04,1,1,3,green,3.43,green,0,0", "2026-05-04,1,1,4,green,0,holed,0,0"]
    assert places(tmp_path, *lines)[0] == []
    assert read_records([tmp_path / "log.csv"]).log["to_hole_m"].tolist()[-1] == pytest.approx(0.01)
