"""`rangework habits`: what another aim would save with no practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.habits_in_plan import stated_habits
from rangework.cli.habits_page import habits_results, habits_text, unknown_results, unknown_text
from rangework.cli.options import (
    aims_option,
    conditions_options,
    player_options,
    playing_options,
    reference_option,
    run_options,
)
from rangework.cli.playing import day_text, draws_option, read_given, tell_course, tell_doubts
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether
from rangework.cli.results import write_results

if TYPE_CHECKING:
    from rangework.units import Units


@click.command("habits")
@player_options
@playing_options
@conditions_options
@aims_option
@reference_option
@draws_option(40)
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    tee: str | None,
    pin: str | None,
    day: Mapping[str, Any],
    aims: str | None,
    reference: float | str | None,
    draws: int,
    units: Units,
    seed: int,
    threads: int,
    json_file: Path | None,
) -> None:
    """Tell what another aim would save with no practice: the free strokes.

    And at most five rules that win most of them back, each with what it saves.

    \b
      rangework habits range.csv --course course.toml --aims pin
      rangework habits log.csv --course course.toml --aims habits.toml
    """
    from rangework.advice import PLAYER_BASIS, prepare, reference_level
    from rangework.aim.habits.advising import habit_advice
    from rangework.aim.habits.seen import prepared_habits
    from rangework.course import day_basis

    with ReadTogether() as together:
        given = together.read(
            read_given, records, mappings, profile, handicap, course, day=day, aims=aims, draws=draws
        )
        stated = together.read(stated_habits, aims, units)
    prepared = prepare(
        given.records, given.course, profile=given.profile, tee=tee, pin=pin, seed=seed, threads=threads
    )
    seen = None if stated else prepared_habits(
        given.records, given.course, prepared.strategies, prepared.posterior
    )  # fmt: skip
    habits = stated or (seen.rules if seen else ())
    level = reference_level(prepared, reference)
    if not habits:
        click.echo(unknown_text(seen))
        results = unknown_results(seen, units)
    else:
        with progress("Trying rules") as shown:
            advice = habit_advice(
                prepared, habits, reference=prepared.posterior.reference(level), draws=draws, units=units,
                basis=f"{PLAYER_BASIS}{day_basis(given.course)}", progress=shown.report,
            )  # fmt: skip
        clubs = given.clubs(prepared.posterior)
        where = f"{given.name} on {given.course.name}, {prepared.tee.name} tees"
        click.echo(day_text(given.course, units) + habits_text(advice, seen, where, level, units, clubs))
        results = habits_results(advice, seen, units, clubs)
    told = tell_course(given.course, pin)
    tell_doubts(doubts := given.doubts(prepared.posterior))
    if json_file:
        inputs = {**given.inputs, "tee": prepared.tee.name, "pins": prepared.pins, "reference": level}
        write_results(json_file, "habits", {**results, **told, "warnings": doubts}, seed=seed, inputs=inputs)
