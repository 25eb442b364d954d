import contextlib
import re
import tomllib
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangework.errors import InputError
from rangework.records import read_mapping, read_records, suggest_mapping
from rangework.records.header_words import meanings, unit_of
from rangework.records.sniffing import sniff_date_formats, sniff_encoding

EXAMPLE = Path(__file__).parents[2] / "examples" / "mapping-semicolon-export.toml"
EXPORT = """Nr;Datum;Einheit;Schläger;Ziel [m];Flugweite [m];Seite [m];Bemerkung
1;14.05.2026;Training 1;SW;54,9;51,0;7,8;
2;14.05.2026;Training 1;DR;208,5;225,4;-5,8;
3;13.05.2026;Training 2;LW;41,1;;-2,7;Fehlmessung
"""


def suggested(folder: Path, text: str, encoding: str = "utf-8") -> str:
    path = folder / "export.csv"
    path.write_bytes(text.encode(encoding))
    return suggest_mapping(path)


def test_a_clear_export_gets_a_mapping_that_reads_it_as_the_finished_one_does(tmp_path: Path) -> None:
    (tmp_path / "mapping.toml").write_text(suggested(tmp_path, "\ufeff" + EXPORT), "utf-8")
    path = tmp_path / "export.csv"
    first = read_records([path], mappings=[tmp_path / "mapping.toml"]).aimed
    pd.testing.assert_frame_equal(first, read_records([path], mappings=[EXAMPLE]).aimed)


def test_what_only_the_coach_knows_is_marked(tmp_path: Path) -> None:
    lines = [line for line in suggested(tmp_path, EXPORT).splitlines() if "# FINISH:" in line]
    for key in ("place =", "carry =", "right =", '"DR" =', '"*" =', "[misread]"):
        assert any(line.startswith(key) for line in lines), key


def test_a_unit_that_nobody_states_must_be_written_by_the_coach(tmp_path: Path) -> None:
    text = suggested(tmp_path, EXPORT.replace(" [m]", ""))
    path = tmp_path / "mapping.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_mapping(path)
    assert [problem.place for problem in caught.value.problems] == [
        "[units] target",
        "[units] right",
        "[units] carry",
    ]


def test_an_english_report_with_a_unit_row_and_side_words(tmp_path: Path) -> None:
    text = suggested(
        tmp_path,
        "Report of today\n\nShot,Date,Club,Carry,Total,Side,Target,Speed\n,,,yd,yd,ft,yd,\n"
        "1,5/24/2026 10:11,7 Iron,150.2,160.1,3.2 R,150,9\n2,5/4/2026 10:12,Driver,--,,,230,9\n"
        "3,5/4/2026 10:12,Driver,220,240,12 L,230,9\n",
    )
    tables = tomllib.loads(text)
    assert tables["file"] == {
        "delimiter": ",",
        "decimal": ".",
        "encoding": "utf-8",
        "date_format": "MM/DD/YYYY hh:mm",
        "header_line": 3,
        "lines_after_header": 1,
    }
    assert tables["units"] == {"target": "yd", "right": "ft", "carry": "yd"}
    assert (tables["distance"]["right_words"], tables["distance"]["left_words"]) == (["R"], ["L"])
    assert tables["misread"] == {"column": "Carry", "values": ["--"]}
    assert "# Not used: Total, Speed" in text


def test_a_date_that_reads_two_ways_is_left_to_the_coach(tmp_path: Path) -> None:
    text = suggested(tmp_path, EXPORT.replace("14.05.2026", "04/05/2026").replace("13.05.2026", "05/05/2026"))
    assert "date_format" not in tomllib.loads(text)["file"]
    assert "DD/MM/YYYY or MM/DD/YYYY" in text


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("Carry Distance (yds)", "carry"),
        ("Carry Side", "right"),
        ("Zielweite", "target"),
        ("Seitenabweichung [m]", "right"),
        ("Fecha", "date"),
        ("Vuelo (m)", "carry"),
        ("Objetivo", "target"),
        ("Portée", "carry"),
        ("Écart latéral", "right"),
        ("Cible", "target"),
        ("Schläger", "club"),
        ("Palo", "club"),
        ("Temperature", None),
    ],
)
def test_header_words(header: str, name: str | None) -> None:
    assert next(iter(meanings(header)), None) == name


@pytest.mark.parametrize(
    ("text", "unit"),
    [("Carry [m]", "m"), ("Side (yds)", "yd"), ("long_ft", "ft"), ("Carry", None), ("", None), ("yd", "yd")],
)
def test_units(text: str, unit: str | None) -> None:
    assert unit_of(text) == unit


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(encoding: str) -> None:
    found = sniff_encoding(EXPORT.encode(encoding))
    assert EXPORT.encode(encoding).decode(found) == EXPORT


def test_dates_are_ambiguous_until_a_day_beyond_twelve() -> None:
    assert sniff_date_formats(["04/05/2026"]) == ["DD/MM/YYYY", "MM/DD/YYYY"]
    assert sniff_date_formats(["04/05/2026", "04/25/2026"]) == ["MM/DD/YYYY"]
    assert sniff_date_formats(["yesterday"]) == []


def test_a_canonical_file_needs_no_mapping(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="needs no mapping"):
        suggested(tmp_path, "date,place,lie,target_m,long_m,right_m\n2026-05-04,home,tee,200,1,2\n")


cells = st.text(st.sampled_from("abSeiteZielCarryDatum0123456789.,-:/ []()\"'\\#=\x7f\x85é\t"), max_size=10)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rows=st.lists(st.lists(cells, min_size=2, max_size=6), min_size=1, max_size=6),
    delimiter=st.sampled_from(";,\t|"),
    encoding=st.sampled_from(["utf-8", "utf-16", "latin-1"]),
)
def test_any_text_gives_valid_toml_or_a_clear_refusal(
    tmp_path: Path, rows: list[list[str]], delimiter: str, encoding: str
) -> None:
    try:
        text = suggested(tmp_path, "\n".join(delimiter.join(row) for row in rows), encoding)
    except InputError:
        return
    assert not re.search(r"\[columns\](?!  #)", text)
    tomllib.loads(text)


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=300))
def test_any_bytes_give_valid_toml_or_a_clear_refusal(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "export.bin"
    path.write_bytes(data)
    with contextlib.suppress(InputError):
        tomllib.loads(suggest_mapping(path))


OWN_HEADERS = """date;place;lie;club;target_yd;long_yd;right_yd;to_hole_yd;to_hole_ft;measured
13.05.2026;range;fairway;7 iron;150,5;-3,5;4,0;;;carry
14.05.2026;range;tee;driver;230;12,25;-7,5;;;carry
"""


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_spreadsheet_that_rewrote_our_own_file_gets_a_mapping_that_reads_it(
    tmp_path: Path, encoding: str
) -> None:
    mapping, path = tmp_path / "mapping.toml", tmp_path / "export.csv"
    mapping.write_text(suggested(tmp_path, OWN_HEADERS.replace("7 iron", "Mühle"), encoding), "utf-8")
    assert set(tomllib.loads(mapping.read_text("utf-8"))) == {"file"}
    read = read_records([path], mappings=[mapping]).aimed
    canonical = OWN_HEADERS.replace("7 iron", "Mühle").replace(",", ".").replace(";", ",")
    canonical = canonical.replace("13.05.2026", "2026-05-13").replace("14.05.2026", "2026-05-14")
    path.write_text(canonical, "utf-8")
    pd.testing.assert_frame_equal(read, read_records([path], mappings=[mapping]).aimed)


def test_our_own_headers_with_a_date_that_reads_two_ways_are_refused_until_somebody_decides(
    tmp_path: Path,
) -> None:
    text = "date,lie,target_ft,holed\n3/4/26,green,10,1\n5/4/26,green,12,0\n"
    mapping, path = tmp_path / "mapping.toml", tmp_path / "export.csv"
    first = suggested(tmp_path, text)
    mapping.write_text(first, "utf-8")
    with pytest.raises(InputError):
        read_records([path], mappings=[mapping])
    mapping.write_text(first.replace('# date_format = ""', 'date_format = "DD/MM/YY"'), "utf-8")
    assert list(read_records([path], mappings=[mapping]).putts["date"].dt.month) == [4, 4]


def test_our_own_headers_in_our_own_writing_need_no_mapping(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="needs no mapping"):
        suggested(tmp_path, "date,lie,target_ft,holed\n2026-05-04,green,10.5,1\n")


@pytest.mark.parametrize("club", ["iron", "irons"], ids=["even", "odd"])
def test_a_mapping_in_utf_16_leaves_other_files_alone(tmp_path: Path, club: str) -> None:
    mapping, path = tmp_path / "mapping.toml", tmp_path / "records.csv"
    mapping.write_text('[file]\nencoding = "utf-16"\n', "utf-8")
    path.write_text(
        f"date,place,lie,club,target_yd,long_yd,right_yd\n2026-05-04,course,fairway,{club},150,1,2\n", "utf-8"
    )
    assert len(read_records([path], mappings=[mapping]).aimed) == 1
