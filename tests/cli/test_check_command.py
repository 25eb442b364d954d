"""`rangework check`: every file a coach may bring is known for what it is, and all its faults are told."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rangework.cli.checking import TELLING_KEYS, check_file
from rangework.cli.main import rangework

PUTTS = "date,place,lie,target_ft,holed,long_ft,right_ft\n2026-05-04,green,green,12,1,,\n"
BAD_PUTTS = PUTTS + "2026-05-04,green,green,twelve,1,,\n2026-13-04,green,green,12,1,,\n"


def check(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["check", *map(str, arguments)])


def written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_sound_files_are_told_to_be_sound(tmp_path: Path) -> None:
    putts = written(tmp_path / "putts.csv", PUTTS)
    profile = written(tmp_path / "player.toml", "name = 'Robin Ashdown'\nage = 30\n")
    result = check(putts, profile)
    assert result.exit_code == 0, result.output
    assert f"{putts}: records, no faults" in result.stdout
    assert f"{profile}: player profile (Robin Ashdown), no faults" in result.stdout
    assert result.stderr == ""


def test_faults_of_all_files_are_told_at_once(tmp_path: Path) -> None:
    putts = written(tmp_path / "putts.csv", BAD_PUTTS)
    profile = written(tmp_path / "player.toml", "age = 300\n")
    sound = written(tmp_path / "sound.csv", PUTTS)
    result = check(putts, profile, sound)
    assert result.exit_code == 2
    assert f"{putts}: records, 2 faults" in result.stdout
    assert f"{profile}: player profile, 1 fault\n" in result.stdout
    assert f"{sound}: records, no faults" in result.stdout
    told = result.stderr.splitlines()
    assert len(told) == 3
    assert any("row 3" in line and "target_ft" in line and "'twelve'" in line for line in told)
    assert any("row 4" in line and "date" in line for line in told)
    assert any(line.startswith(f"{profile}: age is '300'") for line in told)


@pytest.mark.parametrize(("kind", "keys"), TELLING_KEYS.items())
def test_a_toml_file_is_known_by_its_keys(tmp_path: Path, kind: str, keys: set[str]) -> None:
    for key in keys:
        assert check_file(written(tmp_path / f"{key}.toml", f"{key} = 'x'\n")).kind == kind


@pytest.mark.parametrize(
    "content", [b"", b"wind = 3\n", b"= =", b"\xff\xfe\x00", b"[" * 100_000], ids=range(5)
)
def test_a_toml_file_of_no_kind_is_a_fault(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "unknown.toml"
    path.write_bytes(content)
    result = check(path)
    assert result.exit_code == 2
    assert result.stderr.startswith(str(path))


@pytest.mark.parametrize("name", ["none.toml", "none.csv", ""])
def test_a_file_that_is_not_there_is_a_fault(tmp_path: Path, name: str) -> None:
    result = check(tmp_path / name)
    assert result.exit_code == 2, result.output
    assert result.stderr.startswith(str(tmp_path / name))


def test_a_suggested_mapping_is_written_beside_the_export(tmp_path: Path) -> None:
    export = written(
        tmp_path / "device.csv",
        "Day;Stick;Aim [m];Flight [m];Off [m]\n"
        "04.05.2026;E7;130,0;128,5;-3,2\n"
        "04.05.2026;E7;130,0;120,0;4,1\n",
    )
    result = check(export, "--suggest-mapping")
    assert result.exit_code == 0, result.output
    mapping = tmp_path / "device.mapping.toml"
    assert str(mapping) in result.stdout
    assert check_file(mapping).kind == "mapping"
    kept = mapping.read_text("utf-8")
    assert check(export, "--suggest-mapping").exit_code == 2
    assert mapping.read_text("utf-8") == kept


def test_the_same_fault_in_many_rows_is_told_once_with_its_rows(tmp_path: Path) -> None:
    putts = written(tmp_path / "putts.csv", PUTTS + "2026-13-04,green,green,12,1,,\n" * 40)
    result = check(putts)
    assert f"{putts}: records, 40 faults" in result.stdout
    (line,) = result.stderr.splitlines()
    assert line.startswith(f"{putts}: rows 3-42, column date is '2026-13-04'")


def test_of_several_files_all_get_a_mapping_or_none(tmp_path: Path) -> None:
    export = written(tmp_path / "export.csv", PUTTS.replace(",", ";"))
    sound = written(tmp_path / "sound.csv", PUTTS)
    result = check(export, sound, "--suggest-mapping")
    assert result.exit_code == 2
    assert "needs no mapping" in result.stderr
    assert not list(tmp_path.glob("*.toml"))
    assert check(export, "--suggest-mapping").exit_code == 0
    mapping = tmp_path / "export.mapping.toml"
    result = check(export, sound, mapping)
    assert result.exit_code == 0, result.output
    assert f"{mapping}: mapping (our own headers), no faults" in result.stdout
