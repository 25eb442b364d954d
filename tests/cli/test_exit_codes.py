"""What the command line does when something goes wrong, and what it loads before anything happens."""

from __future__ import annotations

import subprocess
import sys
from typing import Any

import click
import pytest
from click.testing import CliRunner

from rangework.cli.main import COMMANDS, CommandGroup, rangework
from rangework.errors import FitError, InputError, NoFeasiblePlanError, Problem

HEAVY = ("numpy", "pandas", "numba", "scipy", "pulp", "highspy", "shapely")


class FailingGroup(CommandGroup):
    """A group whose one command fails in a given way."""

    def __init__(self, failure: BaseException) -> None:
        super().__init__("rangework", params=[click.Option(["--debug"], is_flag=True)])
        self._failure = failure

    def list_commands(self, ctx: click.Context) -> list[str]:
        return ["fail"]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command:
        def fail() -> Any:
            raise self._failure

        return click.Command("fail", callback=fail)


@pytest.mark.parametrize(
    "failure",
    [
        InputError(Problem("shots.csv", "row 7, column target_yd", "x", "a number", "Write a number.")),
        FitError("no shots"),
        NoFeasiblePlanError(["range hours: 2 short"]),
    ],
)
def test_foreseen_failure_exits_2_with_its_message_alone(failure: Exception) -> None:
    result = CliRunner().invoke(FailingGroup(failure), ["fail"])
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"{failure}\n")


def test_fault_of_ours_exits_1_and_asks_for_a_report() -> None:
    result = CliRunner().invoke(FailingGroup(ZeroDivisionError("by zero")), ["fail"])
    assert result.exit_code == 1
    assert "ZeroDivisionError: by zero" in result.stderr
    assert "report" in result.stderr
    assert "Traceback" not in result.stderr


def test_debug_shows_where_the_fault_happened() -> None:
    result = CliRunner().invoke(FailingGroup(ZeroDivisionError("by zero")), ["--debug", "fail"])
    assert result.exit_code == 1
    assert "Traceback" in result.stderr


def test_unknown_command_is_a_usage_error() -> None:
    assert CliRunner().invoke(rangework, ["nonsense"]).exit_code == 2


def test_every_command_has_help_of_its_own_name() -> None:
    listed = rangework.list_commands(click.Context(rangework))
    assert listed == [name for name in COMMANDS if name in listed]
    for name in listed:
        result = CliRunner().invoke(rangework, [name, "--help"])
        assert result.exit_code == 0, result.output
        command = rangework.get_command(click.Context(rangework), name)
        assert command is not None
        assert command.name == name


def test_help_fits_80_columns() -> None:
    listed = rangework.list_commands(click.Context(rangework))
    for arguments in [["--help"], *([name, "--help"] for name in listed)]:
        lines = CliRunner().invoke(rangework, arguments, terminal_width=80).output.splitlines()
        assert max(map(len, lines)) <= 80, arguments


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["nonsense"], ["check", "--help"]])
def test_help_loads_no_heavy_library(arguments: list[str]) -> None:
    code = (
        "import sys\n"
        "from rangework.cli.main import rangework\n"
        f"try: rangework({arguments!r}, prog_name='rangework')\n"
        "except SystemExit: pass\n"
        f"print('loaded:', [name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.endswith("loaded: []\n"), done.stdout
