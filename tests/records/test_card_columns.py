"""A practice test's card is a file of shot records."""

from __future__ import annotations

import re
from pathlib import Path

from rangework.records import check_records, read_records
from rangework.records.card_columns import CARD_COLUMNS

PAGE = (Path(__file__).parents[2] / "docs/reference/assessments.md").read_text("utf-8")
SHOWN = next(each for each in re.findall(r"```csv\n(.*?)```", PAGE, re.DOTALL) if "assessment" in each)


def test_the_shown_card_is_read_without_a_word(tmp_path: Path) -> None:
    (tmp_path / "card.csv").write_text(SHOWN, "utf-8")
    assert check_records(tmp_path / "card.csv") == ([], [])
    aimed = read_records([tmp_path / "card.csv"]).aimed
    assert aimed["ball"].tolist() == ["1", "2"]
    assert set(aimed["purpose"]) == {"test"}


def test_every_column_of_a_card_is_explained() -> None:
    for column in CARD_COLUMNS.values():
        name = f"{column.name}_*" if column.sort == "length" else column.name
        assert f"`{name}`" in PAGE, name
        for choice in column.choices:
            assert f"`{choice}`" in PAGE, choice


def test_columns_of_a_card_stay_unknown_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "shots.csv").write_text(
        "date,place,lie,target_yd,long_yd,right_yd,course\n2026-05-04,course,fairway,150,3,-4,home\n", "utf-8"
    )
    errors, warnings = check_records(tmp_path / "shots.csv")
    assert not errors
    assert len(warnings) == 1


def test_a_half_filled_row_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "card.csv").write_text(SHOWN.replace(",4,-6,", ",4,,").replace("-9,2", "-9,x"), "utf-8")
    errors, _ = check_records(tmp_path / "card.csv")
    assert {problem.place for problem in errors} == {"row 2, column right_yd", "row 3, column right_yd"}
