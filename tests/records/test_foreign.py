from pathlib import Path

import pytest

from rangework.errors import InputError
from rangework.lie import Lie
from rangework.records import read_records

EXAMPLE = Path(__file__).parents[2] / "examples" / "mapping-semicolon-export.toml"
EXPORT = """Nr;Datum;Einheit;Schläger;Ziel [m];Flugweite [m];Seite [m];Bemerkung
1;04.05.2026;Training 1;SW;54,9;51,0;7,8;
2;04.05.2026;Training 1;DR;208,5;225,4;-5,8;
3;13.05.2026;Training 2;LW;41,1;;-2,7;Fehlmessung
"""
ENGLISH = """
[file]
delimiter = "\\t"
thousands = ","
encoding = "{encoding}"
date_format = "MM/DD/YYYY hh:mm AM"
[columns]
date = "When"
target = "Aim"
{distance} = "Dist"
right = "Side"
[units]
target = "yd"
{distance} = "yd"
right = "ft"
[fixed]
place = "range"
lie = "fairway"
[distance]
carry = "{carry}"
{side}
"""


def mapped(folder: Path, mapping: str, export: str, encoding: str = "utf-8") -> tuple[Path, Path]:
    (folder / "mapping.toml").write_text(mapping, "utf-8")
    (folder / "export.txt").write_bytes(export.encode(encoding))
    return folder / "export.txt", folder / "mapping.toml"


def english(
    folder: Path,
    *rows: str,
    distance: str = "carry",
    carry: str = "along the line",
    side: str = "",
    encoding: str = "utf-8",
) -> tuple[Path, Path]:
    mapping = ENGLISH.format(distance=distance, carry=carry, side=side, encoding=encoding)
    return mapped(folder, mapping, "\n".join(("When\tAim\tDist\tSide\tEcho", *rows)), encoding)


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_the_example_reads_a_semicolon_export(tmp_path: Path, mark: str) -> None:
    path = tmp_path / "range.csv"
    path.write_bytes((mark + EXPORT.replace("\n", "\r\n")).encode())
    records = read_records([path], mappings=[EXAMPLE])
    aimed = records.aimed
    assert records.warnings == ()
    assert aimed["long_m"].tolist()[:2] == pytest.approx([51.0 - 54.9, 225.4 - 208.5])
    assert aimed["right_m"].tolist()[:2] == pytest.approx([7.8, -5.8])
    assert aimed["lie"].tolist() == [Lie.FAIRWAY, Lie.TEE, Lie.FAIRWAY]
    assert aimed["misread"].tolist() == [False, False, True]
    assert aimed["right_m"].isna().tolist() == [False, False, True]
    assert aimed["date"].dt.strftime("%F").tolist() == ["2026-05-04", "2026-05-04", "2026-05-13"]
    assert set(aimed["place"]) == {"range"}
    assert set(aimed["measured"]) == {"carry"}


def test_straight_distances_lose_their_side(tmp_path: Path) -> None:
    # 3-4-5: 50 yd straight and 30 yd to the side is 40 yd along the line
    path, mapping = english(tmp_path, "05/14/2026 9:05 PM\t45\t50\t90\tx", carry="straight", distance="total")
    aimed = read_records([path], mappings=[mapping]).aimed
    assert aimed["long_m"].tolist() == pytest.approx([-5 * 0.9144])
    assert aimed["right_m"].tolist() == pytest.approx([30 * 0.9144])
    assert aimed["measured"].tolist() == ["finish"]
    assert str(aimed["date"][0]) == "2026-05-14 21:05:00"


def test_a_straight_distance_shorter_than_its_side_is_named(tmp_path: Path) -> None:
    path, mapping = english(tmp_path, "05/14/2026 9:05 PM\t45\t20\t90\tx", carry="straight")
    with pytest.raises(InputError, match="row 2, column Dist"):
        read_records([path], mappings=[mapping])


@pytest.mark.parametrize(
    ("side", "cell", "right_ft"),
    [
        ('right = "negative"', "12", -12.0),
        ('right_words = ["R"]\nleft_words = ["L"]', "12.5 L", -12.5),
        ('right_words = ["R"]\nleft_words = ["L"]', "r12.5", 12.5),
        ('right_words = ["R"]\nleft_words = ["L"]', "0.0", 0.0),
        ("", "1,012.5 ".replace("1,0", ""), 12.5),
    ],
)
def test_sides(tmp_path: Path, side: str, cell: str, right_ft: float) -> None:
    path, mapping = english(tmp_path, f"05/14/2026 9:05 PM\t150\t150\t{cell}\tx", side=side)
    assert read_records([path], mappings=[mapping]).aimed["right_m"].tolist() == pytest.approx(
        [right_ft * 0.3048]
    )


@pytest.mark.parametrize("cell", ["12", "-12 L", "12 up", "12 L R", "L"])
def test_a_side_without_a_clear_word_is_named_as_written(tmp_path: Path, cell: str) -> None:
    words = 'right_words = ["R"]\nleft_words = ["L"]'
    path, mapping = english(tmp_path, f"05/14/2026 9:05 PM\t150\t150\t{cell}\tx", side=words)
    with pytest.raises(InputError) as caught:
        read_records([path], mappings=[mapping])
    (problem,) = caught.value.problems
    assert (problem.place, problem.value) == ("row 2, column Side", cell)
    assert problem.expected == "a number such as 12.5 R or 12.5 L"


def test_a_side_word_in_its_own_column(tmp_path: Path) -> None:
    text = ENGLISH.format(
        distance="carry",
        carry="along the line",
        encoding="utf-8",
        side='right_words = ["right"]\nleft_words = ["left"]',
    ).replace("[units]", 'side = "Echo"\n[units]')
    row = "05/14/2026 9:05 PM\t150\t150\t3\t{}\n"
    export = "When\tAim\tDist\tSide\tEcho\n" + row.format("Left") + row.format("right")
    path, mapping = mapped(tmp_path, text, export)
    assert read_records([path], mappings=[mapping]).aimed["right_m"].tolist() == pytest.approx(
        [-0.9144, 0.9144]
    )
    path.write_text("When\tAim\tDist\tSide\tEcho\n" + row.format("up"))
    with pytest.raises(InputError, match="column Echo is 'up': expected one of right, left"):
        read_records([path], mappings=[mapping])


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "cp1252"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    path, mapping = english(tmp_path, "05/14/2026 9:05 PM\t150\t150\t1\té", encoding=encoding)
    assert read_records([path], mappings=[mapping]).n_balls == 1


def test_header_further_down_unit_rows_skipped_rows_and_translated_words(tmp_path: Path) -> None:
    mapping = """
[file]
header_line = 3
lines_after_header = 1
[columns]
target = "T"
holed = "In"
long = "L"
right = "R"
[units]
target = "ft"
long = "ft"
right = "ft"
[fixed]
date = "2026-05-04"
place = "putting_green"
[skip]
column = "T"
values = ["Mean"]
[values.holed]
"Ja" = "1"
"Nein" = "0"
"""
    export = "Report of a day\n\nT,In,L,R\n(ft),,(ft),(ft)\n10,ja,,\n20,Nein,1,2\nMean,,,\n"
    path, mapping_path = mapped(tmp_path, mapping, export)
    putts = read_records([path], mappings=[mapping_path]).putts
    assert putts["holed"].tolist() == [True, False]
    assert putts["row"].tolist() == [5, 6]


def test_bad_cells_are_shown_as_the_file_has_them(tmp_path: Path) -> None:
    path = tmp_path / "range.csv"
    path.write_text(
        EXPORT.replace("04.05.2026;Training 1;SW;54,9", "2026/5/4;Training 1;SW;54.9").replace("225,4", "--"),
        "utf-8",
    )
    with pytest.raises(InputError) as caught:
        read_records([path], mappings=[EXAMPLE])
    told = {(problem.place, problem.value, problem.expected) for problem in caught.value.problems}
    assert told == {
        ("row 2, column Datum", "2026/5/4", "a date written DD.MM.YYYY"),
        ("row 2, column Ziel [m]", "54.9", "a number such as 12,5"),
        ("row 3, column Flugweite [m]", "--", "a number such as 12,5"),
    }


def test_a_club_without_a_lie_is_named(tmp_path: Path) -> None:
    text = EXAMPLE.read_text("utf-8").replace('"*" = "fairway"', '"LW" = "rough"')
    path, mapping = mapped(tmp_path, text, EXPORT)
    with pytest.raises(InputError, match="column Schläger is 'SW': expected a club named in"):
        read_records([path], mappings=[mapping])


def test_each_file_finds_its_mapping_and_canonical_files_need_none(tmp_path: Path) -> None:
    one, first = english(tmp_path, "05/14/2026 9:05 PM\t150\t150\t1\tx")
    two = tmp_path / "two.csv"
    two.write_text(EXPORT, "utf-8")
    three = tmp_path / "three.csv"
    three.write_text("date,place,lie,target_m,long_m,right_m\n2026-05-04,home,tee,200,1,2\n")
    assert read_records([one, two, three], mappings=[EXAMPLE, first]).n_balls == 5


def test_a_file_that_no_mapping_fits_is_told_what_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "range.csv"
    path.write_text(EXPORT.replace("Seite", "Neben"), "utf-8")
    with pytest.raises(InputError, match=r"Missing: Seite \[m\]"):
        read_records([path], mappings=[EXAMPLE])
    with pytest.raises(InputError, match="--suggest-mapping"):
        read_records([path])


def test_two_mappings_that_fit_alike_are_refused(tmp_path: Path) -> None:
    path, mapping = mapped(tmp_path, EXAMPLE.read_text("utf-8"), EXPORT)
    with pytest.raises(InputError, match="fit alike"):
        read_records([path], mappings=[EXAMPLE, mapping])


def test_a_mapping_that_lacks_a_column_is_told_where_to_add_it(tmp_path: Path) -> None:
    text = EXAMPLE.read_text("utf-8").replace('date = "Datum"\n', "").replace('place = "range"\n', "")
    path, mapping = mapped(tmp_path, text, EXPORT)
    with pytest.raises(InputError) as caught:
        read_records([path], mappings=[mapping])
    assert [problem.expected.split(" (")[0] for problem in caught.value.problems] == [
        f"{name} in [columns] or [fixed] of {mapping}" for name in ("date", "place")
    ]
