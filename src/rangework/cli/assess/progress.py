"""`rangework assess progress`: two or more tests of one player, and whether a change is real."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.assess.given_cards import (
    card_options,
    cards_or_player,
    check_days,
    read_cards_given,
)
from rangework.cli.assess.progress_page import progress_results, progress_text
from rangework.cli.options import (
    PictureFile,
    json_option,
    named_player,
    picture_form,
    seed_option,
    units_option,
)
from rangework.cli.playing import tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results, write_whole

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("progress")
@cards_or_player
@card_options
@click.option(
    "--picture",
    type=PictureFile(),
    metavar="FILE",
    help="Also a picture of the tests over time, a file ending in .png or .svg: all balls and each distance.",
)
@units_option
@seed_option
@json_option
def command(
    files: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Any,
    against: float | str | None,
    pins: str,
    leave_out_faulty: bool,
    picture: Path | None,
    units: Units,
    seed: int,
    json_file: Path | None,
) -> None:
    """Tell whether a change between tests is real.

    Days differ, and a part that was weakest by luck comes back by itself: both
    are allowed for. Cards are put in the order of their dates. With --player
    those that the roster keeps are among them.

    \b
      rangework assess progress may.csv june.csv shots.csv --course course.toml
      rangework assess progress --player "Wren Aldersey" --roster club.roster
    """
    player = named_player()
    given = read_cards_given(
        files, mappings, profile, handicap, course, leave_out_faulty=leave_out_faulty, least=2, player=player,
        kept="all",
    )  # fmt: skip
    check_days(given.cards)
    with progress("Comparing the tests"):
        tested = given.read_together(against, pins.replace("-", "_"), seed)
        found = tested.changes()
    click.echo(progress_text(tested, found, given.name, units))
    tell_doubts(given.doubts)
    if picture:
        from rangework.cli.assess.progress_picture import over_time
        from rangework.report.style import picture as content

        write_whole(picture, content(over_time(tested, found, units).figure, picture_form(picture)))
        click.echo(f"{picture} written.")
    if json_file:
        inputs = {"files": files, "player": player, "mapping": mappings, "profile": profile, "handicap": handicap,
                  "course": course, "against": against, "pins_by": pins}  # fmt: skip
        results = {**progress_results(tested, found), "warnings": given.doubts}
        write_results(json_file, "assess progress", results, seed=seed, inputs=inputs)
