"""`rangework assess forecast`: predictions kept beforehand, and how they stood up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.assess.forecast_page import forecasts_page, left_out_words, verdict_page
from rangework.cli.assess.given_cards import GivenCards, card_options, read_cards_given
from rangework.cli.assess.kept_forecasts import Kept
from rangework.cli.days import day_option
from rangework.cli.options import (
    FILE,
    OutputFile,
    json_option,
    kept_player_option,
    named_player,
    roster_option,
    seed_option,
    threads_option,
    units_option,
)
from rangework.cli.playing import tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results

if TYPE_CHECKING:
    from rangework.assessment.forecasts import Forecast, Outcome
    from rangework.units import Units

#: Simulated rounds of each plausible player behind a forecast.
ROUNDS = 50


@click.command("forecast")
@click.argument("files", nargs=-1, type=FILE, metavar="[CARD...] [RECORDS...]")
@card_options
@roster_option(required=False)
@kept_player_option
@click.option(
    "--keep", type=OutputFile(), metavar="FILE", help="Add the forecast to this file (made if need be)."
)
@click.option(
    "--check", type=OutputFile(), metavar="FILE", help="Instead: how the forecasts of this file stood up in RECORDS."
)  # fmt: skip
@click.option(
    "--check-kept",
    is_flag=True,
    help="Instead, with --player: how the forecasts kept in the roster stood up.",
)
@day_option(
    "--on",
    "The first day that the round or retest may be on; today unless given. Later records are left out.",
)
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
    leave_out_faulty: bool,
    keep: Path | None,
    check: Path | None,
    check_kept: bool,
    units: Units,
    json_file: Path | None,
    **options: Any,
) -> None:
    """Keep a forecast of the next round or retest; later, check it.

    Of a round from RECORDS, of a retest where a filled card is among them. Trust
    is then measured: how often the ranges held, beside `the same as last time`.
    With --player the forecast is kept in the roster.

    \b
      rangework assess forecast shots.csv log.csv --course course.toml --keep f.json
      rangework assess forecast log.csv --course course.toml --check f.json
      rangework assess forecast --player "Wren Aldersey" --roster players.db
    """
    place = Kept.of(files, named_player(), keep, check, check_kept=check_kept)
    kept = place.read()
    given = read_cards_given(
        files, mappings, profile, handicap, course,
        leave_out_faulty=leave_out_faulty, least=0, player=place.player,
    )  # fmt: skip
    if place.checked:
        results = _checked(given, kept, units, pins=options["pins"], seed=options["seed"])
    else:
        results = _kept(given, place, units, **options)
    tell_doubts(given.doubts)
    if json_file:
        inputs = {"files": files, "course": course, "keep": keep, "check": check, "check_kept": check_kept,
                  "against": options["against"], "pins_by": options["pins"]}  # fmt: skip
        write_results(json_file, "assess forecast", results, seed=options["seed"], inputs=inputs)


def _checked(
    given: GivenCards, kept: Sequence[Forecast], units: Units, *, pins: str, seed: int
) -> dict[str, Any]:
    """Show how kept forecasts stood up; the results."""
    found = _outcomes(given, kept, pins, seed)
    click.echo(verdict_page(found, len(kept), units))
    return {"outcomes": found}


def _kept(
    given: GivenCards, place: Kept, units: Units, *, against: float | str | None, pins: str, on: date | None, seed: int,
    threads: int,
) -> dict[str, Any]:  # fmt: skip
    """Make a forecast from what was known before its day, show it and keep it; the results."""
    day = on or date.today()
    known, balls, cards = given.before(day)
    with progress("Forecasting"):
        made = _made(known, against, pins, day, seed, threads)
    click.echo(forecasts_page(made, given.name, units))
    click.echo(left_out_words(day, balls, cards))
    click.echo(place.keep(made))
    return {"forecasts": made, "left_out": {"balls": balls, "cards": cards}}


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
