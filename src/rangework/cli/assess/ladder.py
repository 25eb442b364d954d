"""`rangework assess ladder`: what a ladder asks before anyone hits a ball."""

from __future__ import annotations

from pathlib import Path

import click

from rangework.cli.assess.ladder_page import ladder_results, ladder_text
from rangework.cli.options import json_option
from rangework.cli.results import write_results

RULES = ("down", "start", "stay")


@click.command("ladder")
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
@json_option
def command(
    chances: tuple[str, ...],
    rungs: str | None,
    on_miss: str,
    cap: str | None,
    seen: str | None,
    minutes: str | None,
    seconds: str | None,
    json_file: Path | None,
) -> None:
    """What a ladder asks before anyone hits a ball.

    A ladder is climbed rung by rung: a rung made leads to the next one.

    \b
      rangework assess ladder --chance 0.6 --rungs 5 --on-miss down --cap 25
      rangework assess ladder --chance 0.8 --chance 0.7 --chance 0.5
    """
    from rangework.assessment.ladder import OnMiss
    from rangework.assessment.ladder_report import ladder_report
    from rangework.assessment.ladder_words import read_ladder_wish

    wish = read_ladder_wish(chances, rungs, cap=cap, seen=seen, minutes=minutes, seconds_a_ball=seconds)
    report = ladder_report(wish, OnMiss(on_miss))
    click.echo(ladder_text(report))
    if json_file:
        inputs = {"chances": wish.chances, "on_miss": on_miss, "cap": wish.cap, "seen": wish.seen,
                  "minutes": wish.minutes, "seconds_per_ball": wish.seconds_a_ball}  # fmt: skip
        write_results(json_file, "assess ladder", ladder_results(report), seed=None, inputs=inputs)
