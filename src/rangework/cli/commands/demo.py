"""`rangework demo`: the demo scenario as files, and what to try on them."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

import click

from rangework.cli.options import FILE

#: What to try, in order; a name in braces stands for the files of the demo that match its pattern.
TRY = (
    ("check", "{records} {tables}"),
    ("skill", "{records} {mapping} {profile}"),
    ("rounds", "{records} {mapping} {profile} {course}"),
    ("worth", "{records} {mapping} {profile} {course}"),
    ("plan", "{records} {mapping} {profile} {course} {drills} --hours 6"),
    (
        "week",
        "{records} {mapping} {profile} {course} {drills} {availability} {usual} --first-round 2026-10-03",
    ),
    ("report", "{records} {mapping} {profile} {course} {drills} --hours 6"),
)
TRY_SQUAD = (
    "rangework roster add --folder {folder} --roster club.roster",
    "rangework roster list --roster club.roster",
    "rangework roster plan --all --hours 4 --capacity range=15 --roster club.roster",
)
#: By name: the pattern of its files, and the option that each is given with.
USES = {
    "records": ("*.csv", ""),
    "tables": ("*.toml", ""),
    "mapping": ("mapping*.toml", "--mapping"),
    "profile": ("player*.toml", "--profile"),
    "course": ("course*.toml", "--course"),
    "drills": ("drills*.toml", "--drills"),
    "availability": ("availability*.toml", "--availability"),
    "usual": ("usual-course*.toml", "--usual-course"),
}


@click.command("demo")
@click.argument("folder", metavar="DIR", type=FILE)
@click.option(
    "--squad", is_flag=True, help="Instead: twelve invented players for a roster, and their course."
)
@click.pass_context
def command(ctx: click.Context, folder: Path, squad: bool) -> None:
    """Write an invented player, course, drills and week to the folder DIR.

    Then print the commands to try on them. Nothing is overwritten.

    \b
      rangework demo demo
    """
    from rangework.demo.scenario import write_demo, write_squad

    if squad:
        players = write_squad(folder)
        click.echo(f"Written to {folder}: {len(players)} files. Now try:")
        click.echo(
            "".join(f"  {line.format(folder=shlex.quote(folder.as_posix()))}\n" for line in TRY_SQUAD),
            nl=False,
        )
        return
    written = write_demo(folder)
    assert ctx.parent is not None
    group = ctx.parent.command
    assert isinstance(group, click.Group)
    click.echo(f"Written to {folder}:")
    click.echo("".join(f"  {path.name}\n" for path in written))
    click.echo("Now try:")
    for line in commands_to_try(written, group.list_commands(ctx.parent)):
        click.echo(f"  {line}")


def commands_to_try(written: Sequence[Path], commands: Sequence[str]) -> list[str]:
    """Command lines, ready for a shell, that use the files written."""
    words = {
        name: " ".join(f"{option} {shlex.quote(path.as_posix())}" for path in written if path.match(pattern))
        for name, (pattern, option) in USES.items()
    }
    lines = [f"rangework {name} {rest.format(**words)}" for name, rest in TRY if name in commands]
    return [" ".join(line.split()) for line in lines]
