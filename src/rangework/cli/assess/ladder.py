"""`rangework assess ladder`: what a ladder asks before anyone hits a ball."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.assess.ladder_page import ladder_results, ladder_text
from rangework.cli.options import json_option, player_options, seed_option, units_option
from rangework.cli.reading import ReadTogether, player_profile, player_shots
from rangework.cli.results import write_results

if TYPE_CHECKING:
    from rangework.units import Units

RULES = ("down", "start", "stay")


@click.command("ladder")
@partial(player_options, required=False)
@click.option(
    "--rung",
    "rung_texts",
    multiple=True,
    metavar="RUNG",
    help="A rung of this player, first to last: LIE,DISTANCE,ZONE, such as fairway,100,12 (within 12 of the target), "
    "rough,40,8x12 (wide x deep in all), or green,6 (a putt to hole).",
)
@click.option(
    "--chance",
    "chances",
    multiple=True,
    metavar="P",
    help="The chance to make a rung, such as 0.6: once for all rungs, or once for each, first to last.",
)
@click.option("--rungs", metavar="N", help="How many rungs, where one --chance holds for all.")
@click.option(
    "--on-miss",
    type=click.Choice(RULES),
    default="down",
    show_default=True,
    help="Where a miss leads: one rung down, back to the start, or nowhere (stay).",
)
@click.option("--cap", metavar="BALLS", help="The chance to finish within so many balls is told.")
@click.option(
    "--seen",
    metavar="BALLS",
    help="The balls that each chance was estimated from: what the doubt about it does is told too.",
)
@click.option("--minutes", metavar="M", help="Which ladder of this chance most attempts finish in so long.")
@click.option("--seconds-per-ball", "seconds", metavar="S", help="Time for a ball; 30 seconds unless given.")
@units_option
@seed_option
@json_option
def command(
    records: Any,
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    rung_texts: tuple[str, ...],
    chances: tuple[str, ...],
    rungs: str | None,
    on_miss: str,
    cap: str | None,
    seen: str | None,
    minutes: str | None,
    seconds: str | None,
    units: Units,
    seed: int,
    json_file: Path | None,
) -> None:
    """What a ladder asks before anyone hits a ball.

    A ladder is climbed rung by rung: a rung made leads to the next one. Give
    the chance of the rungs, or rungs by distance and zone with the RECORDS of
    a player.

    \b
      rangework assess ladder --chance 0.6 --rungs 5 --on-miss down --cap 25
      rangework assess ladder --chance 0.8 --chance 0.7 --chance 0.5
      rangework assess ladder shots.csv --rung fairway,60,8 \\
        --rung fairway,90,12 --minutes 12
    """
    from rangework.assessment.ladder import OnMiss
    from rangework.assessment.ladder_report import ladder_report, player_ladder_report
    from rangework.assessment.ladder_words import read_ladder_wish
    from rangework.assessment.rungs import RungChances, read_rungs
    from rangework.skill.fit import fit_player

    _check_player(records, rung_texts)
    with ReadTogether() as together:
        wish = together.read(
            read_ladder_wish, chances, rungs, cap=cap, seen=seen, minutes=minutes, seconds_a_ball=seconds,
            of_player=bool(rung_texts),
        )  # fmt: skip
        wanted = together.read(read_rungs, rung_texts, units)
        shots = together.read(player_shots, records, mappings) if rung_texts else None
        player = together.read(player_profile, profile, handicap, records) if rung_texts else None
    if shots is not None:
        found = RungChances(fit_player(shots, profile=player, seed=seed), wanted, seed=seed)
        report = player_ladder_report(wish, found, OnMiss(on_miss))
    else:
        report = ladder_report(wish, OnMiss(on_miss))
    click.echo(ladder_text(report, rung_texts, units))
    if json_file:
        inputs = {"records": records, "rungs": rung_texts, "chances": wish.chances, "on_miss": on_miss, "cap": wish.cap,
                  "seen": wish.seen, "minutes": wish.minutes, "seconds_per_ball": wish.seconds_a_ball,
                  "units": units}  # fmt: skip
        write_results(json_file, "assess ladder", ladder_results(report), seed=seed, inputs=inputs)


def _check_player(records: Any, rung_texts: tuple[str, ...]) -> None:
    if rung_texts and not records:
        raise click.UsageError("--rung asks for a player: give RECORDS, or --player NAME.")
    if records and not rung_texts:
        raise click.UsageError(
            "RECORDS tell the chances of rungs: give each as --rung, such as --rung fairway,100,12."
        )
