"""`rangework demo`: the demo scenario as files, and what to try on them."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from rangework.cli.options import FILE

#: What to try, in order; ``{records}``, ``{course}`` and ``{drills}`` stand for the demo's files.
TRY = (
    ("check", "{records} {course} {drills}"),
    ("skill", "{records}"),
    ("rounds", "{records} --course {course}"),
    ("worth", "{records} --course {course}"),
    ("plan", "{records} --course {course} --hours 6"),
)


@click.command("demo")
@click.argument("folder", metavar="DIR", type=FILE)
@click.pass_context
def command(ctx: click.Context, folder: Path) -> None:
    """Write an invented player, course and drills to the folder DIR.

    Then print the commands to try on them. Nothing is overwritten.

    \b
      rangework demo demo
    """
    from rangework.demo.scenario import write_demo

    written = write_demo(folder)
    assert ctx.parent is not None
    group = ctx.parent.command
    assert isinstance(group, click.Group)
    click.echo(f"{len(written)} files written to {folder}:")
    click.echo("".join(f"  {path.name}\n" for path in written))
    click.echo("Now try:")
    for line in commands_to_try(written, group.list_commands(ctx.parent)):
        click.echo(f"  {line}")


def commands_to_try(written: Sequence[Path], commands: Sequence[str]) -> list[str]:
    """Command lines, ready for a shell, that use the files written."""
    quoted = {
        "records": _quoted(path for path in written if path.suffix == ".csv"),
        "course": _quoted(path for path in written if path.match("course*.toml")),
        "drills": _quoted(path for path in written if path.match("drills*.toml")),
    }
    lines = [f"rangework {name} {rest.format(**quoted)}" for name, rest in TRY if name in commands]
    return [" ".join(line.split()) for line in lines]


def _quoted(paths: Iterable[Path]) -> str:
    return " ".join(shlex.quote(path.as_posix()) for path in paths)
