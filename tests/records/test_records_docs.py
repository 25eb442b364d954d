"""What the pages on records say is what reading does."""

import re
import tomllib
from pathlib import Path

import pytest

from rangework.records import COLUMNS, check_records
from rangework.records.mapping import EXTRA_COLUMNS, FIXABLE

ROOT = Path(__file__).parents[2]
REFERENCE = (ROOT / "docs/reference/records.md").read_text("utf-8")
HOW_TO = (ROOT / "docs/how-to/foreign-exports.md").read_text("utf-8")
EXAMPLE = ROOT / "examples" / "mapping-semicolon-export.toml"


@pytest.mark.parametrize("text", re.findall(r"```csv\n(.*?)```", REFERENCE, re.DOTALL))
def test_shown_records_are_read_without_a_word(tmp_path: Path, text: str) -> None:
    (tmp_path / "shown.csv").write_text(text, "utf-8")
    assert check_records(tmp_path / "shown.csv") == ([], [])


def test_every_column_and_every_word_is_explained() -> None:
    for column in COLUMNS.values():
        name = f"{column.name}_*" if column.sort == "length" else column.name
        assert f"`{name}`" in REFERENCE, name
        for choice in column.choices:
            assert f"`{choice}`" in REFERENCE, choice


def test_every_key_of_a_mapping_is_explained() -> None:
    example = tomllib.loads(EXAMPLE.read_text("utf-8"))
    keys = {key for table in ("file", "distance", "misread") for key in example[table]}
    for key in (*EXTRA_COLUMNS, *FIXABLE, *keys, *example):
        assert f"`{key}`" in HOW_TO or f"`[{key}]`" in HOW_TO, key


def test_the_shown_mapping_is_the_example() -> None:
    (shown,) = re.findall(r"```toml\n(.*?)```", HOW_TO, re.DOTALL)
    assert tomllib.loads(shown) == tomllib.loads(EXAMPLE.read_text("utf-8"))
