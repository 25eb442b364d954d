"""`roster report`: a player's latest plan as it was made, and what has been done of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rangework.cli.options import OutputFile, roster_option, units_option
from rangework.cli.results import write_whole
from rangework.cli.roster.keeping import name_argument
from rangework.cli.roster.pages import plan_and_practice_text
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("report")
@name_argument
@roster_option(required=True)
@click.option(
    "--page",
    type=OutputFile(),
    metavar="FILE",
    help="Write it to this file instead: ending in .html, as a page for the player's phone.",
)
@units_option
def report(name: str, roster: Path, page: Path | None, units: Units) -> None:
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
    if page and page.suffix.lower() in (".html", ".htm"):
        from rangework.cli.roster.practice_page import practice_page
        from rangework.plan.drills import drill_catalogue

        write_whole(page, practice_page(player.name, plans[0], practice, drill_catalogue(), units))
        click.echo(f"Written to {page}: open it in any browser, or print it.")
        return
    text = f"{shown_text(player.name)}\n\n{plan_and_practice_text(plans[0], practice)}\n\n{plans[0].page}"
    if page:
        write_whole(page, text + "\n")
        click.echo(f"Written to {page}.")
    else:
        click.echo(text)
