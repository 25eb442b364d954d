"""`roster export`, `backup` and `forget`: getting everything out, keeping it safe, erasing it."""

from __future__ import annotations

from pathlib import Path

import click

from rangework.cli.options import FILE, OutputFile, roster_option
from rangework.cli.roster.keeping import name_argument


@click.command("export")
@name_argument
@click.argument("folder", metavar="DIR", type=FILE)
@roster_option(required=True)
def export(name: str, folder: Path, roster: Path) -> None:
    """Write everything that is kept of a player to a new folder DIR.

    Balls, practice and plans as CSV, the profile as TOML. What is imported
    again is the same to the last bit.
    """
    from rangework.roster.exporting import export_player
    from rangework.store import open_roster

    with open_roster(roster) as kept:
        written = export_player(kept, name, folder)
    click.echo(f"Written to {folder}: {', '.join(path.name for path in written)}")


@click.command("backup")
@click.argument("target", metavar="FILE", type=OutputFile())
@roster_option(required=True)
def backup(target: Path, roster: Path) -> None:
    """Copy the roster to a new FILE, also while others use it, and check it."""
    from rangework.store import back_up, open_roster

    with open_roster(roster) as kept:
        back_up(kept, target)
    click.echo(f"{target}: a checked copy of {roster}, {target.stat().st_size:,} bytes.")


@click.command("forget")
@click.argument("name", metavar="NAME", required=False)
@roster_option(required=True)
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.option(
    "--sweep", is_flag=True, help="Only write the file anew without traces of what was forgotten before."
)
def forget(name: str | None, roster: Path, yes: bool, sweep: bool) -> None:
    """Erase a player and all that is known of them, without a trace in the file.

    Copies made before, such as backups, exports and written pages, are not
    touched: erase those yourself.
    """
    from rangework.shown_text import shown_text
    from rangework.store import find_player, forget_player, open_roster
    from rangework.store.forgetting import sweep as sweep_file

    if bool(name) == sweep:
        raise click.UsageError("Give either NAME or --sweep.")
    with open_roster(roster) as kept:
        if sweep:
            sweep_file(kept)
            click.echo(f"{roster}: written anew.")
            return
        shown = shown_text(find_player(kept, str(name)).name)
        if not yes:
            click.confirm(
                f"Erase {shown} and all balls, plans and practice? This cannot be undone.", abort=True
            )
        forget_player(kept, str(name))
    click.echo(f"{shown} is forgotten. Backups, exports and pages made before still hold them.")
