from pathlib import Path

import numpy as np
import pytest

from rangework.errors import InputError
from rangework.lie import Lie
from rangework.records import NO_LIE, check_records, read_records
from rangework.records.shots import FRAME_COLUMNS, KINDS

AIMED = """date,session,place,lie,club,target_yd,long_yd,right_yd,measured
2026-05-04,one,range,tee,driver,230,-10,5.5,carry
2026-05-04,one,range,fairway,7 iron,150,3,-4,carry
"""
PUTTS = """date,session,place,lie,target_ft,holed,long_ft,right_ft
2026-05-04,p,green,green,3.0,1,,
2026-05-04,p,green,green,3.0,1,,
2026-05-04,p,green,green,30,0,2.0,-1.4
"""
LOG = """date,session,place,round,hole,stroke,lie,to_hole_yd,next_lie,left_to_hole_yd,penalty
2026-05-04,r,course,1,1,1,tee,385,rough,166.9,1
2026-05-04,r,course,1,1,3,rough,167,green,5.1,0
2026-05-04,r,course,1,1,4,green,5.12,holed,0.0,0
"""


def written(folder: Path, text: str, name: str = "records.csv") -> Path:
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def test_aimed_balls_are_metres_with_the_line_they_stand_on(tmp_path: Path) -> None:
    aimed = read_records([written(tmp_path, AIMED)]).aimed
    # 1 yd = 0.9144 m exactly: international yard and pound agreement, 1959
    np.testing.assert_allclose(aimed["target_m"], [230 * 0.9144, 150 * 0.9144])
    np.testing.assert_allclose(aimed["long_m"], [-9.144, 3 * 0.9144])
    assert aimed["lie"].tolist() == [Lie.TEE, Lie.FAIRWAY]
    assert aimed["row"].tolist() == [2, 3]
    assert set(aimed["source"]) == {"records.csv"}


def test_frames_have_the_promised_columns_and_types(tmp_path: Path) -> None:
    records = read_records(
        [written(tmp_path, text, f"{n}.csv") for n, text in enumerate((AIMED, PUTTS, LOG))]
    )
    for kind in KINDS:
        frame = records.frame(kind)
        assert list(frame.columns) == list(FRAME_COLUMNS[kind])
        for name, dtype in FRAME_COLUMNS[kind].items():
            if dtype != "str":
                assert frame[name].dtype == dtype, name
    assert records.n_balls == 8


def test_equal_rows_are_equal_balls(tmp_path: Path) -> None:
    putts = read_records([written(tmp_path, PUTTS)]).putts
    assert len(putts) == 3
    assert putts["holed"].tolist() == [True, True, False]
    assert putts["place"].tolist() == ["putting_green"] * 3
    assert putts["long_m"].isna().tolist() == [True, True, False]


def test_a_log_counts_penalties_and_ends_in_the_hole(tmp_path: Path) -> None:
    records = read_records([written(tmp_path, LOG)])
    assert records.warnings == ()
    assert records.log["stroke"].tolist() == [1, 3, 4]
    assert records.log["penalty"].tolist() == [1, 0, 0]
    assert records.log["next_lie"].tolist() == [Lie.ROUGH, Lie.GREEN, Lie.HOLED]


def test_all_kinds_may_share_a_file_and_units_may_differ(tmp_path: Path) -> None:
    text = """date,place,lie,target_yd,long_yd,right_yd,target_ft,holed,long_ft,right_ft,\
round,hole,stroke,to_hole_m,next_lie,left_to_hole_m
2026-05-04,range,tee,230,-10,5,,,,,,,,,,
2026-05-04,putting_green,green,,,,10,1,,,,,,,,
2026-05-04,course,tee,,,,,,,,1,1,1,150,holed,
"""
    records = read_records([written(tmp_path, text)])
    assert (len(records.aimed), len(records.putts), len(records.log)) == (1, 1, 1)
    assert records.putts["target_m"].tolist() == pytest.approx([3.048])
    assert records.log["left_to_hole_m"].tolist() == [0.0]
    assert records.aimed["session"].tolist() == ["2026-05-04 range"]


def test_misread_balls_and_holed_balls(tmp_path: Path) -> None:
    text = """date,place,lie,target_m,long_m,right_m,misread,holed
2026-05-04,range,tee,200,,,1,
2026-05-04,range,tee,200,,3,1,
2026-05-04,short_game_area,rough,12,,,,1
"""
    aimed = read_records([written(tmp_path, text)]).aimed
    assert aimed["misread"].tolist() == [True, True, False]
    assert aimed["right_m"].isna().tolist() == [True, True, False]
    assert aimed["long_m"].tolist()[2] == 0.0


def test_measured_defaults_to_carry_on_the_range_and_says_so(tmp_path: Path) -> None:
    text = """date,place,lie,target_m,long_m,right_m
2026-05-04,range,tee,200,1,2
2026-05-04,short_game_area,rough,12,1,2
"""
    records = read_records([written(tmp_path, text)])
    assert records.aimed["measured"].tolist() == ["carry", "finish"]
    assert [warning.expected for warning in records.warnings] == ["carry or finish in measured"]


def test_picked_up_and_conceded(tmp_path: Path) -> None:
    text = """date,round,hole,stroke,lie,to_hole_m,next_lie,left_to_hole_m,picked_up,conceded
2026-05-04,1,1,1,tee,150,rough,20,,
2026-05-04,1,1,2,rough,20,,,1,
2026-05-04,1,2,1,tee,150,green,1,,
2026-05-04,1,2,2,green,1,,,,1
2026-05-04,1,3,1,tee,150,rough,20,1,
"""
    records = read_records([written(tmp_path, text)])
    assert records.warnings == ()
    assert records.log["next_lie"].tolist() == [Lie.ROUGH, NO_LIE, Lie.GREEN, Lie.HOLED, Lie.ROUGH]
    assert records.log["picked_up"].tolist() == [False, True, False, False, True]
    assert records.log["conceded"].tolist() == [False, False, False, True, False]


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_byte_order_mark_and_line_ends_do_not_matter(tmp_path: Path, mark: str, line_end: str) -> None:
    path = tmp_path / "records.csv"
    path.write_bytes((mark + AIMED.replace("\n", line_end)).encode())
    assert read_records([path]).aimed["row"].tolist() == [2, 3]


def test_rows_are_lines_even_after_a_cell_of_several_lines(tmp_path: Path) -> None:
    text = (
        AIMED.replace("one,range,tee,driver", '"one\nmore",range,tee,driver') + "\n\n" + AIMED.splitlines()[1]
    )
    aimed = read_records([written(tmp_path, text)]).aimed
    assert aimed["row"].tolist() == [2, 4, 7]


def test_every_problem_of_every_file_is_told_at_once(tmp_path: Path) -> None:
    first = written(tmp_path, AIMED.replace("230", "2x30").replace("7 iron,150", "7 iron,1500"), "a.csv")
    second = written(tmp_path, PUTTS.replace("3.0,1", "3.0,2"), "b.csv")
    with pytest.raises(InputError) as caught:
        read_records([first, second, tmp_path / "none.csv"], mappings=[tmp_path / "none.toml"])
    told = [(Path(problem.source).name, problem.place) for problem in caught.value.problems]
    assert told == [
        ("none.toml", ""),
        ("a.csv", "row 2, column target_yd"),
        ("a.csv", "row 3, column target_yd"),
        ("b.csv", "row 2, column holed"),
        ("b.csv", "row 3, column holed"),
        ("none.csv", ""),
    ]


def test_check_records_gives_errors_and_warnings(tmp_path: Path) -> None:
    errors, warnings = check_records(written(tmp_path, LOG.replace("rough,167", "sand,167")))
    assert errors == []
    assert [warning.place for warning in warnings] == ["row 3, column lie"]
