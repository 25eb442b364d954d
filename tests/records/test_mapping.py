import contextlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangework.errors import InputError, Problem
from rangework.records import read_mapping
from rangework.records.date_format import strptime_format, to_iso

EXAMPLE = Path(__file__).parents[2] / "examples" / "mapping-semicolon-export.toml"


def problems_of(folder: Path, text: str) -> list[Problem]:
    path = folder / "mapping.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_mapping(path)
    return list(caught.value.problems)


def test_the_example_is_a_mapping() -> None:
    mapping = read_mapping(EXAMPLE)
    assert mapping.headers >= {"Nr", "Datum", "Bemerkung"}
    assert mapping.units == {"target": "m", "carry": "m", "right": "m"}


def test_all_problems_are_told_at_once(tmp_path: Path) -> None:
    text = """
colums = 1
[file]
delimiter = ";;"
decimal = "x"
thousands = 3
encoding = "rot13"
date_format = "DD.MM"
header_line = 0
[columns]
target = "T"
traget = "T2"
carry = "C"
long = "L"
right = ""
[units]
target = "mile"
[fixed]
place = "beach"
date = "4.5.2026"
target = "100"
lie = "fairway"
[lie_by_club]
"DR" = "tree"
[distance]
carry = "bent"
right = "up"
right_words = ["R"]
[misread]
column = "M"
[skip]
values = "x"
[values.lie]
"Bahn" = "lawn"
[values.date]
"x" = "y"
"""
    places = [(problem.place, problem.value) for problem in problems_of(tmp_path, text)]
    for expected in [
        ("key", "colums"),
        ("[file] delimiter", ";;"),
        ("[file] decimal", "x"),
        ("[file] thousands", "3"),
        ("[file] encoding", "rot13"),
        ("[file] date_format", "DD.MM"),
        ("[file] header_line", "0"),
        ("[columns]", "traget"),
        ("[columns] right", ""),
        ("[columns]", "carry, long"),
        ("[units] target", "mile"),
        ("[units] carry", ""),
        ("[fixed] place", "beach"),
        ("[fixed] date", "4.5.2026"),
        ("[fixed]", "target"),
        ("[columns]", ""),
        ("[lie_by_club] DR", "tree"),
        ("[lie_by_club]", ""),
        ("[distance] carry", "bent"),
        ("[distance] right", "up"),
        ("[distance]", ""),
        ("[misread]", ""),
        ("[skip] values", "x"),
        ("[values.lie] bahn", "lawn"),
        ("[values]", "date"),
    ]:
        assert expected in places


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[columns",
        'columns = "x"',
        "[columns]\ndate = 2026-05-04",
        "[lie_by_club]\nDR = 1",
        "[values]\nlie = 3",
        'values = "x"',
        "[fixed]\nplace = []",
        "[[columns]]\ndate = 'x'",
        "[columns]\ndate = ''",
    ],
)
def test_odd_files_are_refused(tmp_path: Path, text: str) -> None:
    assert all(problem.expected for problem in problems_of(tmp_path, text))


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(position=st.integers(0, 1300), length=st.integers(0, 12), inserted=st.binary(max_size=6))
def test_a_damaged_mapping_never_ends_in_a_traceback(
    tmp_path: Path, position: int, length: int, inserted: bytes
) -> None:
    data = EXAMPLE.read_bytes()
    path = tmp_path / "mapping.toml"
    path.write_bytes(data[:position] + inserted + data[position + length :])
    with contextlib.suppress(InputError):
        read_mapping(path)


@pytest.mark.parametrize(
    ("text", "words", "iso"),
    [
        ("4.5.2026", "DD.MM.YYYY", "2026-05-04T00:00:00"),
        ("5/4/26 9:07 PM", "M/D/YY h:mm AM", "2026-05-04T21:07:00"),
        ("20260504", "YYYYMMDD", "2026-05-04T00:00:00"),
        ("2026-05-04T10:11:12", "YYYY-MM-DDThh:mm:ss", "2026-05-04T10:11:12"),
        ("31.02.2026", "DD.MM.YYYY", "31.02.2026"),
    ],
)
def test_dates(text: str, words: str, iso: str) -> None:
    assert to_iso(text, words) == iso


@given(words=st.text(st.sampled_from("YMDhms%AP.:/- x"), max_size=14), text=st.text(max_size=12))
def test_any_format_either_works_or_is_refused(words: str, text: str) -> None:
    try:
        strptime_format(words)
    except ValueError:
        return
    assert isinstance(to_iso(text, words), str)
