"""Maps that are wrong, or mean harm: one clear problem each, in bounded memory and time."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from map_sheet import MapSheet
from plain_maps import (
    FORMS,
    Form,
    circle,
    first_hole_x,
    leave_out,
    on_first_hole,
    plain_nine,
    rectangle,
    retag,
    write,
)

from rangework.course import read_course
from rangework.course.maps import features, geojson, osm_xml
from rangework.errors import InputError, Problem

BILLION_LAUGHS = """<?xml version="1.0"?>
<!DOCTYPE lolz [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;">]>
<osm><node id="1" lat="1" lon="1"><tag k="golf" v="&c;"/></node></osm>"""
FETCHING = '<!DOCTYPE osm [<!ENTITY x SYSTEM "file:///etc/passwd">]><osm>&x;</osm>'
POINT = '{"type":"Feature","properties":{"golf":"pin"},"geometry":{"type":"Point","coordinates":%s}}'


def problems(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read_course(path)
    return caught.value.problems


def only_problem(path: Path) -> str:
    found = problems(path)
    assert len(found) == 1
    return str(found[0])


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "valid JSON"),
        (b"{", "valid JSON"),
        (b"[" * 200_000, "not nested this deep"),
        (b'{"a":' * 200_000, "not nested this deep"),
        (b"[]", "a GeoJSON FeatureCollection"),
        (b'"map"', "a GeoJSON FeatureCollection"),
        (b'{"type": "Topology"}', "is 'Topology': expected a GeoJSON FeatureCollection"),
        (b'{"type": "FeatureCollection", "features": [NaN]}', "NaN is no number in JSON"),
        (b'{"type": "FeatureCollection", "features": [-Infinity]}', "-Infinity is no number"),
        (b'{"type": "FeatureCollection", "features": {}}', "a list of features"),
        (b'{"type": "FeatureCollection", "features": []}', "lines of play, one for each hole"),
        (b'{"type": "FeatureCollection", "features": [null, 3, {}]}', "lines of play, one for each hole"),
        (b'{"x": ' + b"9" * 5000 + b"}", "valid JSON"),
        (b'{"type": "FeatureCollection", "name": "\xff"}', "text in UTF-8"),
        ("{}".encode("utf-16"), "text in UTF-8"),
        (
            b'{"type": "FeatureCollection", "crs": {"properties": {"name": "EPSG:27700"}}, "features": []}',
            "in degrees (WGS 84)",
        ),
    ],
    ids=range(16),
)
def test_json_that_is_no_map(tmp_path: Path, content: bytes, expected: str) -> None:
    path = tmp_path / "map.geojson"
    path.write_bytes(content)
    assert expected in only_problem(path)


@pytest.mark.parametrize(
    ("coordinates", "shown"),
    [
        ("[1e999, 2]", "inf"),
        ("[1, 91]", "'1, 91'"),
        ("[-181, 2]", "'-181, 2'"),
        ("[512345.6, 5712345.6]", "5712345.6"),
        ("[1]", "a list"),
        ("[]", "an empty list"),
        ("null", "nothing"),
        ("[true, false]", "a list"),
        ('["1", "2"]', "a list"),
        ("[[1, 2], [3, 4]]", "a list"),
        ("{}", "an empty table"),
        ("[1" + "0" * 400 + ", 2]", "a whole number beyond any coordinate"),
    ],
)
def test_coordinates_that_are_none(tmp_path: Path, coordinates: str, shown: str) -> None:
    path = tmp_path / "map.geojson"
    path.write_text('{"type":"FeatureCollection","features":[' + POINT % coordinates + "]}", "utf-8")
    found = only_problem(path)
    assert "features[1].geometry" in found
    assert shown in found
    assert "longitude from -180 to 180" in found


@pytest.mark.parametrize("geometry", ['{"type":"Circle"}', '"Point"', "[]", '{"type":["Point"]}', "{}"])
def test_geometries_that_are_none(tmp_path: Path, geometry: str) -> None:
    path = tmp_path / "map.geojson"
    feature = f'{{"type":"Feature","properties":{{"golf":"pin"}},"geometry":{geometry}}}'
    path.write_text(f'{{"type":"FeatureCollection","features":[{feature}]}}', "utf-8")
    assert "one of Point, MultiPoint, LineString" in only_problem(path)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "no element found"),
        (b"<osm>", "no element found"),
        (b"<osm><node></osm>", "mismatched tag"),
        (b"<gpx/>", "is '<gpx>': expected an OSM file"),
        (BILLION_LAUGHS.encode(), "XML without DOCTYPE and entities"),
        (FETCHING.encode(), "XML without DOCTYPE and entities"),
        (b'<!DOCTYPE osm SYSTEM "http://127.0.0.1/osm.dtd"><osm/>', "XML without DOCTYPE"),
        (b"<osm>&bomb;</osm>", "undefined entity"),
        (b"<osm>" + b"<a>" * 100_000, "not nested this deep"),
        (b"<osm><way id='x'></way></osm>", "is 'x': expected a whole number as id"),
        (b"<osm><way id='1'><nd ref='" + b"9" * 30 + b"'/></way></osm>", "a whole number as ref"),
        (b"<osm><way id='1'><nd ref='" + b"9" * 5000 + b"'/></way></osm>", "a whole number as ref"),
        (b"<osm a='\xff'/>", "text in UTF-8"),
        ("<osm/>".encode("utf-16"), "lines of play, one for each hole"),
        (b"<osm/>", "lines of play, one for each hole"),
        (b"\xef\xbb\xbf<osm/>", "lines of play, one for each hole"),
    ],
    ids=range(16),
)
def test_xml_that_is_no_map(tmp_path: Path, content: bytes, expected: str) -> None:
    path = tmp_path / "map.osm"
    path.write_bytes(content)
    assert expected in only_problem(path)


@pytest.mark.parametrize(("lat", "lon"), [("nan", "1"), ("1", "inf"), ("91", "1"), ("here", "1"), ("", "")])
def test_positions_of_nodes_that_are_none(tmp_path: Path, lat: str, lon: str) -> None:
    path = tmp_path / "map.osm"
    node = f'<node id="7" lat="{lat}" lon="{lon}"><tag k="golf" v="pin"/></node>'
    path.write_text(f"<osm>{node}</osm>", "utf-8")
    assert "node 7" in (found := only_problem(path))
    assert "longitude from -180 to 180" in found


def test_element_of_a_map_of_changes_is_left_out(tmp_path: Path) -> None:
    path = write(plain_nine(), tmp_path, "osm")
    gone = '<way id="900" action="delete"><nd ref="1"/><nd ref="2"/><tag k="golf" v="hole"/><tag k="ref" v="1"/></way>'
    path.write_text(path.read_text("utf-8").replace("</osm>", f"{gone}</osm>"), "utf-8")
    assert len(read_course(path).holes) == 9


def test_way_whose_points_are_missing_is_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "bunker"}, rectangle(-1180, 100, -1170, 120))
    path = write(sheet, tmp_path, "osm")
    text = path.read_text("utf-8")
    last = text.rindex("<node ")
    path.write_text(text[:last] + text[text.index("\n", last) + 1 :], "utf-8")
    warnings = [str(warning) for warning in read_course(path).warnings]
    assert len(warnings) == 1
    assert "expected all its points and ways in the file. It is left out." in warnings[0]


def test_relation_whose_way_is_missing_is_told(tmp_path: Path) -> None:
    path = write(plain_nine(), tmp_path, "osm")
    relation = (
        '<relation id="5"><member type="way" ref="31" role="outer"/><member type="way" ref="9999" role="outer"/>'
        '<tag k="type" v="multipolygon"/><tag k="natural" v="wood"/></relation>'
    )
    path.write_text(path.read_text("utf-8").replace("</osm>", f"{relation}</osm>"), "utf-8")
    warnings = [str(warning) for warning in read_course(path).warnings]
    assert ["relation 5" in warning and "all its points and ways" in warning for warning in warnings] == [
        True
    ]


def test_what_is_broken_far_away_is_not_told(tmp_path: Path) -> None:
    sheet = plain_nine()
    sheet.area({"golf": "bunker"}, rectangle(8000, 100, 8010, 120))
    path = write(sheet, tmp_path, "osm")
    text = path.read_text("utf-8")
    last = text.rindex("<node ")
    path.write_text(text[:last] + text[text.index("\n", last) + 1 :], "utf-8")
    assert read_course(path).warnings == ()


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("metres", [20.0, 900.0])
def test_line_of_play_of_impossible_length(tmp_path: Path, form: Form, metres: float) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    x = first_hole_x()
    sheet.line({"golf": "hole", "ref": "1"}, [(x, 0), (x, metres)])
    assert f"is '{metres:.0f} m': expected a line of play of 37 to 823 m" in only_problem(
        write(sheet, tmp_path, form)
    )


def test_line_of_play_that_crosses_itself(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    x = first_hole_x()
    sheet.line({"golf": "hole", "ref": "1"}, [(x, 0), (x, 200), (x + 60, 150), (x - 60, 100), (x, 350)])
    assert "a line of play that does not cross itself" in only_problem(write(sheet, tmp_path))


def test_hole_that_is_missing(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    found = only_problem(write(sheet, tmp_path))
    assert "hole 1: expected a line golf=hole with ref=1. Draw it on the map" in found


def test_hole_that_is_drawn_twice(tmp_path: Path) -> None:
    sheet = plain_nine()
    retag(sheet, lambda drawn: drawn.tags.get("ref") == "2", ref="1")
    told = "\n".join(map(str, problems(write(sheet, tmp_path))))
    assert "hole 2: expected a line golf=hole with ref=2" in told
    assert "hole 1 is 'features[" in told
    assert "golf:course:name" in told


def test_holes_scattered_over_a_country(tmp_path: Path) -> None:
    sheet = plain_nine()
    leave_out(sheet, on_first_hole("hole"))
    sheet.line({"golf": "hole", "ref": "1"}, [(90_000, 0), (90_000, 300)])
    assert "holes within 15 km of one another" in only_problem(write(sheet, tmp_path))


def test_huge_files_are_refused_before_they_are_read_whole(tmp_path: Path) -> None:
    for suffix, megabytes in ((".geojson", 20), (".osm", 50)):
        path = tmp_path / f"map{suffix}"
        with path.open("wb") as file:
            file.truncate(200_000_000)
        assert f"a map of at most {megabytes} MB. Download only the course" in only_problem(path)


def test_a_folder_and_a_missing_file(tmp_path: Path) -> None:
    (tmp_path / "folder.osm").mkdir()
    for name in ("folder.osm", "missing.geojson"):
        assert "a file that can be read" in only_problem(tmp_path / name)


def test_too_many_features_and_positions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(features, "MOST_FEATURES", 30)
    for form in FORMS:
        assert "at most 30 features that matter to golf" in only_problem(write(plain_nine(), tmp_path, form))
    monkeypatch.setattr(features, "MOST_FEATURES", 50_000)
    monkeypatch.setattr(features, "MOST_POSITIONS", 300)
    for form in FORMS:
        assert "at most 300 positions" in only_problem(write(plain_nine(), tmp_path, form))


def wooded(sheet: MapSheet, woods: int) -> MapSheet:
    for index in range(woods):
        x, y = -1300 + 37.0 * (index % 70), -50 + 23.0 * (index // 70)
        sheet.area({"natural": "wood"}, circle(x, y, 9.0, 40))
    return sheet


@pytest.mark.parametrize("form", FORMS)
def test_a_map_of_two_megabytes_is_read_in_seconds(tmp_path: Path, form: Form) -> None:
    path = write(wooded(plain_nine(), 1750 if form == "geojson" else 680), tmp_path, form)
    assert path.stat().st_size > 2_000_000
    start = time.process_time()
    read_course(path)
    assert time.process_time() - start < 10.0


@pytest.mark.parametrize("form", FORMS)
def test_a_hole_of_ten_thousand_corners_is_read_in_seconds(tmp_path: Path, form: Form) -> None:
    sheet = plain_nine()
    leave_out(sheet, lambda drawn: on_first_hole("green")(drawn) or on_first_hole("hole")(drawn))
    leave_out(sheet, on_first_hole("fairway"))
    x = first_hole_x()
    sheet.area({"golf": "green"}, circle(x, 350.0, 12.0, 10_000))
    left = [(x - 16 + np.sin(y), y) for y in np.linspace(120, 330, 5_000)]
    sheet.area({"golf": "fairway"}, [*left, *((x + 16 + np.sin(y), y) for _, y in reversed(left))])
    line = [(x + 5 * np.sin(y / 100), y) for y in np.linspace(0, 350, 10_000)]
    sheet.line({"golf": "hole", "ref": "1", "par": "4", "handicap": "1"}, line)
    path = write(sheet, tmp_path, form)
    start = time.process_time()
    course = read_course(path)
    assert time.process_time() - start < 10.0
    assert len(course.holes[0].line) < 20


MEASURE = """
import resource, sys
from rangework.course import read_course
from rangework.errors import InputError
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
try:
    read_course(sys.argv[1])
except InputError:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "head", "piece", "end", "most_mb"),
    [
        ("lists.geojson", '{"type":"FeatureCollection","features":[', "[],", "[]]}", 700),
        ("tables.geojson", '{"type":"FeatureCollection","features":[', "{},", "{}]}", 700),
        ("nodes.osm", "<osm>", '<node id="1" lat="1" lon="1"/>', "</osm>", 300),
        ("ways.osm", "<osm>", '<way id="1"><nd ref="1"/></way>', "</osm>", 300),
        ("pins.osm", "<osm>", '<node id="1"><tag k="golf" v="pin"/></node>', "</osm>", 300),
    ],
)
def test_the_largest_file_allowed_fits_the_memory(
    tmp_path: Path, name: str, head: str, piece: str, end: str, most_mb: int
) -> None:
    path = tmp_path / name
    most = geojson.MOST_BYTES if name.endswith("json") else osm_xml.MOST_BYTES
    path.write_text(head + piece * ((most - 200) // len(piece)) + end, "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, str(path)], capture_output=True, text=True, check=True
    )
    assert int(done.stdout) / 1024 < most_mb


def test_json_is_read_as_json(tmp_path: Path) -> None:
    path = write(plain_nine(), tmp_path)
    path.write_text("\ufeff" + json.dumps(json.loads(path.read_text("utf-8")), indent=1), "utf-8")
    assert len(read_course(path).holes) == 9
