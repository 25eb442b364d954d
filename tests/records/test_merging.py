from pathlib import Path

from rangework.records import ShotRecords, read_records

HEADER = "date,session,place,lie,target_m,long_m,right_m,measured,ball"


def records_of(folder: Path, name: str, *rows: str) -> Path:
    path = folder / name
    path.write_text("\n".join((HEADER, *rows)), "utf-8")
    return path


def ball(ball: str = "", long: str = "1", session: str = "a") -> str:
    return f"2026-05-04,{session},range,tee,200,{long},2,carry,{ball}"


def test_a_row_keeps_its_highest_count_over_files(tmp_path: Path) -> None:
    first = records_of(tmp_path, "a.csv", ball(), ball(), ball(long="9"))
    second = records_of(tmp_path, "b.csv", ball(), ball(), ball(), ball(long="5"))
    for paths in ([first, second], [second, first], [first, second, first]):
        assert sorted(read_records(paths).aimed["long_m"]) == [1, 1, 1, 5, 9]


def test_a_named_ball_is_one_ball_in_all_files_and_the_first_file_stands(tmp_path: Path) -> None:
    first = records_of(tmp_path, "a.csv", ball("1"), ball("2"))
    second = records_of(tmp_path, "b.csv", ball("2", long="7"), ball("3"), ball("2", session="other"))
    aimed = read_records([first, second]).aimed
    assert aimed[["session", "ball", "long_m"]].values.tolist() == [
        ["a", "1", 1.0],
        ["a", "2", 1.0],
        ["a", "3", 1.0],
        ["other", "2", 1.0],
    ]


def test_balls_numbered_anew_within_a_file_all_stay(tmp_path: Path) -> None:
    path = records_of(tmp_path, "a.csv", ball("1"), ball("1", long="4"), ball("1"))
    assert len(read_records([path]).aimed) == 3


def test_the_same_length_in_yards_and_metres_is_the_same_ball(tmp_path: Path) -> None:
    first = records_of(tmp_path, "a.csv", "2026-05-04,a,range,tee,182.88,0.9144,1.8288,carry,")
    second = tmp_path / "b.csv"
    second.write_text(
        f"{HEADER.replace('_m', '_yd')}\n2026-05-04,a,range,tee,200,1,2,carry,".replace("_ydeas", "_meas")
    )
    assert len(read_records([first, second]).aimed) == 1


def test_a_logged_stroke_is_known_by_date_round_hole_and_stroke(tmp_path: Path) -> None:
    header = "date,round,hole,stroke,lie,to_hole_m,next_lie,left_to_hole_m"
    for name, day, left in (("a", 4, 0), ("b", 4, 0), ("c", 5, 0)):
        (tmp_path / name).write_text(f"{header}\n2026-05-0{day},1,1,1,tee,150,holed,{left}")
    log = read_records([tmp_path / "a", tmp_path / "b", tmp_path / "c"]).log
    assert log["source"].tolist() == ["a", "c"]


def test_merging_follows_the_same_rule(tmp_path: Path) -> None:
    first = read_records([records_of(tmp_path, "a.csv", ball(), ball(), ball("7"))])
    second = read_records([records_of(tmp_path, "b.csv", ball(), ball("7"), ball("8"))])
    assert first.merge(second).n_balls == 4
    assert first.merge(first).n_balls == first.n_balls
    assert first.merge(ShotRecords.empty()).n_balls == ShotRecords.empty().merge(first).n_balls == 3
    assert ShotRecords.empty().summary()["first_date"] is None


def test_summary_counts(tmp_path: Path) -> None:
    summary = read_records([records_of(tmp_path, "a.csv", ball(), ball(session="b"))]).summary()
    assert (summary["balls"], summary["aimed"], summary["sessions"], summary["rounds"]) == (2, 2, 2, 0)
    assert summary["first_date"] == summary["last_date"] == "2026-05-04"
