"""`rangework demo` writes a scenario that it never writes over."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from rangework.cli.commands.demo import commands_to_try
from rangework.cli.main import rangework
from rangework.demo.scenario import demo_files


def test_demo_writes_its_files_and_names_them(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "demo"
    result = CliRunner().invoke(rangework, ["demo", str(folder)])
    assert result.exit_code == 0, result.output
    assert {path.name for path in folder.iterdir()} == {file.name for file in demo_files()}
    assert all(file.name in result.output for file in demo_files())


def test_demo_overwrites_nothing(tmp_path: Path) -> None:
    kept = tmp_path / demo_files()[0].name
    kept.write_text("mine")
    result = CliRunner().invoke(rangework, ["demo", str(tmp_path)])
    assert result.exit_code == 2
    assert str(kept) in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == [kept.name]
    assert kept.read_text() == "mine"


def test_demo_into_a_file_is_told(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine")
    assert CliRunner().invoke(rangework, ["demo", str(taken)]).exit_code == 2
    assert taken.read_text() == "mine"


def test_commands_to_try_use_the_files_written() -> None:
    names = ["course.toml", "drills.toml", "my putts.csv", "player.toml", "shots.csv"]
    written = [Path("d") / name for name in names]
    assert commands_to_try(written, ["check", "plan"]) == [
        "rangework check 'd/my putts.csv' d/shots.csv d/course.toml d/drills.toml d/player.toml",
        "rangework plan 'd/my putts.csv' d/shots.csv --profile d/player.toml --course d/course.toml"
        " --drills d/drills.toml --hours 6",
    ]


def test_the_commands_printed_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    printed = CliRunner().invoke(rangework, ["demo", "demo"]).stdout
    lines = [line.strip() for line in printed.splitlines() if line.startswith("  rangework check")]
    assert lines
    for line in lines:
        result = CliRunner().invoke(rangework, shlex.split(line)[1:])
        assert result.exit_code == 0, result.output
