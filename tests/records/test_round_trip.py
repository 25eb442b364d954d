import csv
import io
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangework.records import read_records, write_canonical
from rangework.records.columns import COLUMNS
from rangework.records.shots import KINDS

NAMES = [column.written("yd") for column in COLUMNS.values()] + ["target_ft", "long_ft", "right_ft"]
LIES = ("tee", "fairway", "rough", "sand", "recovery")

dates = st.dates(pd.Timestamp("1950-01-01").date(), pd.Timestamp("2100-12-31").date()).map(
    str
) | st.datetimes(pd.Timestamp("1950-01-01").to_pydatetime(), pd.Timestamp("2100-12-31").to_pydatetime()).map(
    lambda moment: moment.isoformat(timespec="seconds")
)
names = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12)
flags = st.sampled_from(["", "0"])


def lengths(low: float, high: float) -> st.SearchStrategy[str]:
    return st.floats(low, high, allow_subnormal=False).map(repr)


aimed = st.fixed_dictionaries(
    {
        "date": dates,
        "session": names,
        "place": st.sampled_from(["range", "course", "home", "short_game_area"]),
        "lie": st.sampled_from(LIES),
        "club": names,
        "target_yd": lengths(0.01, 399.0),
        "long_yd": lengths(-440, 249),
        "right_yd": lengths(-249, 249),
        "measured": st.sampled_from(["", "carry", "finish"]),
        "misread": st.sampled_from(["", "0", "1"]),
        "surface": st.sampled_from(["", "mat", "grass"]),
        "purpose": st.sampled_from(["", "drill"]),
        "wind": names,
        "pin": names,
        "ball": names,
    }
)
missed_putts = st.fixed_dictionaries(
    {
        "date": dates,
        "session": names,
        "place": st.sampled_from(["", "green", "course"]),
        "lie": st.just("green"),
        "target_ft": lengths(0.01, 149.0),
        "holed": st.just("0"),
        "long_ft": lengths(-149, 149),
        "right_ft": lengths(-99, 99),
        "ball": names,
    }
)
holed_putts = missed_putts.map(lambda putt: putt | {"holed": "1", "long_ft": "", "right_ft": ""})
strokes = st.fixed_dictionaries(
    {
        "date": dates,
        "session": names,
        "round": names.filter(lambda name: bool(name.strip())),
        "hole": st.integers(1, 36).map(str),
        "stroke": st.integers(1, 60).map(str),
        "lie": st.sampled_from([*LIES, "green"]),
        "to_hole_yd": lengths(0.0, 1099.0),
        "next_lie": st.sampled_from([*LIES, "green"]),
        "left_to_hole_yd": lengths(0.0, 1099.0),
        "penalty": st.integers(0, 10).map(str),
        "picked_up": flags,
        "conceded": flags,
        "club": names,
    }
)
last_strokes = strokes.map(
    lambda stroke: stroke | {"next_lie": "holed", "left_to_hole_yd": "", "conceded": "1"}
)


def text_of(rows: list[dict[str, Any]]) -> str:
    out = io.StringIO()
    writer = csv.DictWriter(out, NAMES, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def one_a_stroke(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """At most one row for a stroke of a hole."""
    keyed = {
        (row["date"][:10], row["round"].strip(), row["hole"], row["stroke"]) if "round" in row else index: row
        for index, row in enumerate(rows)
    }
    return list(keyed.values())


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(aimed | missed_putts | holed_putts | strokes | last_strokes, min_size=1, max_size=12))
def test_write_read_equal(tmp_path: Path, rows: list[dict[str, Any]]) -> None:
    path = tmp_path / "given.csv"
    path.write_text(text_of(one_a_stroke(rows)), "utf-8", newline="")
    records = read_records([path])
    assert records.n_balls == len(one_a_stroke(rows))
    write_canonical(records, tmp_path / "written.csv")
    again = read_records([tmp_path / "written.csv"])
    for kind in KINDS:
        pd.testing.assert_frame_equal(
            records.frame(kind).drop(columns=["source", "row"]),
            again.frame(kind).drop(columns=["source", "row"]),
            check_exact=True,
        )


def test_nothing_is_left_when_writing_fails(tmp_path: Path) -> None:
    path = tmp_path / "given.csv"
    path.write_text("date,place,lie,target_m,long_m,right_m\n2026-05-04,range,tee,200,1,2\n")
    records = read_records([path])
    with pytest.raises(OSError, match="directory"):
        write_canonical(records, tmp_path / "no such folder" / "written.csv")
    assert [each.name for each in tmp_path.iterdir()] == ["given.csv"]
