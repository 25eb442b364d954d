"""`rangework assess fill`: the demo's invented player hits the balls of a card."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from rangework.cli.days import day_option
from rangework.cli.options import FILE, OutputFile, seed_option
from rangework.cli.results import write_whole
from rangework.errors import InputError, Problem


def _steps(_ctx: click.Context, _parameter: click.Parameter, written: Sequence[str]) -> dict[str, float]:
    from rangework.skill.parts import PART_BY_ID

    steps: dict[str, float] = {}
    for each in written:
        part, _, count = each.partition("=")
        try:
            steps[part] = float(count)
        except ValueError:
            part = ""
        if part not in PART_BY_ID or not abs(steps[part]) <= 20.0:
            raise click.BadParameter(
                f"{each!r} is not PART=STEPS, such as approach_100_150.direction=2: a part as `rangework worth` lists "
                "them, and from -20 to 20 steps."
            )
    return steps


@click.command("fill")
@click.argument("card", type=FILE, metavar="CARD")
@click.option(
    "--to",
    "filled",
    type=OutputFile(of_ours=True),
    required=True,
    metavar="FILE",
    help="Where the filled card goes.",
)
@day_option("--on", "Day of the test, YYYY-MM-DD.", required=True)
@click.option(
    "--steps",
    multiple=True,
    metavar="PART=STEPS",
    callback=_steps,
    help="The player has gained so many steps of a part, such as approach_100_150.direction=2. May be given more than "
    "once.",
)
@seed_option
def command(card: Path, filled: Path, on: date, steps: dict[str, float], seed: int) -> None:
    """Let the demo's invented player hit a card's balls.

    To try out the other commands before a player of your own has hit a ball.
    The card itself stays as it is.

    \b
      rangework assess fill card.csv --to filled.csv --on 2026-06-01
    """
    from rangework.assessment.card import is_card_file
    from rangework.demo.filled_card import filled_card

    if filled.exists() and card.exists() and filled.samefile(card):
        raise InputError(Problem("--to", "", str(filled), "another file than CARD, which stays as it is"))
    if filled.exists() and not is_card_file(filled):
        raise InputError(
            Problem("--to", "", str(filled), "a new file or a card: what this one holds would be lost")
        )
    text = filled_card(card, on, steps=steps, seed=seed)
    write_whole(filled, text)
    click.echo(f"{filled} written: the invented player hit its balls on {on}.")
