"""`rangework worth`: what one step of each part of the game saves on a course."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import conditions_options, player_options, playing_options, run_options
from rangework.cli.playing import day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.results import write_results
from rangework.cli.worth_page import worth_results, worth_text

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("worth")
@player_options
@playing_options
@conditions_options
@draws_option(100)
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    day: Mapping[str, Any],
    tee: str | None,
    pin: str | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    """Tell what one step of each part of the game saves on a course.

    \b
      rangework worth range.csv putts.csv --course course.toml --handicap 12.4
    """
    from rangework.advice import prepare, value_parts
    from rangework.course import day_basis

    given = read_given(records, mappings, profile, handicap, course, day=day, draws=draws)
    prepared = prepare(
        given.records, given.course, profile=given.profile, tee=tee, pin=pin, seed=seed, threads=threads
    )
    with progress("Valuing the parts") as shown:
        worths = value_parts(prepared, draws=draws, progress=shown.report)
    parts = worth_results(worths, day_basis(given.course))
    where = f"{given.course.name}, {prepared.tee.name} tees"
    click.echo(day_text(given.course, units) + worth_text(parts, where, units))
    told = tell_course(given.course, pin)
    tell_doubts(doubts := given.doubts(prepared.posterior))
    if json_file:
        inputs = {**given.inputs, "tee": prepared.tee.name, "pins": prepared.pins}
        write_results(
            json_file, "worth", {"parts": parts, **told, "warnings": doubts}, seed=seed, inputs=inputs
        )
