"""The command group: finds a command, runs it, and turns what went wrong into an exit code."""

from __future__ import annotations

import errno
import importlib
import sys
import traceback
from importlib.util import find_spec
from typing import Any

import click

from rangework.errors import InputError, RangeworkError, told_together

#: Every command in the order of the work; the module of the same name holds it.
COMMANDS = (
    "demo",
    "check",
    "course",
    "skill",
    "rounds",
    "worth",
    "plan",
    "week",
    "aim",
    "habits",
    "assess",
    "report",
    "roster",
)

EXIT_INPUT = 2
EXIT_FAULT = 1

FAULT = """\
rangework failed: {kind}: {error}
This is a fault of rangework, not of your files. Please report it with the command you gave and
what it prints as:  rangework --debug COMMAND ..."""


class CommandGroup(click.Group):
    """Loads a command's module only when that command is called for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 (click's signature)
        """The commands in the order of the work."""
        return [name for name in COMMANDS if find_spec(_module_name(name))]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None where there is none."""
        if cmd_name not in self.list_commands(ctx):
            return None
        command = importlib.import_module(_module_name(cmd_name)).command
        assert isinstance(command, click.Command)
        return command

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; foreseen failures exit with 2, faults of ours with 1, without a traceback."""
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except RangeworkError as error:
            told = told_together(error.problems) if isinstance(error, InputError) else [str(error)]
            click.echo("\n".join(told), err=True)
            ctx.exit(EXIT_INPUT)
        except Exception as error:
            if isinstance(error, OSError) and error.errno == errno.EPIPE:
                raise
            if ctx.params.get("debug"):
                traceback.print_exc()
            click.echo(FAULT.format(kind=type(error).__name__, error=error), err=True)
            ctx.exit(EXIT_FAULT)


def _module_name(command: str) -> str:
    return f"rangework.cli.commands.{command}"


@click.group(
    cls=CommandGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
@click.version_option(package_name="rangework")
@click.option("--debug", is_flag=True, help="On a fault of rangework, print where in the code it happened.")
def rangework(debug: bool) -> None:
    """From a player's shots and a course to where an hour of practice pays most.

    Start with `rangework demo demo`: it writes an invented player and course
    and prints the commands to try on them.

    Practice can hurt: pain, injury or illness means stop and see a clinician.
    """


def main() -> None:
    """The ``rangework`` command."""
    for stream in (sys.stdout, sys.stderr):
        # a name that the terminal's encoding lacks must not stop a report
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    rangework(prog_name="rangework")
