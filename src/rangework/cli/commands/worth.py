"""`rangework worth`: what one step of each part of the game saves on a course."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import player_options, playing_options, run_options
from rangework.cli.progress import progress
from rangework.cli.reading import ReadTogether, player_profile
from rangework.cli.results import write_results
from rangework.cli.tables import Block, interval, number, paragraph, table

if TYPE_CHECKING:
    from rangework.advice import Prepared
    from rangework.units import Units
    from rangework.worth import WorthTable

NOTE = (
    "Strokes a round that one step of a part saves, all else as it is; the range comes from what the records leave "
    "open about the player. Steps of different parts are not equally hard: `rangework plan` weighs them by hours."
)


@click.command("worth")
@player_options
@playing_options
@run_options
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    course: Path,
    tee: str | None,
    pin: str | None,
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
    from rangework.course import read_course
    from rangework.records import read_records

    with ReadTogether() as together:
        shots = together.read(read_records, records, mappings=mappings)
        player = together.read(player_profile, profile, handicap)
        played = together.read(read_course, course)
    prepared = prepare(shots, played, profile=player, tee=tee, pin=pin, seed=seed, threads=threads)
    with progress("Valuing the parts") as shown:
        worths = value_parts(prepared, progress=shown.report)
    parts = worth_results(worths)
    click.echo(worth_text(parts, prepared, units))
    if json_file:
        inputs = {
            "records": records,
            "mapping": mappings,
            "profile": profile,
            "handicap": handicap,
            "course": course,
            "tee": prepared.tee.name,
            "pins": prepared.pins,
        }
        write_results(json_file, "worth", {"parts": parts}, seed=seed, inputs=inputs)


def worth_results(worths: WorthTable) -> list[dict[str, Any]]:
    """Every part in order, by the keys of the JSON file."""
    from rangework.skill.parts import PARTS

    low, high = worths.interval()
    return [
        {
            "part": part.id,
            "family": part.family,
            "step": part.step,
            "strokes_saved": worths.strokes_saved[i],
            "standard_error": worths.standard_error[i],
            "low": low[i],
            "high": high[i],
        }
        for i, part in enumerate(PARTS)
    ]


def worth_text(parts: Sequence[dict[str, Any]], prepared: Prepared, units: Units) -> str:
    """The page that is printed: parts by what a step saves, most first."""
    from rangework.skill.parts import PART_BY_ID

    rows = [
        [
            PART_BY_ID[part["part"]].name,
            _step(part, units),
            number(part["strokes_saved"], 2),
            interval(part["low"], part["high"], 2),
        ]
        for part in sorted(parts, key=lambda part: -float(part["strokes_saved"]))
    ]
    title = f"WHAT ONE STEP SAVES on {prepared.course.name}, {prepared.tee.name} tees"
    shown = table(["part", "one step", "strokes\na round", "90 % range"], [Block("", rows)])
    largest = number(max(float(part["standard_error"]) for part in parts), 4)
    error = f"Error of the simulation: at most {largest} strokes (standard error)."
    return "\n\n".join([f"{title}\n{shown}", paragraph(f"{NOTE} {error}")])


def _step(part: dict[str, Any], units: Units) -> str:
    """One step in words, a length in the user's units."""
    from rangework.skill.parts import PART_BY_ID, STEP_CARRY_M
    from rangework.units import METRES_PER, shot_unit

    if PART_BY_ID[part["part"]].kind != "carry":
        return str(part["step"])
    unit = shot_unit(units)
    return f"+{number(STEP_CARRY_M / METRES_PER[unit], 1)} {unit}"
