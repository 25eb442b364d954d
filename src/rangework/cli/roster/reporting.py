"""`roster report`: a player's latest plan as it was made, and what has been done of it."""

from __future__ import annotations

from pathlib import Path

import click

from rangework.cli.options import OutputFile, roster_option
from rangework.cli.results import write_whole
from rangework.cli.roster.keeping import name_argument
from rangework.cli.roster.pages import plan_and_practice_text
from rangework.errors import InputError, Problem


@click.command("report")
@name_argument
@roster_option(required=True)
@click.option("--page", type=OutputFile(), metavar="FILE", help="Write it to this file instead.")
def report(name: str, roster: Path, page: Path | None) -> None:
    """Print a player's latest plan, and the hours practised since."""
    from rangework.shown_text import shown_text
    from rangework.store import find_player, open_roster, practised
    from rangework.store.plans import plans_of

    with open_roster(roster) as kept, kept.reading():
        player = find_player(kept, name)
        plans, practice = plans_of(kept, player.id, latest=1), practised(kept, player.id)
    if not plans:
        remedy = f"Make one: `rangework roster plan {player.name!r} --hours 4`."
        raise InputError(
            Problem(str(roster), f"player {player.name}", "", "a plan, and there is none", remedy)
        )
    text = f"{shown_text(player.name)}\n\n{plan_and_practice_text(plans[0], practice)}\n\n{plans[0].page}"
    if page:
        write_whole(page, text + "\n")
        click.echo(f"Written to {page}.")
    else:
        click.echo(text)
