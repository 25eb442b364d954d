"""`rangework skill`: how far and how wide a player hits it, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangework.cli.options import json_option, player_options, seed_option, units_option
from rangework.cli.reading import ReadTogether, player_profile
from rangework.cli.results import write_results
from rangework.cli.tables import interval, number, paragraph

if TYPE_CHECKING:
    from rangework.records.shots import ShotRecords
    from rangework.skill.posterior import Posterior
    from rangework.units import Units


@click.command("skill")
@player_options
@units_option
@seed_option
@json_option
def command(
    records: Sequence[Path],
    mappings: Sequence[Path],
    handicap: float | None,
    profile: Path | None,
    units: Units,
    seed: int,
    json_file: Path | None,
) -> None:
    """Tell how far and how wide a player hits it, and how sure that is.

    By part of the game, by distance and lie, for putts, and by club.

    \b
      rangework skill range.csv putts.csv --handicap 12.4
    """
    from rangework.records import read_records
    from rangework.skill.fit import fit_player

    with ReadTogether() as together:
        shots = together.read(read_records, records, mappings=mappings)
        player = together.read(player_profile, profile, handicap)
    posterior = fit_player(shots, profile=player, seed=seed)
    results = skill_results(shots, posterior)
    click.echo(skill_text(results, posterior, units))
    if json_file:
        inputs = {
            "records": records,
            "mapping": mappings,
            "profile": profile,
            "handicap": handicap,
        }
        write_results(json_file, "skill", results, seed=seed, inputs=inputs)


def skill_results(shots: ShotRecords, posterior: Posterior) -> dict[str, Any]:
    """Everything that the command tells, by its key in the JSON file."""
    from rangework.skill.club_carries import club_carries
    from rangework.skill.dispersion_table import dispersion_table, putting_table
    from rangework.skill.measures import estimate_of, part_estimates, range_factor

    factor = range_factor(posterior)
    return {
        "level": estimate_of(posterior.level, "handicap", "data+prior.player"),
        "stated_handicap": posterior.handicap,
        "parts": part_estimates(posterior),
        "dispersion": dispersion_table(posterior),
        "putts": putting_table(posterior),
        "clubs": club_carries(shots, posterior),
        "range_factor": {**factor.estimate.to_json(), "identified": factor.identified},
        "warnings": [str(warning) for warning in (*shots.warnings, *posterior.warnings)],
    }


def skill_text(results: dict[str, Any], posterior: Posterior, units: Units) -> str:
    """The page that is printed."""
    from rangework.cli.skill_tables import clubs_text, dispersion_text, parts_text, putts_text

    level = results["level"]
    paragraphs = [
        paragraph(
            f"These records look like those of a golfer of handicap {number(level.value)} "
            f"({interval(level.low, level.high)})."
        ),
        f"PARTS OF THE GAME, beside a golfer of handicap {number(posterior.reference_level)}\n"
        + parts_text(results["parts"], units),
        "SPREAD BY DISTANCE (standard deviation of solid strikes)\n"
        + dispersion_text(results["dispersion"], units),
        "PUTTS\n" + putts_text(results["putts"], units),
    ]
    if results["clubs"]:
        paragraphs.append("CLUBS\n" + clubs_text(results["clubs"], units))
    paragraphs += [paragraph(_range_sentence(results["range_factor"]))] if posterior.has_range else []
    paragraphs += [paragraph(f"Look at {warning}") for warning in results["warnings"]]
    return "\n\n".join(paragraphs)


def _range_sentence(factor: dict[str, Any]) -> str:
    told = f"Spread on the range is taken as {number(factor['value'], 2)} of the spread on the course"
    if factor["identified"]:
        return f"{told} ({interval(factor['low'], factor['high'], 2)}): measured, from records of both."
    return (
        f"{told}: not identified by these records. Balls with a known aim on the course, or more rounds, would "
        "tell; until then the level of what was measured on the range only is assumed."
    )
