"""`rangework assess score`: strokes gained ball by ball, and where they leak."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.assess.given_cards import card_options, cards_or_player, read_cards_given
from rangework.cli.assess.score_page import score_results, score_text
from rangework.cli.options import json_option, named_player, seed_option, units_option
from rangework.cli.playing import tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results
from rangework.errors import InputError, Problem

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("score")
@cards_or_player
@card_options
@click.option("--each-ball", is_flag=True, help="List every ball with what it gained.")
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
    each_ball: bool,
    units: Units,
    seed: int,
    json_file: Path | None,
) -> None:
    """Score a filled card: strokes gained, and where they leak.

    By distance and pin position, with what luck could have made of it. Records
    of before say what to expect; without any, --handicap does. With --player
    and no CARD: the latest one that the roster keeps.

    \b
      rangework assess score card.csv shots.csv --course course.toml
      rangework assess score card.csv --handicap 12 --course course.toml
      rangework assess score --player "Wren Aldersey" --roster club.roster
    """
    player = named_player()
    given = read_cards_given(
        files, mappings, profile, handicap, course, leave_out_faulty=leave_out_faulty, player=player, kept="latest"
    )  # fmt: skip
    if len(given.cards) > 1:
        told = f"one card; {len(given.cards)} given"
        raise InputError(Problem("CARD", "", "", told, "`rangework assess progress` compares several."))
    with progress("Scoring the card"):
        tested = given.read_together(against, pins.replace("-", "_"), seed)
        found = tested.leaks(seed=seed)
    click.echo(score_text(tested, found, given.name, units, each_ball=each_ball))
    tell_doubts(given.doubts)
    if json_file:
        inputs = {"files": files, "player": player, "mapping": mappings, "profile": profile, "handicap": handicap,
                  "course": course, "against": against, "pins_by": pins}  # fmt: skip
        results = {**score_results(tested, found), "warnings": given.doubts}
        write_results(json_file, "assess score", results, seed=seed, inputs=inputs)
