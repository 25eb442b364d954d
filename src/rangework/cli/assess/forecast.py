"""`rangework assess forecast`: predictions kept beforehand, and how they stood up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.assess.forecast_page import forecasts_page, verdict_page
from rangework.cli.assess.given_cards import GivenCards, card_options, files_argument, read_cards_given
from rangework.cli.days import day_option
from rangework.cli.options import OutputFile, json_option, seed_option, threads_option, units_option
from rangework.cli.playing import tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results, write_whole

if TYPE_CHECKING:
    from rangework.assessment.forecasts import Forecast, Outcome
    from rangework.units import Units

#: Simulated rounds of each plausible player behind a forecast.
ROUNDS = 50


@click.command("forecast")
@files_argument
@card_options
@click.option(
    "--keep", type=OutputFile(), metavar="FILE", help="Add the forecast to this file (made if need be)."
)
@click.option(
    "--check", type=OutputFile(), metavar="FILE", help="Instead: how the forecasts of this file stood up in RECORDS."
)  # fmt: skip
@day_option("--on", "The first day that the round or retest may be on; today unless given.")
@units_option
@seed_option
@threads_option
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
    keep: Path | None,
    check: Path | None,
    on: date | None,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    """Keep a forecast of the next round or retest; later, check it.

    Of a round from RECORDS, of a retest where a filled card is among them. Trust
    is then measured: how often the ranges held, beside `the same as last time`.

    \b
      rangework assess forecast shots.csv log.csv --course course.toml --keep f.json
      rangework assess forecast log.csv --course course.toml --check f.json
    """
    from rangework.assessment.forecasts import forecasts_text, read_forecasts

    if bool(keep) == bool(check):
        raise click.UsageError("Give either --keep FILE or --check FILE.")
    kept = read_forecasts(keep or check or Path(), may_be_new=bool(keep))
    given = read_cards_given(
        files, mappings, profile, handicap, course, leave_out_faulty=leave_out_faulty, least=0
    )
    inputs = {
        "files": files,
        "course": course,
        "keep": keep,
        "check": check,
        "against": against,
        "pins_by": pins,
    }
    if check:
        found = _outcomes(given, kept, pins, seed)
        click.echo(verdict_page(found, len(kept), units))
        results: dict[str, Any] = {"outcomes": found}
    else:
        with progress("Forecasting"):
            made = _made(given, against, pins, on or date.today(), seed, threads)
        click.echo(forecasts_page(made, given.name, units))
        write_whole(keep or Path(), forecasts_text([*kept, *made]))
        click.echo(f"{keep} holds it.")
        results = {"forecasts": made}
    tell_doubts(given.doubts)
    if json_file:
        write_results(json_file, "assess forecast", results, seed=seed, inputs=inputs)


def _made(
    given: GivenCards, against: float | str | None, pins: str, day: date, seed: int, threads: int
) -> list[Forecast]:
    if given.cards:
        from rangework.assessment.kept_tests import test_forecasts

        return test_forecasts(given.read_together(against, pins.replace("-", "_"), seed), date.today(), day)
    import numpy as np

    from rangework.advice import prepare
    from rangework.assessment.forecasts import round_forecasts
    from rangework.play.rounds import play_rounds
    from rangework.play.strategy import compile_player

    ready = prepare(given.records, given.course, profile=given.profile, seed=seed, threads=threads)
    played = []
    for number, draw in enumerate(ready.posterior.draws(60)):
        player = compile_player(draw, aimed_by=ready.golfer)
        sample = play_rounds(
            ready.strategies, player, ROUNDS, seed=seed, first_round=number * ROUNDS, threads=threads
        )
        played.append(sample.by_family.sum(axis=1, dtype=np.int64))
    return round_forecasts(np.concatenate(played), date.today(), day, given.records.log)


def _outcomes(given: GivenCards, kept: Sequence[Forecast], pins: str, seed: int) -> list[Outcome]:
    from rangework.assessment.forecasts import outcomes, rounds_played
    from rangework.records.profile import parse_handicap

    found = outcomes(kept, "round", rounds_played(given.records.log))
    for level in dict.fromkeys(each.against for each in kept if each.about == "test") if given.cards else ():
        from rangework.assessment.kept_tests import tests_played

        against = level if level == "tour" else parse_handicap(level)
        tested = given.read_together(against, pins.replace("-", "_"), seed)
        mine = [each for each in kept if each.against == level]
        found += outcomes(mine, "test", tests_played(tested))
    return found
