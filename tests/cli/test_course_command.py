"""`rangework course`: check, draw and convert."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.course import read_course

EXAMPLES = Path(__file__).parents[2] / "examples"
MAP = f"{EXAMPLES / 'open-map.osm'}#Ossenfold Outer"
NINE = EXAMPLES / "nine-holes.toml"


def course(*arguments: object) -> Result:
    return CliRunner().invoke(rangework, ["course", *map(str, arguments)])


def test_check_shows_the_holes_and_what_is_odd_or_assumed() -> None:
    result = course("check", MAP)
    assert result.exit_code == 0, result.output
    assert "Ossenfold Outer: 18 holes, par 72, lengths in yd" in result.stdout
    assert "Map data: Invented map" in result.stdout
    assert "Look at " in result.stdout
    assert "Assumed: green 30 yd wide" in result.stdout
    assert "rangework course convert" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert (
        len([line for line in result.stdout.splitlines() if line.startswith("  ") and "...." in line]) == 18
    )


def test_check_in_metres_and_as_json(tmp_path: Path) -> None:
    result = course("check", NINE, "--units", "metres", "--json", tmp_path / "out.json")
    assert result.exit_code == 0, result.output
    assert "lengths in m" in result.stdout
    assert "Assumed" not in result.stdout
    told = json.loads((tmp_path / "out.json").read_text("utf-8"))
    assert told["command"] == "course check"
    assert [hole["number"] for hole in told["holes"]] == list(range(1, 10))
    assert told["holes"][0]["lengths_m"]["long"] == pytest.approx(292.0, abs=0.5)
    assert told["attribution"] is None


def test_check_tells_problems_and_exits_with_2(tmp_path: Path) -> None:
    for name, content in (("bad.osm", "<!DOCTYPE osm><osm/>"), ("bad.geojson", "{"), ("two.osm", None)):
        path = tmp_path / name
        path.write_text(content or (EXAMPLES / "open-map.osm").read_text("utf-8"), "utf-8")
        result = course("check", path)
        assert result.exit_code == 2
        assert str(path) in result.stderr
        assert len(result.stderr.splitlines()) == 1
        assert result.stdout == ""


@pytest.mark.parametrize("suffix", ["toml", "geojson"])
@pytest.mark.parametrize("source", [MAP, NINE], ids=["map", "toml"])
def test_convert_there(tmp_path: Path, source: object, suffix: str) -> None:
    out = tmp_path / f"out.{suffix}"
    result = course("convert", source, out)
    assert result.exit_code == 0, result.output
    assert ("open ocean" in result.stdout) is (source is NINE and suffix == "geojson")
    assert len(read_course(out).holes) == len(read_course(str(source)).holes)


def test_convert_takes_its_form_from_the_option(tmp_path: Path) -> None:
    out = tmp_path / "out.txt"
    assert course("convert", NINE, out).exit_code == 2
    assert not out.exists()
    assert course("convert", NINE, out, "--to", "toml").exit_code == 0
    assert out.read_text("utf-8").startswith("#")


def test_convert_writes_over_nothing(tmp_path: Path) -> None:
    out = tmp_path / "out.toml"
    out.write_text("precious", "utf-8")
    result = course("convert", NINE, out)
    assert result.exit_code == 2
    assert "no file of that name" in result.stderr
    assert out.read_text("utf-8") == "precious"


def test_convert_of_a_faulty_course_writes_nothing(tmp_path: Path) -> None:
    (tmp_path / "bad.geojson").write_text("{}", "utf-8")
    assert course("convert", tmp_path / "bad.geojson", tmp_path / "out.toml").exit_code == 2
    assert not (tmp_path / "out.toml").exists()


@pytest.mark.slow
def test_draw_fills_a_folder(tmp_path: Path) -> None:
    result = course("draw", NINE, "--to", tmp_path / "pictures", "--format", "svg", "--tee", "long")
    assert result.exit_code == 0, result.output
    assert "9 pictures of" in result.stdout
    names = sorted(path.name for path in (tmp_path / "pictures").iterdir())
    assert names == [f"hole-{number:02d}.svg" for number in range(1, 10)]


def test_draw_makes_a_folder(tmp_path: Path) -> None:
    result = course("draw", NINE, "--hole", "3", "--to", tmp_path / "pictures")
    assert result.exit_code == 0, result.output
    assert [path.name for path in (tmp_path / "pictures").iterdir()] == ["hole-03.png"]


def test_draw_writes_one_hole_to_a_file(tmp_path: Path) -> None:
    result = course("draw", MAP, "--hole", "7", "--to", tmp_path / "seventh.png", "--units", "metres")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "seventh.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (["--hole", "10", "--to", "out"], "1 to 9"),
        (["--tee", "moon", "--to", "out"], "--tee is 'moon'"),
        (["--to", "out.png"], "give --hole N"),
        (["--hole", "1", "--to", "out.png", "--format", "svg"], "does not fit"),
        (["--hole", "1", "--to", "none/out.png"], "No such file"),
        (["--to", "none/out"], "--to is"),
    ],
)
def test_faults_of_draw(tmp_path: Path, wrong: list[str], message: str) -> None:
    at = wrong.index("--to") + 1
    result = course("draw", NINE, *wrong[:at], tmp_path / wrong[at], *wrong[at + 1 :])
    assert result.exit_code == 2
    assert message in result.stderr
    assert not list(tmp_path.iterdir())


def test_check_of_files_knows_a_map_for_a_course(tmp_path: Path) -> None:
    path = tmp_path / "bad.osm"
    path.write_text("<gpx/>", "utf-8")
    result = CliRunner().invoke(rangework, ["check", MAP, str(path)])
    assert result.exit_code == 2
    assert "course (Ossenfold Outer, 18 holes), no faults" in result.stdout
    assert f"{path}: course, 1 fault" in result.stdout


@pytest.mark.parametrize(
    "words", [["course"], ["course", "check"], ["course", "draw"], ["course", "convert"]]
)
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    script = (
        "import sys; from click.testing import CliRunner; from rangework.cli.main import rangework;"
        f"done = CliRunner().invoke(rangework, {[*words, '--help']}); assert done.exit_code == 0, done.output;"
        "print(*[m for m in ('numpy', 'shapely', 'pandas', 'numba', 'matplotlib') if m in sys.modules])"
    )
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == ""
